package canvas

import (
	"testing"

	marks "brakeside/traveler/draw"
)

func TestCrosses(t *testing.T) {
	b := Box{10, 10, 20, 10}
	cases := []struct {
		name string
		p, q marks.Point
		want bool
	}{
		{"through", marks.Point{X: 0, Y: 15}, marks.Point{X: 40, Y: 15}, true},
		{"inside", marks.Point{X: 12, Y: 12}, marks.Point{X: 14, Y: 14}, true},
		{"ends inside", marks.Point{X: 0, Y: 0}, marks.Point{X: 15, Y: 15}, true},
		{"beside", marks.Point{X: 0, Y: 5}, marks.Point{X: 40, Y: 5}, false},
		{"past a corner", marks.Point{X: 0, Y: 25}, marks.Point{X: 12, Y: 40}, false},
		{"along an edge", marks.Point{X: 0, Y: 10}, marks.Point{X: 40, Y: 10}, false},
		{"a point inside", marks.Point{X: 15, Y: 15}, marks.Point{X: 15, Y: 15}, true},
	}
	for _, c := range cases {
		if got := Crosses(c.p, c.q, b); got != c.want {
			t.Errorf("%s: crosses() = %v, want %v", c.name, got, c.want)
		}
	}
}
