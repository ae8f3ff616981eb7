package shelf

import (
	"strings"
	"testing"

	"brakeside/server/change"
	"brakeside/templates/words"
)

// What has changed of a brake is told once and only to the sheets that use it.
func TestConcerns(t *testing.T) {
	line := func(what, before, after string) change.Line {
		return change.Line{What: what, Before: before, After: after}
	}
	uses := map[string][]string{"wide": nil, "fingers": {"50", "91", "50"}}
	type lines = []change.Line
	cases := []struct {
		name string
		lines
		want string
	}{
		{"a finger used twice", lines{line("bars[fingers].missing", "", "22, 50, 50")}, "finger 50 of fingers is missing, and the sheet uses it"},
		{"a finger not used", lines{line("bars[fingers].missing", "", "22")}, ""},
		{"a finger that is back", lines{line("bars[fingers].missing", "50", "")}, ""},
		{"a bar taken away", lines{line("bars[wide].depth", "74", ""), line("bars[wide].kind", "full", ""), line("bars[wide].name", "wide", "")}, "the bar wide is gone, and the sheet uses it"},
		{"another bar taken away", lines{line("bars[slotted].depth", "74", ""), line("bars[slotted].name", "slotted", "")}, ""},
		{"a bar changed", lines{line("bars[wide].rating_t", "1.6", "1.4"), line("bars[narrow].rating_t", "0.9", "0.8")}, "rating t of wide was 1.6 and is 1.4"},
		{"a bar more", lines{line("bars[wide 2].name", "", "wide 2")}, ""},
		{"the machine and its minutes", lines{line("leaf.max_angle", "135", "120"), line("minutes.bend", "0.5", "0.7")}, "leaf, max angle was 135 and is 120"},
	}
	for _, c := range cases {
		if got := string(words.Unmarked([]byte(strings.Join(concerns(c.lines, uses), "; ")))); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
