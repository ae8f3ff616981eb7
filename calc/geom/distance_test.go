package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestApart(t *testing.T) {
	unit := square(0, 0, 10)
	tests := []struct {
		name string
		a, b Polygon
		want float64
	}{
		{"beside", unit, square(13, 2, 4), 3},
		{"corner to corner", unit, square(13, 14, 4), 5},
		{"touching edges", unit, square(10, 3, 4), 0},
		{"touching corners", unit, square(10, 10, 4), 0},
		{"one within the other", unit, square(3, 3, 2), 0},
		{"overlapping", unit, square(9, 9, 4), 0},
		{"a point beside", unit, Polygon{{14, 5}}, 4},
		{"a point within", unit, Polygon{{5, 5}}, 0},
		{"two points", Polygon{{0, 0}}, Polygon{{3, 4}}, 5},
		{"the same point", Polygon{{3, 4}}, Polygon{{3, 4}}, 0},
		{"an edge beside an edge", Polygon{{0, 0}, {10, 0}}, Polygon{{2, 3}, {8, 3}}, 3},
		{"edges on one slanting line", Polygon{{0, 0}, {1, 1}}, Polygon{{4, 5}, {5, 6}}, 5},
		{"edges on one line, apart", Polygon{{0, 0}, {1, 1}}, Polygon{{4, 4}, {5, 5}}, 3 * math.Sqrt2},
		{"edges that cross", Polygon{{0, 0}, {4, 4}}, Polygon{{0, 4}, {4, 0}}, 0},
		{"edges of a cross that stop short", Polygon{{0, 0}, {4, 0}}, Polygon{{2, 1}, {2, 9}}, 1},
		{"an edge through a square", unit, Polygon{{-5, 5}, {20, 5}}, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			near(t, "Apart(a, b)", Apart(test.a, test.b), test.want, 1e-12)
			near(t, "Apart(b, a)", Apart(test.b, test.a), test.want, 1e-12)
		})
	}
}

// slowApart tries every pair of edges and every corner in the other polygon.
func slowApart(a, b Polygon) float64 {
	if holds(a, b[0], 0) || holds(b, a[0], 0) {
		return 0
	}
	least := math.Inf(1)
	for i, p := range a {
		q := a[(i+1)%len(a)]
		for j, r := range b {
			s := b[(j+1)%len(b)]
			if Meet(p, q, r, s) {
				return 0
			}
			for _, d := range []float64{toEdge(p, r, s), toEdge(q, r, s), toEdge(r, p, q), toEdge(s, p, q)} {
				least = min(least, d)
			}
		}
	}
	return least
}

func toEdge(p, a, b Point2) float64 {
	low, high := 0.0, 1.0
	at := func(s float64) float64 { return p.Sub(a.Add(b.Sub(a).Times(s))).Length() }
	for range 200 { // the distance to a line has one valley
		if x, y := low+(high-low)/3, high-(high-low)/3; at(x) < at(y) {
			high = y
		} else {
			low = x
		}
	}
	return min(at((low+high)/2), min(at(0), at(1)))
}

func TestApartAgainstAllEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyConvex(t, 10)
		b := anyConvex(t, 10)
		by := anyPoint(t, 25)
		for i := range b {
			b[i] = b[i].Add(by)
		}
		near(t, "Apart against every pair of edges", Apart(a, b), slowApart(a, b), 1e-6)
		near(t, "Apart the other way round", Apart(b, a), Apart(a, b), 1e-9)
	})
}

// Moved apart by as much as they are sunk into each other, and a little, they no
// longer overlap; moved by a little less in any direction, they still do.
func TestSunk(t *testing.T) {
	near(t, "a square 3 into another", Sunk(square(7, 2, 4), square(0, 0, 10)), 3, 1e-12)
	near(t, "squares that only touch", Sunk(square(10, 2, 4), square(0, 0, 10)), 0, 1e-12)
	near(t, "squares apart", Sunk(square(12, 2, 4), square(0, 0, 10)), 0, 0)
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyConvex(t, 10), anyConvex(t, 10)
		deep := Sunk(a, b)
		near(t, "Sunk the other way round", Sunk(b, a), deep, 1e-9)
		if (deep > 0) != (Apart(a, b) == 0) && deep > 1e-9 {
			t.Errorf("Sunk = %v but Apart = %v", deep, Apart(a, b))
		}
		parted := false
		for i := range 720 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 360)
			moved := func(by float64) Polygon {
				out := make(Polygon, len(a))
				for k, p := range a {
					out[k] = p.Add(Point2{cos, sin}.Times(by))
				}
				return out
			}
			if deep > 0.01 && Apart(moved(0.99*deep), b) > 0 {
				t.Errorf("%v into each other, but moved by %v they are apart", deep, 0.99*deep)
			}
			parted = parted || Apart(moved(1.01*deep+0.001), b) > 0
		}
		if !parted {
			t.Errorf("%v into each other, but moved by a little more in any direction they still overlap", deep)
		}
	})
}

// Parting is Apart, and the line square to it separates the two.
func TestParting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyConvex(t, 10), anyConvex(t, 10)
		by := anyPoint(t, 25)
		for i := range b {
			b[i] = b[i].Add(by)
		}
		distance, towards := Parting(a, b)
		near(t, "Parting against Apart", distance, Apart(a, b), 1e-12)
		if distance < 1e-6 {
			return
		}
		far, begins := math.Inf(-1), math.Inf(1)
		for _, p := range a {
			far = max(far, towards.Dot(p))
		}
		for _, p := range b {
			begins = min(begins, towards.Dot(p))
		}
		near(t, "the gap along it", begins-far, distance, 1e-6)
	})
}
