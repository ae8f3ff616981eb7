package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyPoint draws a place within a square of so many millimetres. Coordinates
// are whole hundredths half of the time, so that edges often line up.
func anyPoint(t *rapid.T, size float64) Point2 {
	if rapid.Bool().Draw(t, "on a grid") {
		grid := rapid.IntRange(-100, 100)
		return Point2{float64(grid.Draw(t, "x")) * size / 100, float64(grid.Draw(t, "y")) * size / 100}
	}
	free := rapid.Float64Range(-size, size) // written to a tenth of a micrometre
	return Point2{math.Round(free.Draw(t, "x")*1e4) / 1e4, math.Round(free.Draw(t, "y")*1e4) / 1e4}
}

// anyConvex draws a convex polygon with an area a person could see.
func anyConvex(t *rapid.T, size float64) Polygon {
	for {
		var points []Point2
		for range rapid.IntRange(3, 9).Draw(t, "corners") {
			points = append(points, anyPoint(t, size))
		}
		if g := Hull(points); len(g) >= 3 && g.Area() > 0.01 {
			return g
		}
	}
}

// anyFrame draws a rigid placement.
func anyFrame(t *rapid.T) Frame {
	free := rapid.Float64Range(-50, 50)
	place := func(name string) Point3 {
		return Point3{free.Draw(t, name+" x"), free.Draw(t, name+" y"), free.Draw(t, name+" z")}
	}
	axis := place("axis")
	if axis.Length() < 1 {
		axis = Point3{0, 0, 1}
	}
	quarter := math.Pi / 2 * float64(rapid.IntRange(0, 3).Draw(t, "quarters"))
	turn := quarter + rapid.SampledFrom([]float64{0, 0.3, 1.1}).Draw(t, "and")
	return Rotation(place("through"), axis.Times(1/axis.Length()), turn).Then(Shift(place("shift")))
}

// failer is the part of a test that rapid's tests have too.
type failer interface {
	Helper()
	Errorf(format string, values ...any)
	Fatalf(format string, values ...any)
}

func near(t failer, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

func square(x, y, size float64) Polygon {
	return Polygon{{x, y}, {x + size, y}, {x + size, y + size}, {x, y + size}}
}

// holds reports whether a convex polygon holds a point, to within a rounding.
func holds(g Polygon, p Point2, by float64) bool {
	for i, a := range g {
		edge := g[(i+1)%len(g)].Sub(a)
		if long := edge.Length(); long > Near && edge.Cross(p.Sub(a)) < -by*long {
			return false
		}
	}
	return true
}

// TestDrawnPolygonsAreConvex keeps the generator honest.
func TestDrawnPolygonsAreConvex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		if g := anyConvex(t, 10); !g.Convex() || !(g.Area() > 0) {
			t.Errorf("drew %v, which is not convex and anticlockwise", g)
		}
	})
}
