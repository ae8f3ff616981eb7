package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func anyPlace(t *rapid.T) Point3 {
	free := rapid.Float64Range(-100, 100)
	return Point3{free.Draw(t, "x"), free.Draw(t, "y"), free.Draw(t, "z")}
}

func TestFrameLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, g, p, q := anyFrame(t), anyFrame(t), anyPlace(t), anyPlace(t)
		same := func(law string, a, b Point3) {
			t.Helper()
			near(t, law, a.Sub(b).Length(), 0, 1e-9)
		}
		same("f.Then(g).Place(p) == g.Place(f.Place(p))", f.Then(g).Place(p), g.Place(f.Place(p)))
		same("f.Then(f.Inverse()).Place(p) == p", f.Then(f.Inverse()).Place(p), p)
		same("f.Inverse().Then(f).Place(p) == p", f.Inverse().Then(f).Place(p), p)
		same("f.Then(Fixed) == f", f.Then(Fixed).Place(p), f.Place(p))
		same("Fixed.Then(f) == f", Fixed.Then(f).Place(p), f.Place(p))
		same("f.Turn(p-q) == f.Place(p)-f.Place(q)", f.Turn(p.Sub(q)), f.Place(p).Sub(f.Place(q)))
		near(t, "distances stay", f.Place(p).Sub(f.Place(q)).Length(), p.Sub(q).Length(), 1e-9)
		near(t, "right stays right", f.X.Cross(f.Y).Dot(f.Z), 1, 1e-9)
	})
}

func TestRotation(t *testing.T) {
	tests := []struct {
		name               string
		through, direction Point3
		radians            float64
		p, want            Point3
	}{
		{"a quarter about z", Point3{}, Point3{0, 0, 1}, math.Pi / 2, Point3{1, 0, 5}, Point3{0, 1, 5}},
		{"a quarter about x", Point3{}, Point3{1, 0, 0}, math.Pi / 2, Point3{7, 1, 0}, Point3{7, 0, 1}},
		{"a half about an axis off the middle", Point3{2, 0, 0}, Point3{0, 0, 1}, math.Pi, Point3{3, 1, 0}, Point3{1, -1, 0}},
		{"a point of the axis stays", Point3{2, 3, 0}, Point3{0, 0, 1}, 1.234, Point3{2, 3, 9}, Point3{2, 3, 9}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := Rotation(test.through, test.direction, test.radians).Place(test.p)
			near(t, "distance from where it should be", got.Sub(test.want).Length(), 0, 1e-12)
		})
	}
}

func TestPrismAndSpan(t *testing.T) {
	p := Prism(square(1, 2, 3), -1, 4)
	if len(p) != 8 {
		t.Fatalf("a prism of a square has %d corners", len(p))
	}
	for _, test := range []struct {
		name       string
		coordinate func(Point3) float64
		low, high  float64
	}{
		{"x", func(p Point3) float64 { return p.X }, 1, 4},
		{"y", func(p Point3) float64 { return p.Y }, 2, 5},
		{"z", func(p Point3) float64 { return p.Z }, -1, 4},
	} {
		if low, high := Span(p, test.coordinate); low != test.low || high != test.high {
			t.Errorf("Span over %s = %v, %v; want %v, %v", test.name, low, high, test.low, test.high)
		}
	}
	if placed := Placed(p, Shift(Point3{X: 10})); placed[0] != (Point3{11, 2, -1}) {
		t.Errorf("the first corner moved by 10 lies at %v", placed[0])
	}
}
