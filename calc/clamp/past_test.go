package clamp

import (
	"fmt"
	"testing"
)

// How far fingers reach past the worse end of a bend, and how much of its ends they
// leave bare, by hand.
func TestPastAndBare(t *testing.T) {
	for _, test := range []struct {
		fingers    []Segment
		past, bare float64
	}{
		{[]Segment{{Width: 50, At: -3}, {Width: 55, At: 47}}, 3, 0},
		{[]Segment{{Width: 50, At: -3}, {Width: 58, At: 47}}, 5, 0},
		{[]Segment{{Width: 50, At: 2}, {Width: 47, At: 52}}, -1, 3},
		{[]Segment{{Width: 100, At: 0}}, 0, 0},
	} {
		near(t, fmt.Sprintf("past(%v)", test.fingers), past(test.fingers, 100), test.past, 1e-9)
		near(t, fmt.Sprintf("bare(%v)", test.fingers), bare(test.fingers, 100), test.bare, 1e-9)
	}
}
