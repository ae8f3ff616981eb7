package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anySimple draws a simple polygon: corners by falling angle about the middle,
// each at a radius of its own, so that it often bulges inwards.
func anySimple(t *rapid.T) Polygon {
	n := rapid.IntRange(3, 14).Draw(t, "corners")
	var g Polygon
	for i := range n {
		angle := 2 * math.Pi * (float64(i) + rapid.Float64Range(0, 0.7).Draw(t, "angle")) / float64(n)
		sin, cos := math.Sincos(angle)
		g = append(g, Point2{cos, sin}.Times(rapid.Float64Range(1, 50).Draw(t, "radius")))
	}
	return g
}

func TestPiecesCoverExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anySimple(t)
		if !(g.Area() > 0.1) {
			t.Skip("too thin to speak of")
		}
		pieces, ok := Pieces(g)
		if !ok {
			t.Fatalf("Pieces(%v) refuses a simple polygon", g)
		}
		sum := 0.0
		for i, p := range pieces {
			sum += p.Area()
			if !p.Convex() || !(p.Area() > 0) {
				t.Errorf("piece %v is not convex and anticlockwise", p)
			}
			for _, q := range pieces[:i] {
				small, other := p.Inset(1e-4), q.Inset(1e-4)
				if small != nil && other != nil && Apart(small, other) == 0 {
					t.Errorf("pieces %v and %v overlap", p, q)
				}
			}
		}
		near(t, "the area of all pieces", sum, g.Area(), 1e-6*g.Area())
		clockwise, _ := Pieces(g.Reversed())
		reversed := 0.0
		for _, p := range clockwise {
			reversed += p.Area()
		}
		near(t, "the area of the pieces of the reversed outline", reversed, g.Area(), 1e-6*g.Area())
		if len(pieces) > 4*len(g) {
			t.Errorf("%d pieces of a polygon of %d corners", len(pieces), len(g))
		}
	})
}

func TestPieces(t *testing.T) {
	tests := []struct {
		name   string
		g      Polygon
		pieces int
		ok     bool
	}{
		{"a square stays whole", square(0, 0, 10), 1, true},
		{"corners on a straight edge are nothing", Polygon{{0, 0}, {5, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 5}}, 1, true},
		{"a corner given twice", Polygon{{0, 0}, {0, 0}, {10, 0}, {10, 10}, {0, 10}}, 1, true},
		{"an L needs two", Polygon{{0, 0}, {10, 0}, {10, 4}, {4, 4}, {4, 10}, {0, 10}}, 2, true},
		{"clockwise", Polygon{{0, 10}, {10, 10}, {10, 0}, {0, 0}}, 1, true},
		{"two corners", Polygon{{0, 0}, {10, 0}}, 0, false},
		{"no area", Polygon{{0, 0}, {10, 0}, {5, 0}}, 0, false},
		{"nothing", nil, 0, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			pieces, ok := Pieces(test.g)
			if len(pieces) != test.pieces || ok != test.ok {
				t.Errorf("Pieces(%v) = %v, %v; want %d pieces, %v", test.g, pieces, ok, test.pieces, test.ok)
			}
		})
	}
}

func TestSimple(t *testing.T) {
	tests := []struct {
		name string
		g    Polygon
		want bool
	}{
		{"a square", square(0, 0, 10), true},
		{"an L", Polygon{{0, 0}, {10, 0}, {10, 4}, {4, 4}, {4, 10}, {0, 10}}, true},
		{"a bow", Polygon{{0, 0}, {10, 10}, {10, 0}, {0, 10}}, false},
		{"a corner on an edge", Polygon{{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}, false},
		{"two corners at one place", Polygon{{0, 0}, {5, 5}, {10, 0}, {10, 10}, {5, 5}, {0, 10}}, false},
		{"a spike back along an edge", Polygon{{0, 0}, {10, 0}, {5, 0}, {5, 5}, {0, 5}}, false},
		{"first and last edge cross a middle one", Polygon{{0, 0}, {4, 0}, {4, 8}, {2, -2}}, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := test.g.Simple(); got != test.want {
				t.Errorf("%v.Simple() = %v, want %v", test.g, got, test.want)
			}
			if got := test.g.Reversed().Simple(); got != test.want {
				t.Errorf("reversed: %v.Simple() = %v, want %v", test.g, got, test.want)
			}
		})
	}
}

func TestDrawnOutlinesAreSimple(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		if g := anySimple(t); !g.Simple() {
			t.Errorf("%v.Simple() = false for corners that go round a middle", g)
		}
	})
}

func TestMeet(t *testing.T) {
	tests := []struct {
		name       string
		a, b, c, d Point2
		want       bool
	}{
		{"a cross", Point2{0, 0}, Point2{4, 4}, Point2{0, 4}, Point2{4, 0}, true},
		{"a T", Point2{0, 0}, Point2{4, 0}, Point2{2, 0}, Point2{2, 3}, true},
		{"a T that stops short", Point2{0, 0}, Point2{4, 0}, Point2{2, 0.001}, Point2{2, 3}, false},
		{"end to end", Point2{0, 0}, Point2{4, 0}, Point2{4, 0}, Point2{9, 3}, true},
		{"on one line, overlapping", Point2{0, 0}, Point2{4, 0}, Point2{3, 0}, Point2{9, 0}, true},
		{"on one line, one in the other", Point2{0, 0}, Point2{9, 0}, Point2{3, 0}, Point2{4, 0}, true},
		{"on one line, apart", Point2{0, 0}, Point2{4, 0}, Point2{5, 0}, Point2{9, 0}, false},
		{"parallel", Point2{0, 0}, Point2{4, 0}, Point2{0, 1}, Point2{4, 1}, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for _, got := range []bool{
				Meet(test.a, test.b, test.c, test.d), Meet(test.b, test.a, test.c, test.d),
				Meet(test.c, test.d, test.a, test.b), Meet(test.d, test.c, test.b, test.a),
			} {
				if got != test.want {
					t.Errorf("Meet(%v, %v, %v, %v) = %v, want %v", test.a, test.b, test.c, test.d, got, test.want)
				}
			}
		})
	}
}

func TestInset(t *testing.T) {
	near(t, "a square of 10 made smaller by 2", square(0, 0, 10).Inset(2).Area(), 36, 1e-9)
	if got := square(0, 0, 10).Inset(5); got != nil {
		t.Errorf("a square of 10 made smaller by 5 all round = %v, want nothing", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		g := anyConvex(t, 20)
		by := rapid.Float64Range(0.01, 5).Draw(t, "by")
		inner := g.Inset(by)
		for _, p := range inner {
			for i, a := range g {
				edge := g[(i+1)%len(g)].Sub(a)
				if long := edge.Length(); long > Near && edge.Cross(p.Sub(a))/long < by-1e-6 {
					t.Errorf("%v.Inset(%v) keeps %v, nearer than that to an edge", g, by, p)
				}
			}
		}
		if inner != nil && !inner.Convex() {
			t.Errorf("%v.Inset(%v) = %v, not convex", g, by, inner)
		}
		// Nothing that is far enough in may be lost.
		c := g.Centroid()
		deep := math.Inf(1)
		for i, a := range g {
			if edge := g[(i+1)%len(g)].Sub(a); edge.Length() > Near {
				deep = min(deep, edge.Cross(c.Sub(a))/edge.Length())
			}
		}
		if deep > by+0.01 && (inner == nil || !holds(inner, c, 1e-9)) {
			t.Errorf("%v.Inset(%v) = %v loses the middle, which lies %v in", g, by, inner, deep)
		}
	})
}
