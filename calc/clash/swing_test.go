package clash

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/geom"
)

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

// anyConvex draws a convex polygon some way off the hinge.
func anyConvex(t *rapid.T, name string) geom.Polygon {
	free := rapid.Float64Range(-100, 100)
	from := geom.Point2{X: free.Draw(t, name+" y"), Y: free.Draw(t, name+" z")}
	size := rapid.Float64Range(1, 40).Draw(t, name+" size")
	for {
		var points []geom.Point2
		for range rapid.IntRange(3, 7).Draw(t, name+" corners") {
			part := rapid.Float64Range(-1, 1)
			points = append(points, from.Add(geom.Point2{X: part.Draw(t, "dy"), Y: part.Draw(t, "dz")}.Times(size)))
		}
		if g := geom.Hull(points); len(g) >= 3 && g.Area() > 0.1 {
			return g
		}
	}
}

func seen(g geom.Polygon) *section {
	s := newSection(g)
	return &s
}

func turnedSolid(body []geom.Point3, angle float64) []geom.Point3 {
	return appendTurnedSolid(nil, body, angle)
}

// sampled looks every hundredth of a degree.
func sampled(look func(float64) float64, from, to float64) float64 {
	least := math.Inf(1)
	steps := int(math.Ceil((to - from) / (0.01 * math.Pi / 180)))
	for i := range steps + 1 {
		least = math.Min(least, look(from+(to-from)*float64(i)/float64(steps)))
	}
	return least
}

// A swing that is called free is free at every hundredth of a degree, and one
// that is called blocked comes at least as near as the least step can tell.
func TestTurningNeverMisses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		moving, still := anyConvex(t, "moving"), anyConvex(t, "still")
		clearance := rapid.SampledFrom([]float64{0, 0.3, 1.5}).Draw(t, "clearance")
		to := rapid.Float64Range(0.1, 2.3).Draw(t, "to")
		nearest := math.Inf(1)
		p := turning(seen(moving), seen(still), 0, to, clearance, &nearest)
		if decided := turning(seen(moving), seen(still), 0, to, clearance, nil); decided.hit != p.hit {
			t.Errorf("a hit: %v when measured, %v when not", p.hit, decided.hit)
		}
		least := sampled(func(a float64) float64 { return geom.Apart(turned(moving, a), still) }, 0, to)
		if !p.hit && least < clearance-1e-9 {
			t.Errorf("turning(%v, %v) to %v is free, but they come as near as %v, less than %v", moving, still, to, least, clearance)
		}
		if p.hit && least > clearance+Step {
			t.Errorf("turning(%v, %v) to %v is a hit at %v, but they stay %v apart", moving, still, to, p.angle, least)
		}
		if p.hit && geom.Apart(turned(moving, p.angle), still) > clearance+Step/2 {
			t.Errorf("at the angle %v of the hit they are %v apart", p.angle, geom.Apart(turned(moving, p.angle), still))
		}
		if !p.hit && p.least > least+Step {
			t.Errorf("the least distance is told as %v; sampled, it is %v", p.least, least)
		}
		if !p.hit && p.least < least-Step {
			t.Errorf("the least distance %v is less than that of all samples, %v", p.least, least)
		}
	})
}

func TestTurningSolidsNeverMisses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		body := func(name string) []geom.Point3 {
			low := rapid.Float64Range(-20, 20).Draw(t, name+" x")
			long := rapid.Float64Range(1, 30).Draw(t, name+" long")
			var out []geom.Point3
			for _, p := range anyConvex(t, name) {
				out = append(out, geom.Point3{X: low, Y: p.X, Z: p.Y}, geom.Point3{X: low + long, Y: p.X, Z: p.Y})
			}
			return out
		}
		moving, still := body("moving"), body("still")
		to := rapid.Float64Range(0.1, 2.3).Draw(t, "to")
		p := turningSolids(moving, still, 0, to)
		least := math.Inf(1)
		for i := range 231 { // coarser than in the plane, since a look in space is dear
			least = math.Min(least, geom.Separation(turnedSolid(moving, to*float64(i)/230), still))
		}
		if !p.hit && least <= 0 {
			t.Errorf("turningSolids(%v, %v) to %v is free, but they meet", moving, still, to)
		}
		if p.hit && geom.Separation(turnedSolid(moving, p.angle), still) > Step {
			t.Errorf("at the angle %v of the hit they are apart", p.angle)
		}
	})
}

