package bend

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// What a strip teaches is what made it: bend one on paper, measure it, and K
// and springback come back.
func TestTrialGivesBackWhatMadeIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBend(t)
		b.K = rapid.Float64Range(0.11, 0.59).Draw(t, "k")
		b.Angle = max(b.Angle, 20)
		spring := unit.Deg(rapid.Float64Range(0, 14).Draw(t, "springback"))
		legs := [2]unit.MM{60, unit.MM(rapid.Float64Range(60, 90).Draw(t, "leg"))}
		strip := Trial{legs[0] + legs[1] - b.Deduction(), legs, b.Angle, b.Angle + spring, b.Radius, b.Thickness}
		m, err := strip.Learn()
		if err != nil {
			t.Fatalf("%+v.Learn() refuses: %v", strip, err)
		}
		near(t, "deduction", m.Deduction, b.Deduction())
		if math.Abs(m.K-b.K) > 1e-9 || math.Abs(float64(m.Springback-spring)) > 1e-9 {
			t.Errorf("learned K %v and springback %v, made with %v and %v", m.K, m.Springback, b.K, spring)
		}
	})
}

func TestTrialRefuses(t *testing.T) {
	good := Trial{Blank: 100, Legs: [2]unit.MM{51, 51.7}, Angle: 90, Stop: 91.5, Radius: 1.5, Thickness: 1.5}
	if m, err := good.Learn(); err != nil {
		t.Fatalf("%+v.Learn() = %+v, %v", good, m, err)
	}
	change := func(edit func(*Trial)) Trial {
		strip := good
		edit(&strip)
		return strip
	}
	for _, test := range []struct {
		name  string
		strip Trial
		want  fault.Kind
	}{
		{"no angle", change(func(s *Trial) { s.Angle = 0 }), fault.Invalid},
		{"no thickness", change(func(s *Trial) { s.Thickness = 0 }), fault.Invalid},
		{"no blank", change(func(s *Trial) { s.Blank = 0 }), fault.Invalid},
		{"a leg forgotten", change(func(s *Trial) { s.Legs[1] = 0 }), fault.Invalid},
		{"inside sizes given", change(func(s *Trial) { s.Legs = [2]unit.MM{49.5, 50.2} }), fault.Unsure},
		{"a leg misread by 5", change(func(s *Trial) { s.Legs[0] = 56 }), fault.Unsure},
		{"the stop as an opening", change(func(s *Trial) { s.Stop = 60 }), fault.Unsure},
		{"not a number", change(func(s *Trial) { s.Stop = unit.Deg(math.NaN()) }), fault.Unsure},
	} {
		if m, err := test.strip.Learn(); fault.KindOf(err) != test.want {
			t.Errorf("%s: %+v, %v, want kind %v", test.name, m, err, test.want)
		}
	}
}

func ExampleTrial_Learn() {
	// A 100 mm strip of 1.5 mm sheet, bent once: legs 51.2 and 51.5 outside.
	m, err := Trial{Blank: 100, Legs: [2]unit.MM{51.2, 51.5}, Angle: 90, Stop: 91.6, Radius: 1.5, Thickness: 1.5}.Learn()
	fmt.Printf("deduction %.2f, K %.2f, springback %.1f, %v\n", m.Deduction, m.K, m.Springback, err)
	// Output: deduction 2.70, K 0.40, springback 1.6, <nil>
}

// K of 0.1 to 0.6 and a springback of -1 to 15 degrees are believed (common practice,
// no source); what lies outside is asked about.
func TestTrialIsDoubted(t *testing.T) {
	for _, test := range []struct {
		k          float64
		springback unit.Deg
		doubted    string
	}{
		{0.101, 1, ""}, {0.599, 1, ""}, {0.099, 1, "k"}, {0.601, 1, "k"}, {0.06, 1, "k"},
		{0.4, -1, ""}, {0.4, 15, ""}, {0.4, -1.01, "angle"}, {0.4, 15.01, "angle"},
	} {
		err := Measured{K: test.k, Springback: test.springback}.doubt()
		r, _ := err.(*fault.Refusal)
		if (err != nil) != (test.doubted != "") || r != nil && (r.Kind != fault.Unsure || r.Field != test.doubted) {
			t.Errorf("K %v, springback %v: %v, want doubt about %q", test.k, float64(test.springback), err, test.doubted)
		}
	}
}
