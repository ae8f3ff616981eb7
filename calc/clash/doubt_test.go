package clash

import (
	"testing"

	"brakeside/calc/geom"
)

// What is nearer than the clearance and half of the least step of 0.05 mm counts as
// a hit, by squares that stand beside each other on the hinge line, the clearance 1.
func TestDoubtIsAHit(t *testing.T) {
	square := func(from float64) *section {
		return seen(geom.Polygon{{X: from, Y: 0}, {X: from + 10, Y: 0}, {X: from + 10, Y: 10}, {X: from, Y: 10}})
	}
	for apart, hit := range map[float64]bool{0.5: true, 1: true, 1.024: true, 1.026: false, 1.06: false, 3: false} {
		if p := turning(square(5), square(15+apart), 0, 0, 1, nil); p.hit != hit {
			t.Errorf("%v apart: hit %v, want %v", apart, p.hit, hit)
		}
	}
}

// A wall stands at a corner of the bend as far as 25 mm beside its end, a corner cut
// and a gap (common practice, no source).
func TestCornered(t *testing.T) {
	b := &Bench{Length: 100}
	for _, test := range []struct {
		low, high float64
		want      bool
	}{{-30, -25, false}, {-30, -24.9, true}, {10, 20, true}, {125, 130, false}, {124.9, 130, true}} {
		if got := b.cornered(&pose{Stretch: Stretch{Low: test.low, High: test.high}}); got != test.want {
			t.Errorf("from %v to %v: %v, want %v", test.low, test.high, got, test.want)
		}
	}
}
