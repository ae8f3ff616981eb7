package page

import (
	"slices"
	"testing"

	"brakeside/traveler"
)

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

// The second order is taken where it needs fewer pages, or brings all rows to the
// first page where the first order does not; else the first one stays.
func TestBetter(t *testing.T) {
	s, err := New(&traveler.Traveler{Paper: "a4"})
	if err != nil {
		t.Fatal(err)
	}
	whole := s.Body().H
	for _, test := range []struct {
		name          string
		first, second []Block
		want          bool // the second
	}{
		{"both on one page", stack(-20, 30), stack(30, -20), false},
		{"both on two", stack(-20, whole-10), stack(-20, whole-12), false},
		{"one page fewer", stack(whole-40, whole-40, -30, 30), stack(whole-40, -30), true},
		{"one page more", stack(-20), stack(-20, whole), false},
		{"rows on the first page", stack(whole, -20), stack(-20, whole), true},
		{"rows on the first page already", stack(-20, whole), stack(whole, -20), false},
	} {
		got := s.Better(test.first, test.second)
		if second := &got[0] == &test.second[0]; second != test.want {
			t.Errorf("%s: the second is taken: %v, want %v", test.name, second, test.want)
		}
	}
}

// What is free is shared by wishes, and no wish is given more than it asks for.
func TestShare(t *testing.T) {
	for _, test := range []struct {
		wishes     []float64
		free, used float64
		want       []float64
	}{
		{[]float64{10, 30}, 20, 20, []float64{105, 115}}, {[]float64{10, 30}, 60, 40, []float64{110, 130}},
		{[]float64{1, 1}, 0.5, 0.5, []float64{100.25, 100.25}}, {[]float64{0.25, 0.25}, 9, 0.5, []float64{100.25, 100.25}},
		{[]float64{0, 0}, 9, 0, []float64{100, 100}}, {[]float64{10, 30}, -5, 0, []float64{100, 100}},
	} {
		heights := []float64{100, 100}
		if used := share(heights, test.wishes, test.free); used != test.used || !slices.Equal(heights, test.want) {
			t.Errorf("share(%v, %v) uses %v of it, heights %v; want %v and %v", test.wishes, test.free, used, heights, test.used, test.want)
		}
	}
}
