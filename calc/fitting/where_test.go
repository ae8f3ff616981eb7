package fitting

import (
	"math"
	"testing"

	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// What is blocked in the left half of a bend may hang past the left end, what is in
// the right half past the right one, and what reaches over the middle past either,
// each with its clearance. By hand, along a bend of 100.
func TestPastEnd(t *testing.T) {
	for _, test := range []struct {
		blocked     []clamp.Span
		clear       unit.MM
		left, right float64
	}{
		{nil, 1, math.Inf(-1), math.Inf(-1)},
		{[]clamp.Span{{Low: -2, High: 3}}, 0, 3, math.Inf(-1)},
		{[]clamp.Span{{Low: -2, High: 3}}, 1.5, 4.5, math.Inf(-1)},
		{[]clamp.Span{{Low: 97, High: 102}}, 1.5, math.Inf(-1), 4.5},
		{[]clamp.Span{{Low: 49, High: 49.5}}, 0, 49.5, math.Inf(-1)},
		{[]clamp.Span{{Low: 50.5, High: 51}}, 0, math.Inf(-1), 49.5},
		{[]clamp.Span{{Low: 40, High: 60}}, 0, 60, 60},
		{[]clamp.Span{{Low: 0, High: 3}, {Low: 10, High: 12}, {Low: 98, High: 100}}, 1, 13, 3},
	} {
		tr := &trial{bench: &clash.Bench{Length: 100}}
		met := &gathered{spans: test.blocked}
		left, right := tr.pastEnd(process.PastLeft, met, test.clear), tr.pastEnd(process.PastRight, met, test.clear)
		if left != test.left || right != test.right {
			t.Errorf("%v with %v: %v and %v, want %v and %v", test.blocked, float64(test.clear), left, right, test.left, test.right)
		}
	}
}

// Where nothing is over a bar it is lifted as it lies: drawn back by nothing.
func TestLiftedAsItLies(t *testing.T) {
	var g gathered
	var backs []float64
	for at := range g.drawnBack {
		backs = append(backs, *at.back)
	}
	if len(backs) != 1 || backs[0] != 0 {
		t.Errorf("it is drawn back by %v, want only 0", backs)
	}
}
