package page

import "testing"

// A spare block is printed where its page has room for it, and not where it would
// cost another page.
func TestSpareBlocksCostNoPage(t *testing.T) {
	room := func(int) float64 { return 100 }
	for _, c := range []struct {
		name       string
		least      float64 // of the block after the spare one
		want       int
		wantSpared bool
	}{
		{"room", 80, 1, false},
		{"just", 80 - 0.01, 1, false},
		{"no room", 95, 1, true},
		{"a second page anyhow", 101, 2, false},
	} {
		blocks := []Block{{Least: 10, Spare: true}, {Least: c.least}}
		if c.least > 100 {
			blocks = []Block{{Least: 10, Spare: true}, {Least: 60}, {Least: 60}}
		}
		kept := affordable(blocks, room)
		if spared := len(kept) < len(blocks); spared != c.wantSpared || len(breaks(kept, room)) != c.want {
			t.Errorf("%s: left out %v on %d pages, want %v on %d", c.name, spared, len(breaks(kept, room)), c.wantSpared, c.want)
		}
	}
}
