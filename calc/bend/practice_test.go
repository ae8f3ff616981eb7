package bend

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// measured is a calibration of 1.5 mm mild steel at r = t that fits every bar.
var measured = Calibration{
	Material: "mild-steel", Thickness: 1.5, Radius: [2]unit.MM{1.2, 1.9}, K: 0.41, Angle: 90, Springback: 1.2,
	By: "AB", At: "2026-05-04T09:30:00Z", Source: "trial strip",
}

func changed(edit func(*Calibration)) Calibration {
	c := measured
	edit(&c)
	return c
}

// square is a square bend of 1.5 mm mild steel at r = t.
func square(t testing.TB, tool Tool) Making {
	return Making{Sheet: sheet(t, "mild-steel", 1.5), Bend: Bend{Angle: 90, Radius: 1.5, Thickness: 1.5}, Tool: tool}
}

func TestReckonTakesTheSurest(t *testing.T) {
	wide := changed(func(c *Calibration) { c.Bar, c.K = "wide", 0.44 })
	narrow := changed(func(c *Calibration) { c.Bar, c.K = "narrow", 0.38 })
	older := changed(func(c *Calibration) { c.K, c.At = 0.36, "2025-01-01" })
	for _, test := range []struct {
		name     string
		practice Practice
		pinned   float64
		tool     Tool
		want     float64
		from     string
	}{
		{"nothing known", Practice{}, 0, Tool{}, 0.33, Textbook.Name},
		{"the shop's rule", Practice{Rule: DIN6935}, 0, Tool{}, 0.325, DIN6935.Name},
		{"its rule for the family", Practice{Rule: DIN6935, RuleFor: []MaterialRule{{"mild-steel", HalfHard}}}, 0, Tool{}, 0.407437, HalfHard.Name},
		{"a rule for another", Practice{Rule: DIN6935, RuleFor: []MaterialRule{{"copper", HalfHard}}}, 0, Tool{}, 0.325, DIN6935.Name},
		{"measured", Practice{Rule: DIN6935, Calibrations: []Calibration{measured}}, 0, Tool{}, 0.41, "measured in this shop (AB 2026-05-04)"},
		{"pinned", Practice{Rule: DIN6935, Calibrations: []Calibration{measured}}, 0.4, Tool{}, 0.4, "given in the part file"},
		{"of this bar before of every bar", Practice{Calibrations: []Calibration{wide, narrow, measured}}, 0, Tool{Bar: "wide"}, 0.44, "measured in this shop under wide (AB 2026-05-04)"},
		{"of every bar before of another bar", Practice{Calibrations: []Calibration{wide, measured}}, 0, Tool{Bar: "narrow"}, 0.41, "measured in this shop (AB 2026-05-04)"},
		{"of another bar: the rule", Practice{Calibrations: []Calibration{wide}}, 0, Tool{Bar: "narrow"}, 0.33, Textbook.Name},
		{"bar not known: of every bar first", Practice{Calibrations: []Calibration{wide, measured, narrow}}, 0, Tool{}, 0.41, "measured in this shop (AB 2026-05-04)"},
		{"bar not known: else of some bar", Practice{Calibrations: []Calibration{wide}}, 0, Tool{}, 0.44, "measured in this shop under wide (AB 2026-05-04)"},
		{"the newest by date", Practice{Calibrations: []Calibration{measured, older}}, 0, Tool{}, 0.41, "measured in this shop (AB 2026-05-04)"},
		{"the later of the same day", Practice{Calibrations: []Calibration{measured, changed(func(c *Calibration) { c.K = 0.42 })}}, 0, Tool{}, 0.42, "measured in this shop (AB 2026-05-04)"},
		{"nobody said who", Practice{Calibrations: []Calibration{changed(func(c *Calibration) { c.By, c.At = "", "" })}}, 0, Tool{}, 0.41, "measured in this shop"},
		{"only springback was measured", Practice{Calibrations: []Calibration{changed(func(c *Calibration) { c.K = 0 })}}, 0, Tool{}, 0.33, Textbook.Name},
	} {
		m := square(t, test.tool)
		m.Pinned = test.pinned
		b, from := test.practice.Reckon(m)
		if math.Abs(b.K-test.want) > 1e-6 || from != test.from {
			t.Errorf("%s: Reckon = K %v, %q, want %v, %q", test.name, b.K, from, test.want, test.from)
		}
		if b.Angle != m.Bend.Angle || b.Radius != m.Bend.Radius || b.Thickness != m.Bend.Thickness {
			t.Errorf("%s: the bend itself became %+v", test.name, b)
		}
	}
}

