package bend

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// mm shortens a conversion the tests make often.
func mm(v float64) unit.MM { return unit.MM(v) }

func TestReleasedAndUnderLoadAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(stock.All()).Draw(t, "material")
		s := stock.Sheet{Material: m, Thickness: mm(rapid.Float64Range(0.3, 4).Draw(t, "thickness"))}
		loaded := s.Thickness * mm(rapid.Float64Range(0.1, 60).Draw(t, "radius under load over thickness"))
		released := Released(s, loaded)
		if !(released > loaded) {
			t.Fatalf("%s bent to %v relaxes to %v", m.ID, loaded, released)
		}
		if math.IsInf(float64(released), 1) {
			return
		}
		if back := UnderLoad(s, released); math.Abs(float64(back/loaded-1)) > 1e-9 {
			t.Errorf("%s: %v relaxes to %v, which wants %v", m.ID, loaded, released, back)
		}
	})
}

// A sheet bent around a large drum only flexes.
func TestReleasedOfAFlexedSheet(t *testing.T) {
	s := sheet(t, "304", 0.5)
	flexes := 0.5 * float64(s.Material.Modulus/s.Material.Yield) * float64(s.Thickness)
	if got := Released(s, mm(flexes*1.0001)); !math.IsInf(float64(got), 1) {
		t.Errorf("Released(%v) = %v, want no radius at all", flexes, got)
	}
	if got := Released(s, mm(flexes*0.999)); math.IsInf(float64(got), 1) || got < 100*mm(flexes) {
		t.Errorf("just below flexing Released = %v, want a very large radius", got)
	}
	near(t, "a sharp bend relaxes", Released(s, 0), 0)
	near(t, "a sharp bend under load", UnderLoad(s, 0), 0)
}

// Worked by hand from the formula at a finished radius of one thickness: for
// 5251-H22 x = 0.99298 x 165/70000, r0 = 0.99298, 90 x 0.00702 / 1.49298.
func TestElasticFloorAtOneThickness(t *testing.T) {
	for id, want := range map[string]float64{"mild-steel": 0.182, "304": 0.201, "5251-H22": 0.423, "brass": 0.574} {
		s := sheet(t, id, 1)
		got := float64(ElasticSpringback(s, Bend{Angle: 90, Radius: 1, Thickness: 1}))
		if math.Abs(got-want) > 0.002 {
			t.Errorf("elastic springback of %s at r = t: %.3f degrees, want %.3f", id, got, want)
		}
		if practice := float64(s.Material.Springback.Low); got > practice {
			t.Errorf("%s: the floor %v is over what practice sees, %v", id, got, practice)
		}
	}
}

func TestSpringbackIsPracticeScaledWithTheAngle(t *testing.T) {
	s := sheet(t, "304", 1.2)
	for _, test := range []struct{ angle, mean, low, high unit.Deg }{{90, 4, 3, 5}, {45, 2, 1.5, 2.5}, {120, 16.0 / 3, 4, 20.0 / 3}} {
		got := Springback(s, Bend{Angle: test.angle, Radius: 1.2, Thickness: 1.2})
		near(t, "mean", mm(float64(got.Degrees)), mm(float64(test.mean)))
		near(t, "low", mm(float64(got.Low)), mm(float64(test.low)))
		near(t, "high", mm(float64(got.High)), mm(float64(test.high)))
		if !strings.Contains(got.From, "common practice") {
			t.Errorf("at %v it comes from %q, want common practice", test.angle, got.From)
		}
	}
}

func TestSpringbackOfLargeRadii(t *testing.T) {
	// 304 at r = 25 t: handbook factor 0.76, 90/0.76 - 90 = 28.42 degrees.
	got := Springback(sheet(t, "304", 1), Bend{Angle: 90, Radius: 25, Thickness: 1})
	if math.Abs(float64(got.Degrees)-28.421) > 0.001 || got.From != "handbook springback factor" {
		t.Errorf("304 at 25 t: %v from %q, want 28.42 from the handbook", got.Degrees, got.From)
	}
	// 5052-H32 has no handbook row: the elastic formula takes over.
	got = Springback(sheet(t, "5052-H32", 1), Bend{Angle: 90, Radius: 25, Thickness: 1})
	if got.From != "elastic formula" || got.Degrees < 10 {
		t.Errorf("5052-H32 at 25 t: %v from %q, want the elastic formula", got.Degrees, got.From)
	}
}

// Never below the floor, the spread around it, more for a larger angle and for
// a larger radius.
func TestLawsOfSpringback(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(stock.All()).Draw(t, "material")
		b := anyBend(t)
		s := stock.Sheet{Material: m, Thickness: b.Thickness}
		got := Springback(s, b)
		if floor := ElasticSpringback(s, b); got.Degrees < floor || floor < 0 {
			t.Errorf("%s %+v: %v, below the elastic floor %v", m.ID, b, got.Degrees, floor)
		}
		if !(got.Low <= got.Degrees && got.Degrees <= got.High && got.SD() > 0) {
			t.Errorf("%s %+v: %+v is out of order", m.ID, b, got)
		}
		sharper, wider := b, b
		sharper.Angle++
		wider.Radius++
		if Springback(s, sharper).Degrees <= got.Degrees || ElasticSpringback(s, wider) <= ElasticSpringback(s, b) {
			t.Errorf("%s %+v: springback does not grow with the angle and the radius", m.ID, b)
		}
		if other := Springback(stock.Sheet{Material: m}, b); other != got {
			t.Errorf("%s %+v: %+v, but %+v when the sheet does not say its thickness", m.ID, b, got, other)
		}
	})
}

