package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var points []Point2
		for range rapid.IntRange(3, 30).Draw(t, "points") {
			points = append(points, anyPoint(t, 10))
		}
		h := Hull(points)
		if !h.Convex() || h.Area() < 0 {
			t.Errorf("Hull(%v) = %v, not convex and anticlockwise", points, h)
		}
		given := map[Point2]bool{}
		for _, p := range points {
			given[p] = true
			if len(h) >= 3 && !holds(h, p, 1e-9) {
				t.Errorf("Hull(%v) = %v leaves out %v", points, h, p)
			}
		}
		for _, c := range h {
			if !given[c] {
				t.Errorf("Hull(%v) has a corner %v that was not given", points, c)
			}
		}
	})
}

func TestHullOfFewOrStraightPoints(t *testing.T) {
	for _, test := range []struct {
		name   string
		points []Point2
		want   int
	}{
		{"one", []Point2{{1, 2}}, 1},
		{"two", []Point2{{1, 2}, {0, 0}}, 2},
		{"three on a line", []Point2{{0, 0}, {2, 2}, {1, 1}}, 2},
		{"a square with its middle and the middles of its edges", []Point2{{0, 0}, {1, 0}, {2, 0}, {2, 1}, {2, 2}, {1, 2}, {0, 2}, {0, 1}, {1, 1}}, 4},
	} {
		if got := Hull(test.points); len(got) != test.want {
			t.Errorf("%s: Hull(%v) = %v, want %d corners", test.name, test.points, got, test.want)
		}
	}
}

// A moved polygon sweeps what the hull of both its places covers.
func TestSwept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, by := anyConvex(t, 10), anyPoint(t, 20)
		moved := make([]Point2, 0, 2*len(g))
		for _, p := range g {
			moved = append(moved, p, p.Add(by))
		}
		swept, hull := g.Swept(by), Hull(moved)
		near(t, "area swept", swept.Area(), hull.Area(), 1e-9*(1+hull.Area()))
		if !swept.Convex() {
			t.Errorf("%v.Swept(%v) = %v, not convex", g, by, swept)
		}
		for _, p := range moved {
			if !holds(swept, p, 1e-9) {
				t.Errorf("%v.Swept(%v) leaves out %v", g, by, p)
			}
		}
	})
}

// Both sides of a cut add up to the whole and neither reaches over the line.
func TestClip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyConvex(t, 20)
		from, to := anyPoint(t, 20), anyPoint(t, 20)
		along := to.Sub(from)
		if along.Length() < 0.1 {
			t.Skip("no direction")
		}
		left, right := g.Clip(from, along), g.Clip(from, along.Times(-1))
		sum := 0.0
		for side, half := range map[float64]Polygon{1: left, -1: right} {
			if half == nil {
				continue
			}
			sum += half.Area()
			if !half.Convex() {
				t.Errorf("%v is not convex", half)
			}
			for _, p := range half {
				if side*along.Cross(p.Sub(from))/along.Length() < -1e-9 {
					t.Errorf("%v of %v reaches over the line", p, half)
				}
			}
		}
		near(t, "the area of both sides", sum, g.Area(), 1e-5)
	})
}

func TestAreaAndCentroid(t *testing.T) {
	g := square(3, 4, 10)
	near(t, "area", g.Area(), 100, 1e-12)
	near(t, "area the other way round", g.Reversed().Area(), -100, 1e-12)
	if c := g.Centroid(); c.Sub(Point2{8, 9}).Length() > 1e-12 {
		t.Errorf("centroid = %v, want the middle", c)
	}
	rapid.Check(t, func(t *rapid.T) {
		g := anyConvex(t, 20)
		if c := g.Centroid(); !holds(g, c, 1e-9) {
			t.Errorf("the centroid %v of %v lies outside", c, g)
		}
		by := rapid.Float64Range(-3, 3).Draw(t, "turn")
		turned := make(Polygon, len(g))
		for i, p := range g {
			turned[i] = p.Turned(by)
		}
		near(t, "the area of the turned polygon", turned.Area(), g.Area(), 1e-9*max(1, g.Area()))
	})
}

func TestVectors(t *testing.T) {
	east, north := Point2{2, 0}, Point2{0, 3}
	near(t, "cross of east and north", east.Cross(north), 6, 0)
	near(t, "dot of east and north", east.Dot(north), 0, 0)
	if east.Left() != (Point2{0, 2}) || east.Unit() != (Point2{1, 0}) {
		t.Errorf("left of east = %v, unit = %v", east.Left(), east.Unit())
	}
	if got := east.Turned(math.Pi / 2).Sub(Point2{0, 2}).Length(); got > 1e-12 {
		t.Errorf("east turned by a right angle is %v off north", got)
	}
	if low, high := Bounds(Point2{1, 5}, Point2{-2, 7}); low != (Point2{-2, 5}) || high != (Point2{1, 7}) {
		t.Errorf("Bounds = %v, %v", low, high)
	}
	if square(0, 0, 1).Reversed().Convex() {
		t.Error("a clockwise square counts as convex and anticlockwise")
	}
}

// The sum of two convex polygons is the hull of the sums of their corners.
func TestSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g, h := anyConvex(t, 50), anyConvex(t, 20)
		var all []Point2
		for _, p := range g {
			for _, q := range h {
				all = append(all, p.Add(q))
			}
		}
		want, got := Hull(all), g.SumInto(nil, h)
		near(t, "area", got.Area(), want.Area(), 1e-6)
		for angle := 0.0; angle < 2*math.Pi; angle += 0.3 {
			way := Point2{math.Cos(angle), math.Sin(angle)}
			reach := func(g Polygon) float64 {
				far := math.Inf(-1)
				for _, p := range g {
					far = max(far, way.Dot(p))
				}
				return far
			}
			near(t, "reach", reach(got), reach(want), 1e-9)
		}
	})
}