// A calibration speaks of its own material, thickness and radii only.
func TestCalibrationKeepsToItsBand(t *testing.T) {
	for _, test := range []struct {
		name              string
		material          string
		thickness, radius unit.MM
		fits              bool
	}{
		{"as measured", "mild-steel", 1.5, 1.5, true},
		{"as thick as a micrometer tells apart", "mild-steel", 1.55, 1.5, true},
		{"another thickness", "mild-steel", 1.56, 1.5, false},
		{"thinner", "mild-steel", 1.44, 1.5, false},
		{"at the end of its radii", "mild-steel", 1.5, 1.9, true},
		{"past its radii", "mild-steel", 1.5, 2, false},
		{"below its radii", "mild-steel", 1.5, 1.1, false},
		{"another material of the family", "galvanised", 1.5, 1.5, false},
	} {
		m := Making{Sheet: sheet(t, test.material, test.thickness), Bend: Bend{Angle: 90, Radius: test.radius, Thickness: test.thickness}}
		b, _ := Practice{Calibrations: []Calibration{measured}}.Reckon(m)
		if got := b.K == measured.K; got != test.fits {
			t.Errorf("%s: goes by the calibration: %v, want %v", test.name, got, test.fits)
		}
	}
}

func TestCalibrationOfTheNearestThickness(t *testing.T) {
	thick := changed(func(c *Calibration) { c.Thickness, c.K = 1.54, 0.45 })
	for thickness, want := range map[unit.MM]float64{1.5: 0.41, 1.53: 0.45} {
		m := Making{Sheet: sheet(t, "mild-steel", thickness), Bend: Bend{Angle: 90, Radius: 1.5, Thickness: thickness}}
		for _, list := range [][]Calibration{{measured, thick}, {thick, measured}} {
			if b, _ := (Practice{Calibrations: list}).Reckon(m); b.K != want {
				t.Errorf("%v mm goes by K %v, want %v", thickness, b.K, want)
			}
		}
	}
}

func TestExpectTakesTheSurest(t *testing.T) {
	learned := func(m Making) (Expected, bool) {
		return Expected{Degrees: 1.4, Low: 1.2, High: 1.6, From: "9 readings of this lot"}, m.Tool.Bar == "wide"
	}
	calibrated := Practice{Calibrations: []Calibration{measured}}
	both := Practice{Calibrations: []Calibration{measured}, Learned: learned}
	for _, test := range []struct {
		name     string
		practice Practice
		bar      string
		angle    unit.Deg
		want     Expected
	}{
		{"practice", Practice{}, "", 90, Expected{Degrees: 1.5, Low: 1, High: 2, From: "common practice for the material"}},
		{"a strip", calibrated, "", 90, Expected{Degrees: 1.2, Low: 0.95, High: 1.45, From: "measured in this shop (AB 2026-05-04)"}},
		{"a strip, half the angle", calibrated, "", 45, Expected{Degrees: 0.6, Low: 0.475, High: 0.725, From: "measured in this shop (AB 2026-05-04)"}},
		{"learned", both, "wide", 90, Expected{Degrees: 1.4, Low: 1.2, High: 1.6, From: "9 readings of this lot"}},
		{"learned of another bar only", both, "narrow", 90, Expected{Degrees: 1.2, Low: 0.95, High: 1.45, From: "measured in this shop (AB 2026-05-04)"}},
	} {
		m := square(t, Tool{Bar: test.bar})
		m.Bend.Angle = test.angle
		got := test.practice.Expect(m)
		if got.From != test.want.From {
			t.Errorf("%s: from %q, want %q", test.name, got.From, test.want.From)
		}
		near(t, test.name+": degrees", mm(float64(got.Degrees)), mm(float64(test.want.Degrees)))
		near(t, test.name+": low", mm(float64(got.Low)), mm(float64(test.want.Low)))
		near(t, test.name+": high", mm(float64(got.High)), mm(float64(test.want.High)))
	}
}

// Over a former the finished radius is larger, K is that of the finished
// radius, and calibrations are looked up by the former.
func TestReckonOverAFormer(t *testing.T) {
	m := Making{Sheet: sheet(t, "mild-steel", 1), Bend: Bend{Angle: 90, Radius: 10, Thickness: 1}, Tool: Tool{Bar: "tube", Former: 10}}
	b, from := Practice{}.Reckon(m)
	expected := Practice{}.Expect(m)
	if b.K != 0.5 || from != Textbook.Name {
		t.Errorf("K %v by %q, want 0.5 by the textbook", b.K, from)
	}
	near(t, "finished radius", b.Radius, 10.5*mm(float64((90+expected.Degrees)/90))-0.5)
	if again, _ := (Practice{}).Reckon(Making{Sheet: m.Sheet, Bend: b, Tool: m.Tool}); again != b {
		t.Errorf("reckoned again from the finished radius it is %+v, was %+v", again, b)
	}
	own := Practice{Calibrations: []Calibration{{Material: "mild-steel", Thickness: 1, Radius: [2]unit.MM{9, 10.1}, Bar: "tube", K: 0.47, Angle: 90, Springback: 9}}}
	b, _ = own.Reckon(m)
	if b.K != 0.47 {
		t.Errorf("with a calibration of the former K is %v, want 0.47", b.K)
	}
	near(t, "finished radius with a springback of 9", b.Radius, 10.5*99.0/90-0.5)
}

