package review_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/server/review"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

func TestGroupsOf(t *testing.T) {
	var samples []store.Sample
	for i, code := range []string{"a", "a", "a", "b", "a", "a"} {
		x := store.Sample{Code: code}
		x.Reading.Error = unit.CentiDeg(100 * i)
		samples = append(samples, x)
	}
	for size, want := range map[int][][]float64{
		2: {{0, 1}, {4, 5}}, 3: {{0, 1, 2}}, 4: nil,
	} {
		if diff := cmp.Diff(want, review.GroupsOf(samples, size)); diff != "" {
			t.Errorf("groupsOf(six, %d): %s", size, diff)
		}
	}
}

// Forty readings in eight groups of five: means and ranges, about a mean worked
// out by hand; in groups of fifteen there are too few; in groups of two there
// are twenty.
func TestCellPageGroups(t *testing.T) {
	s, session := shoptest.Many(t)
	const cell = "/review/cell?material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m"
	values := shoptest.Wave(40, 0.1)
	var ranges float64
	for i := 0; i < 40; i += 5 {
		low, high := values[i], values[i]
		for _, v := range values[i : i+5] {
			low, high = min(low, v), max(high, v)
		}
		ranges += (high - low) / 8
	}
	root, _ := s.OwnerPage(session, cell)
	// 2.326 is d2 for five; ASTM E2587 and the tables of the constants.
	want := fmt.Sprintf("8 groups of 5 readings one after the other on one sheet. Spread inside a group %.2f°. Limits from fewer than 20 groups are provisional.", ranges/2.326)
	if words := shoptest.WordsIn(root); !strings.Contains(words, want) || !strings.Contains(words, "Means of groups (X-bar)") || !strings.Contains(words, "Ranges of groups (R)") {
		t.Errorf("the page lacks %q: %s", want, words)
	}
	if root, _ = s.OwnerPage(session, cell+"&group=2"); !strings.Contains(shoptest.WordsIn(root), "20 groups of 2 readings") || strings.Contains(shoptest.WordsIn(root), "provisional") {
		t.Errorf("groups of two say %s", shoptest.WordsIn(root))
	}
	if root, _ = s.OwnerPage(session, cell+"&group=15"); !strings.Contains(shoptest.WordsIn(root), "2 groups of 15 readings one after the other on one sheet; charts are drawn from 5 groups on.") {
		t.Errorf("groups of fifteen say %s", shoptest.WordsIn(root))
	}
	s.Later(time.Hour)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "200")
	s.BendMany(shoptest.ChannelCode, shoptest.Wave(60, 0.1)...)
	if root, _ = s.OwnerPage(session, cell+"&group=15"); !strings.Contains(shoptest.WordsIn(root), "Standard deviations of groups (S)") {
		t.Errorf("six groups of fifteen say %s", shoptest.WordsIn(root))
	}
}
