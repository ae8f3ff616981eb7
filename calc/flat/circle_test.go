package flat

import (
	"fmt"
	"math"
	"testing"

	"brakeside/calc/geom"
)

// A round hole has the fewest corners, by fours, with which its chords lie no
// farther inside than a hundredth of a millimetre: the height of a chord over the
// angle a is r (1 - cos a/2). It has at least 24 and at most 360.
func TestCornersOfARoundHole(t *testing.T) {
	inside := func(radius float64, corners int) float64 { return radius * (1 - math.Cos(math.Pi/float64(corners))) }
	centre := geom.Point2{X: 5, Y: -3}
	for _, radius := range []float64{0.005, 0.5, 1, 1.16, 1.2, 3, 10, 50, 250, 262, 263, 1000} {
		g := circle(centre, radius)
		n, what := len(g), fmt.Sprintf("radius %v, %d corners", radius, len(g))
		if n < 24 || n > 360 || n%4 != 0 {
			t.Error(what)
		}
		if off := inside(radius, n); off > 0.01+1e-12 && n < 360 {
			t.Errorf("%s: chords lie %v inside", what, off)
		}
		if n > 24 && n < 360 && inside(radius, n-4) <= 0.01 {
			t.Errorf("%s: four fewer would do", what)
		}
		if radius < 1.16 && n != 24 {
			t.Errorf("%s: 24 would do", what)
		}
		if g.Area() >= 0 {
			t.Errorf("%s: not clockwise", what)
		}
		for _, p := range g {
			if off := math.Abs(p.Sub(centre).Length() - radius); off > 1e-9 {
				t.Errorf("%s: a corner lies %v off the circle", what, off)
			}
		}
	}
}
