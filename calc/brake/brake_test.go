package brake

import (
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/geom"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
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

// suite is the invented brake of the development suite.
func suite(t failer) *Brake {
	t.Helper()
	data, err := os.ReadFile("../../testdata/suite/brake.json")
	if err != nil {
		t.Fatalf("%v", err)
	}
	b, err := Read(data)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return b
}

func TestScale(t *testing.T) {
	for _, test := range []struct {
		name  string
		scale Scale
		bend  unit.Deg
		stop  unit.Deg
	}{
		{"bend angles", Scale{}, 92, 92},
		{"bend angles, zero off", Scale{Zero: -3}, 92, 89},
		{"openings", Scale{Opening: true}, 92, 88},
		{"openings, zero off", Scale{Opening: true, Zero: 1.5}, 46.5, 135},
	} {
		near(t, test.name+": Stop", float64(test.scale.Stop(test.bend)), float64(test.stop), 1e-12)
		near(t, test.name+": Bend", float64(test.scale.Bend(test.stop)), float64(test.bend), 1e-12)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := Scale{rapid.Bool().Draw(t, "opening"), unit.Deg(rapid.Float64Range(-30, 30).Draw(t, "zero"))}
		a := unit.Deg(rapid.Float64Range(0, 180).Draw(t, "bend"))
		near(t, "s.Bend(s.Stop(a))", float64(s.Bend(s.Stop(a))), float64(a), 1e-12)
	})
}

func TestEquivalentThickness(t *testing.T) {
	b := suite(t)
	b.RatingFactor["430"] = 1.5
	for _, test := range []struct {
		material string
		want     float64
	}{
		{"mild-steel", 2}, {"galvanised", 2}, {"304", 2.6}, {"5052-H32", 1.6}, {"430", 3},
	} {
		m, err := stock.Find(test.material)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "2 mm of "+test.material, float64(b.EquivalentThickness(stock.Sheet{Material: m, Thickness: 2})), test.want, 1e-9)
	}
	copper, err := stock.Find("copper")
	if err != nil {
		t.Fatal(err)
	}
	sheet := stock.Sheet{Material: copper, Thickness: 2}
	near(t, "a material the brake does not name", float64(b.EquivalentThickness(sheet)), 2*sheet.RatingFactor(), 1e-12)
}

// The two parts of a section cover it, and the wedge is what lies in front of
// the full height.
func TestWedgeAndBodyCoverTheSection(t *testing.T) {
	b := suite(t)
	rod := Bar{Section: circle(10)}
	steep := Bar{Section: geom.Polygon{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 30}, {X: 0, Y: 30}}}
	for _, bar := range append(b.Bars, rod, steep) {
		sum := 0.0
		for _, g := range []geom.Polygon{bar.Wedge(), bar.Body()} {
			if g == nil {
				continue
			}
			sum += g.Area()
			if !g.Convex() {
				t.Errorf("%s: %v is not convex", bar.Name, g)
			}
		}
		near(t, bar.Name+": the area of wedge and body", sum, bar.Section.Area(), 1e-6)
	}
	if steep.Wedge() != nil {
		t.Errorf("a bar with an upright front has a wedge %v", steep.Wedge())
	}
	_, high := geom.Bounds(b.Bars[0].Wedge()...)
	near(t, "the wide bar's wedge ends behind the nose at", high.X, 26.4, 1e-9)
	low, _ := geom.Bounds(b.Bars[0].Body()...)
	near(t, "the wide bar's body begins there", low.X, 26.4, 1e-9)
}

func TestLeafFace(t *testing.T) {
	l := suite(t).Leaf
	if l.Face(Full) != 62 || l.Face(Slim) != 18 {
		t.Errorf("the leaf reaches %v in full and %v slim, want 62 and 18", l.Face(Full), l.Face(Slim))
	}
}

// A bar is taken as solid steel of 7.85 kg/dm3 (EN 1991-1-1 annex A gives 77 to 78.5
// kN/m3, from memory): 50 x 20 x 1000 mm are one dm3. Fingers have no one length.
func TestWeightOfABar(t *testing.T) {
	section := geom.Polygon{{X: 0, Y: 0}, {X: 0, Y: 20}, {X: 50, Y: 20}, {X: 50, Y: 0}}
	if got := (Bar{Section: section, Length: 1000}).Weight(); math.Abs(got-7.85) > 1e-9 {
		t.Errorf("it weighs %v kg, want 7.85", got)
	}
	if got := (Bar{Section: section}).Weight(); got != 0 {
		t.Errorf("fingers weigh %v", got)
	}
}