// Front rises: what lies before the hinge goes up and then back.
func TestTurned(t *testing.T) {
	front := geom.Polygon{{X: -10, Y: 0}}
	for _, test := range []struct{ degrees, y, z float64 }{{0, -10, 0}, {90, 0, 10}, {180, 10, 0}, {30, -10 * math.Sqrt(3) / 2, 5}} {
		got := turned(front, test.degrees*math.Pi/180)[0]
		near(t, "y", got.X, test.y, 1e-9)
		near(t, "z", got.Y, test.z, 1e-9)
		solid := turnedSolid([]geom.Point3{{X: 3, Y: -10, Z: 0}}, test.degrees*math.Pi/180)[0]
		near(t, "solid against section", math.Hypot(solid.Y-got.X, solid.Z-got.Y)+math.Abs(solid.X-3), 0, 1e-12)
	}
}

// By hand: the tip of a 50 mm flange turns about the hinge and touches a block
// whose near lower corner lies 30 back and 40 up, on the circle of 50.
func TestTurningByHand(t *testing.T) {
	flange := geom.Polygon{{X: -50, Y: 0}, {X: 0, Y: 0}, {X: 0, Y: 1}, {X: -50, Y: 1}}
	block := func(y, z float64) geom.Polygon {
		return geom.Polygon{{X: y, Y: z}, {X: y + 20, Y: z}, {X: y + 20, Y: z + 20}, {X: y, Y: z + 20}}
	}
	quarter := math.Pi / 2
	for _, test := range []struct {
		name  string
		block geom.Polygon
		to    float64
		hit   bool
		angle float64 // degrees, of the hit
	}{
		{"inside the circle", block(20, 30), 2.2, true, 112.4},
		{"just beyond the tip", block(31, 40), 2.2, false, 0},
		{"behind the end of the swing", block(20, 30), quarter, false, 0},
		{"in the way at once", block(-40, 1), quarter, true, 0},
		{"met late, at 78 degrees", geom.Polygon{{X: -9, Y: 45}, {X: 20, Y: 45}, {X: 20, Y: 60}, {X: -9, Y: 60}}, quarter, true, 78},
	} {
		p := turning(seen(flange), seen(test.block), 0, test.to, 0, nil)
		if p.hit != test.hit || (test.hit && math.Abs(p.angle*180/math.Pi-test.angle) > 2) {
			t.Errorf("%s: hit %v at %.1f degrees, want %v at about %v", test.name, p.hit, p.angle*180/math.Pi, test.hit, test.angle)
		}
	}
}

// A block just beyond the circle of the tip is in doubt up to half the least step:
// asked whether or how near, the answer is the same hit, or the way that was
// found by the one question would be lost by the other.
func TestDoubtIsTheSameBothWays(t *testing.T) {
	flange := geom.Polygon{{X: -50, Y: 0}, {X: 0, Y: 0}, {X: 0, Y: 1}, {X: -50, Y: 1}}
	for _, gap := range []float64{0.001, 0.01, 0.02, 0.024, 0.026, 0.04, 0.06, 1} {
		corner := geom.Point2{X: -1, Y: 1}.Unit().Times(farthest(flange) + gap)
		block := geom.Polygon{corner, corner.Add(geom.Point2{Y: 10}), corner.Add(geom.Point2{X: -10, Y: 10}), corner.Add(geom.Point2{X: -10})}
		nearest := math.Inf(1)
		asked, measured := turning(seen(flange), seen(block), 0, 2, 0, nil), turning(seen(flange), seen(block), 0, 2, 0, &nearest)
		if want := gap < Step/2; asked.hit != want || measured.hit != want {
			t.Errorf("%v mm beyond the tip: a hit %v, measured %v, want %v", gap, asked.hit, measured.hit, want)
		}
	}
}

func TestStill(t *testing.T) {
	one := geom.Polygon{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 0, Y: 10}}
	for _, test := range []struct {
		name  string
		by    float64
		clear float64
		hit   bool
	}{
		{"far", 20, 1.5, false}, {"at the clearance", 11.5, 1.5, false}, {"nearer", 11.4, 1.5, true}, {"touching, no clearance asked", 10, 0, true}, {"within", 3, 0, true},
	} {
		if p := still(seen(moved(one, test.by, 0)), seen(one), test.clear, test.by > 10, true); p.hit != test.hit {
			t.Errorf("%s: hit %v, want %v", test.name, p.hit, test.hit)
		}
	}
	if p := still(seen(moved(one, 7, 0)), seen(one), 0, false, false); math.Abs(p.depth-3) > 1e-9 {
		t.Errorf("3 mm of overlap are given as %v", p.depth)
	}
}
