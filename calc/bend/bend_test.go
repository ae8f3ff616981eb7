package bend

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// failer is the part of a test that rapid's tests have too.
type failer interface {
	Helper()
	Errorf(format string, values ...any)
}

// near fails unless the two lengths agree to a millionth of a millimetre.
func near(t failer, what string, got, want unit.MM) {
	t.Helper()
	if !(math.Abs(float64(got-want)) < 1e-6) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// sheet is a material the tests know to be there, in a thickness.
func sheet(t testing.TB, id string, thickness unit.MM) stock.Sheet {
	t.Helper()
	m, err := stock.Find(id)
	if err != nil {
		t.Fatal(err)
	}
	return stock.Sheet{Material: m, Thickness: thickness}
}

func TestBendByHand(t *testing.T) {
	// Worked by hand: tan 45 = 1, tan 22.5 = 0.414213562, tan 67.5 = 2.414213562.
	for _, test := range []struct {
		name                                  string
		bend                                  Bend
		setback, allowance, deduction, flange unit.MM
		toTangent, inside                     unit.MM
	}{
		{"square", Bend{90, 1.5, 1.5, 0.42}, 3, 3.345796, 2.654204, 8, 2.654204, -0.345796},
		{"obtuse opening", Bend{45, 1.5, 1.5, 0.42}, 1.242641, 1.672898, 0.812384, 8, 0.812384, -0.430257},
		{"acute opening", Bend{135, 1.5, 1.5, 0.42}, 7.242641, 5.018694, 9.466588, 8, 0.981306, 2.223947},
		{"sharp", Bend{90, 0, 2, 0.33}, 2, 1.036726, 2.963274, 8, 2.963274, -1.036726},
	} {
		t.Run(test.name, func(t *testing.T) {
			near(t, "outside setback", test.bend.OutsideSetback(), test.setback)
			near(t, "allowance", test.bend.Allowance(), test.allowance)
			near(t, "deduction", test.bend.Deduction(), test.deduction)
			near(t, "deduction to the tangent", test.bend.DeductionToTangent(), test.toTangent)
			near(t, "least flange", test.bend.LeastFlange(), test.flange)
			near(t, "inside deduction", test.bend.InsideDeduction(), test.inside)
		})
	}
	near(t, "least hole distance", Bend{90, 1, 2, 0.4}.LeastHoleDistance(), 6)
}

func TestCheck(t *testing.T) {
	nan := math.NaN()
	for _, test := range []struct {
		field string
		bend  Bend
	}{
		{"angle", Bend{0, 1, 1, 0.4}}, {"angle", Bend{180, 1, 1, 0.4}}, {"angle", Bend{-90, 1, 1, 0.4}}, {"angle", Bend{unit.Deg(nan), 1, 1, 0.4}},
		{"thickness", Bend{90, 1, 0, 0.4}}, {"thickness", Bend{90, 1, -1, 0.4}}, {"thickness", Bend{90, 1, unit.MM(math.Inf(1)), 0.4}},
		{"radius", Bend{90, -0.1, 1, 0.4}}, {"radius", Bend{90, unit.MM(nan), 1, 0.4}}, {"radius", Bend{90, unit.MM(math.Inf(1)), 1, 0.4}},
		{"k", Bend{90, 1, 1, -0.1}}, {"k", Bend{90, 1, 1, 1.1}}, {"k", Bend{90, 1, 1, nan}},
	} {
		err := test.bend.Check()
		var refusal *fault.Refusal
		if !errors.As(err, &refusal) || refusal.Kind != fault.Invalid || refusal.Field != test.field {
			t.Errorf("%+v.Check() = %v, want a refusal as invalid on %s", test.bend, err, test.field)
		}
	}
	if err := (Bend{179.9, 0, 0.3, 0}).Check(); err != nil {
		t.Errorf("a sharp bend of 179.9 degrees is refused: %v", err)
	}
}

// anyBend draws a bend a leaf brake might be asked for.
func anyBend(t *rapid.T) Bend {
	return Bend{
		Angle:     unit.Deg(rapid.Float64Range(1, 135).Draw(t, "angle")),
		Radius:    unit.MM(rapid.Float64Range(0, 20).Draw(t, "radius")),
		Thickness: unit.MM(rapid.Float64Range(0.3, 4).Draw(t, "thickness")),
		K:         rapid.Float64Range(0, 0.5).Draw(t, "k"),
	}
}

func TestLawsOfBends(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBend(t)
		square := b
		square.Angle = 90
		if !(square.Deduction() > 0) {
			t.Errorf("a square bend %+v makes the blank longer than its outside sizes", square)
		}
		wider, further := b, b
		wider.Radius += 0.1
		further.K += 0.01
		if !(wider.Allowance() > b.Allowance() && further.Allowance() > b.Allowance()) {
			t.Errorf("%+v: the allowance does not grow with the radius and with K", b)
		}
		if !(further.Deduction() < b.Deduction()) {
			t.Errorf("%+v: the deduction does not shrink with K", b)
		}
		if !(b.DeductionToTangent() <= b.Deduction()+1e-9) {
			t.Errorf("%+v: sizes to the tangent are longer than to the apex", b)
		}
		if b.Angle <= 90 && b.DeductionToTangent() != b.Deduction() {
			t.Errorf("%+v: at most 90 degrees, and the tangent is not the apex", b)
		}
		near(t, "two outside setbacks less the allowance", 2*b.OutsideSetback()-b.Allowance(), b.Deduction())
	})
}

