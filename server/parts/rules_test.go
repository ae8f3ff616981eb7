package parts_test

import (
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
)

// The page of a part sets side by side what each rule would cut; that of the
// rule the shop goes by is what the part's own bends say.
func TestPartPageComparesRules(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	form := shoptest.ExampleOf("l", "RULE-1", "A")
	seq := s.Send("/parts", form, owner)
	root, page := s.OwnerPage(owner, "/parts/"+seq)
	if !strings.Contains(page, "What each rule would cut") {
		t.Fatalf("the page says %q", page)
	}
	for _, rule := range []string{"K 0.33 below r = 2t, 0.5 from 2t", "DIN 6935", "0.55 T + 1.57 R, soft brass and copper", "0.01743 R + 0.0078 T per degree"} {
		cells := shoptest.Row(t, root, rule)
		if !strings.Contains(cells[1], "mm") || !strings.Contains(cells[2], "legs 1-2: K 0.") || !strings.Contains(cells[2], "deduction ") || cells[3] == "" {
			t.Errorf("%s: %q", rule, cells)
		}
	}
	own, textbook := shoptest.Row(t, root, "legs 1-2"), shoptest.Row(t, root, "K 0.33 below r = 2t, 0.5 from 2t")
	k, _, _ := strings.Cut(own[3], ",")
	if want := "legs 1-2: K " + k + ", deduction " + own[5] + " mm"; !strings.HasPrefix(textbook[2], want) {
		t.Errorf("by the textbook %q, and the bend says %q", textbook[2], want)
	}
	if din := shoptest.Row(t, root, "DIN 6935"); din[1] == textbook[1] || din[2] == textbook[2] {
		t.Errorf("two rules cut the same: %q, %q", din, textbook)
	}
}