func TestOverFormer(t *testing.T) {
	s := sheet(t, "mild-steel", 1)
	made, expected := OverFormer(s, 90, 10)
	if made.Radius <= 10 || made.Radius > 11 {
		t.Errorf("over a former of 10 the radius is %v, want a little more", made.Radius)
	}
	// The line through the middle of the sheet keeps its length.
	near(t, "middle line", (made.Radius+0.5)*90, (10+0.5)*mm(float64(90+expected.Degrees)))
	if made.K != 0.5 || made.Angle != 90 {
		t.Errorf("the finished bend is %+v, want 90 degrees and K 0.5", made)
	}
	ratio := float64(made.Radius / 10)
	if about := float64((90 + expected.Degrees) / 90); math.Abs(ratio-about) > 0.01 {
		t.Errorf("the radius grows by %v, stop over target is %v", ratio, about)
	}
	stainless, more := OverFormer(sheet(t, "304", 1), 90, 10)
	if more.Degrees <= expected.Degrees || stainless.Radius <= made.Radius {
		t.Errorf("304 springs %v to %v, mild steel %v to %v", more.Degrees, stainless.Radius, expected.Degrees, made.Radius)
	}
}

func ExampleSpringback() {
	m, _ := stock.Find("304")
	s := stock.Sheet{Material: m, Thickness: 1.2}
	e := Springback(s, Bend{Angle: 90, Radius: 1.8, Thickness: 1.2})
	fmt.Printf("%.1f degrees (%.1f to %.1f), %s: stop at %.1f\n", e.Degrees, e.Low, e.High, e.From, 90+e.Degrees)
	// Output: 4.0 degrees (3.0 to 5.0), common practice for the material: stop at 94.0
}

func ExampleReleased() {
	// Kalpakjian and Schmid: 20 gage steel, 0.0359 in, bent to 0.5 in under load,
	// Y 40 000 psi, E 29 000 000 psi.
	const in, psi = unit.PerInch, unit.PerPSI
	s := stock.Sheet{Material: stock.Material{Yield: 40000 * psi, Modulus: 29e6 * psi}, Thickness: 0.0359 * in}
	final := Released(s, 0.5*in)
	over := ElasticSpringback(s, Bend{Angle: 90, Radius: final, Thickness: s.Thickness})
	fmt.Printf("radius %.3f in, bend to %.1f degrees\n", final.Inches(), 90+over)
	// Output: radius 0.531 in, bend to 95.3 degrees
}

// The table of 304 ends at r = 40 t with the factor 0.63: 90/0.63 - 90 = 52.857
// degrees. Just past it there is no cliff; farther out what the table has over the
// elastic formula at its end is held.
func TestSpringbackPastTheTable(t *testing.T) {
	s := sheet(t, "304", 1)
	at := func(radius unit.MM) Expected { return Springback(s, Bend{Angle: 90, Radius: radius, Thickness: 1}) }
	end, past, far := at(40), at(40.3), at(80)
	if math.Abs(float64(end.Degrees)-52.857) > 0.001 || end.Beyond {
		t.Errorf("at 40 t: %+v, want 52.857 from the table", end)
	}
	if past.Degrees < end.Degrees || past.Degrees > end.Degrees+1 || !past.Beyond || !strings.Contains(past.From, "past the end") {
		t.Errorf("at 40.3 t: %+v after %+v", past, end)
	}
	elastic := func(radius unit.MM) unit.Deg {
		return ElasticSpringback(s, Bend{Angle: 90, Radius: radius, Thickness: 1})
	}
	if want := end.Degrees * elastic(80) / elastic(40); math.Abs(float64(far.Degrees-want)) > 1e-9 || far.SD() < past.SD()+5 || far.Low < elastic(80) {
		t.Errorf("at 80 t: %+v, want %v and a wide spread", far, want)
	}
}

// No material has a cliff: a radius larger by a thousandth springs back no less
// and hardly more, whatever the tables have.
func TestSpringbackHasNoCliff(t *testing.T) {
	for _, m := range stock.All() {
		s := stock.Sheet{Material: m, Thickness: 1}
		before := Springback(s, Bend{Angle: 90, Radius: 0.3, Thickness: 1})
		for radius := unit.MM(0.3); radius < 200; radius *= 1.001 {
			now := Springback(s, Bend{Angle: 90, Radius: radius, Thickness: 1})
			if now.Degrees < before.Degrees-1e-9 || now.Degrees > before.Degrees*1.02+0.02 || now.SD() > before.SD()*1.05+0.05 || !(now.SD() > 0) {
				t.Fatalf("%s at %v t: %+v after %+v", m.ID, radius, now, before)
			}
			before = now
		}
	}
}