// What a strip teaches is what the next bend of its kind goes by.
func TestAdoptedStripComesBack(t *testing.T) {
	stainless := sheet(t, "304", 1).Material
	rapid.Check(t, func(t *rapid.T) {
		b := anyBend(t)
		b.Angle, b.K = max(b.Angle, 20), rapid.Float64Range(0.11, 0.59).Draw(t, "k")
		spring := unit.Deg(rapid.Float64Range(0, 14).Draw(t, "springback"))
		strip := Trial{90 + 60 - b.Deduction(), [2]unit.MM{90, 60}, b.Angle, b.Angle + spring, b.Radius, b.Thickness}
		m := Making{Sheet: stock.Sheet{Material: stainless, Thickness: b.Thickness}, Bend: b, Tool: Tool{Bar: rapid.SampledFrom([]string{"", "wide"}).Draw(t, "bar")}}
		learned, err := strip.Learn()
		if err != nil {
			t.Fatal(err)
		}
		p := Practice{Calibrations: []Calibration{strip.Calibration(m, learned)}}
		again, _ := p.Reckon(m)
		if math.Abs(again.K-b.K) > 1e-6 || math.Abs(float64(p.Expect(m).Degrees-spring)) > 1e-6 {
			t.Errorf("adopted K %v and %v, made with %v and %v", again.K, p.Expect(m).Degrees, b.K, spring)
		}
		_, from := p.Reckon(Making{Sheet: m.Sheet, Bend: b, Tool: Tool{Bar: "narrow"}})
		if forAny := from != Textbook.Name; forAny != (m.Tool.Bar == "") {
			t.Errorf("adopted for %q it holds for narrow: %v", m.Tool.Bar, forAny)
		}
	})
}

func TestStripWithoutAStopTeachesNoSpringback(t *testing.T) {
	strip := Trial{Blank: 100, Legs: [2]unit.MM{51.2, 51.5}, Angle: 90, Radius: 1.5, Thickness: 1.5}
	m, err := strip.Learn()
	if err != nil || m.Angle != 0 || m.Springback != 0 {
		t.Fatalf("Learn() = %+v, %v, want no springback", m, err)
	}
	p := Practice{Calibrations: []Calibration{strip.Calibration(square(t, Tool{}), m)}}
	if e := p.Expect(square(t, Tool{})); e != Springback(square(t, Tool{}).Sheet, square(t, Tool{}).Bend) {
		t.Errorf("Expect = %+v, want what practice knows", e)
	}
}

func TestKOfDeduction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBend(t)
		if k := b.KOfDeduction(b.Deduction()); math.Abs(k-b.K) > 1e-9 {
			t.Errorf("%+v: KOfDeduction(Deduction()) = %v", b, k)
		}
	})
}

// A quarter ring of no inside is a quarter disc, its centre 4 R / (3 pi) x
// root 2 from the corner; a thin ring is an arc, 2 r / pi x root 2 (Machinery's
// Handbook, from memory).
func TestRingCentre(t *testing.T) {
	near(t, "quarter disc", RingCentre(Bend{Angle: 90, Radius: 0, Thickness: 3}), mm(4*3/(3*math.Pi)*math.Sqrt2))
	thin := RingCentre(Bend{Angle: 90, Radius: 10, Thickness: 1e-7})
	if want := 2 * 10 / math.Pi * math.Sqrt2; math.Abs(float64(thin)-want) > 1e-6 {
		t.Errorf("a thin quarter arc: %v, want %v", thin, want)
	}
	rapid.Check(t, func(t *rapid.T) {
		b := anyBend(t)
		c := RingCentre(b)
		if !(c > 0 && c < b.Radius+b.Thickness) {
			t.Errorf("%+v: centre at %v, outside the ring's outer radius", b, c)
		}
	})
}

func ExamplePractice_Reckon() {
	p := Practice{Rule: DIN6935, Calibrations: []Calibration{{
		Material: "304", Thickness: 1.2, Radius: [2]unit.MM{1.5, 2}, Bar: "wide", K: 0.43, By: "AB", At: "2026-05-04",
	}}}
	material, _ := stock.Find("304")
	for _, bar := range []string{"wide", "narrow"} {
		m := Making{Sheet: stock.Sheet{Material: material, Thickness: 1.2}, Bend: Bend{Angle: 90, Radius: 1.8, Thickness: 1.2}, Tool: Tool{Bar: bar}}
		b, from := p.Reckon(m)
		fmt.Printf("%s: K %.3f, deduction %.2f mm, %s\n", bar, b.K, b.Deduction(), from)
	}
	// Output:
	// wide: K 0.430, deduction 2.36 mm, measured in this shop under wide (AB 2026-05-04)
	// narrow: K 0.369, deduction 2.48 mm, DIN 6935
}