// Sizes inside and sizes outside give one blank.
func TestInsideAndOutsideAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBend(t)
		leg := unit.MM(rapid.Float64Range(10, 200).Draw(t, "outside leg"))
		inside := leg - b.InsideDifference()
		near(t, "the blank by inside sizes", 2*inside-b.InsideDeduction(), 2*leg-b.Deduction())
		turned := b
		turned.Radius, turned.Thickness = b.Radius+b.Thickness, 0
		near(t, "the inside setback", (b.OutsideSetback() - b.InsideDifference()), b.Radius*b.halfTangent())
		near(t, "a bend of no thickness at the outside radius", turned.OutsideSetback(), b.OutsideSetback())
	})
}

// Past 90 degrees the two ways to size come together at 90, without a step.
func TestTangentMeetsApexAtSquare(t *testing.T) {
	b := Bend{90, 2, 1.5, 0.4}
	past := b
	past.Angle = 90.000001
	if gap := past.DeductionToTangent() - b.DeductionToTangent(); math.Abs(float64(gap)) > 1e-6 {
		t.Errorf("the deduction to the tangent steps by %v at 90 degrees", gap)
	}
}

func ExampleBend_Allowance() {
	// The U-channel of FAA-H-8083-31 volume 1 chapter 4: 0.040 in 2024-T3, mould
	// lines 1, 2 and 1 in. The handbook calls its radius both 0.16 and 5/32 in, sets
	// back by the first and reads the allowance off its chart for the second.
	const in = unit.PerInch
	setback := Bend{Angle: 90, Radius: 0.16 * in, Thickness: 0.040 * in}.OutsideSetback().Inches()
	b := Bend{Angle: 90, Radius: 5 * in / 32, Thickness: 0.040 * in}
	b.K = PerDegree.K(b)
	flats := []float64{1 - setback, 2 - 2*setback, 1 - setback}
	fmt.Printf("setback %.2f, flats %.2f, allowance %.2f\n", setback, flats, b.Allowance().Inches())
	fmt.Printf("blank %.2f in, shorter than the 4 in of mould lines\n", flats[0]+flats[1]+flats[2]+2*0.27)
	// Output:
	// setback 0.20, flats [0.80 1.60 0.80], allowance 0.27
	// blank 3.74 in, shorter than the 4 in of mould lines
}

func ExampleBend_DeductionToTangent() {
	// The worked example of a German trade table book after DIN 6935: opening 60,
	// r 6, s 5, k 0.7 from the diagram, sizes 16 and 21; it rounds 31.23 up to 32.
	b := Bend{Angle: 120, Radius: 6, Thickness: 5, K: 0.7 / 2}
	v := b.DeductionToTangent()
	fmt.Printf("v = %.2f mm, L = %.2f mm\n", v, 16+21-v)
	// Output: v = 5.77 mm, L = 31.23 mm
}

func ExampleKFactor() {
	k, rule := KFactor(1.5, 1.5)
	fmt.Println(k, rule)
	// Output: 0.33 K 0.33 below r = 2t, 0.5 from 2t
}
