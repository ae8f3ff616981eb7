package process_test

import (
	"math"
	"testing"

	"brakeside/calc"
	"brakeside/calc/process"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// The chains of the suite's parts, worked by hand from their drawings and from
// the order found: how many bends lie between the gauged edge and the checked
// size, the leg each swings, and whether another cut edge comes in.
func TestLikely(t *testing.T) {
	type chain struct {
		legs []float64
		cut  bool
	}
	for _, c := range []struct {
		part string
		want [][]chain // of the sizes, step by step
	}{
		// L: both legs, the one from the edge that it was gauged from.
		{"P1", [][]chain{{{nil, false}, {nil, true}}}},
		// Z: the web is checked between both bends.
		{"P2", [][]chain{{{nil, false}}, {{[]float64{24.09}, true}, {nil, false}}}},
		// C: a lip, the other wall from the far edge, its lip, the wall of the first lip from
		// that lip's bend. So that wall has one bend in it, and the web, between the two, both
		// bends and both edges.
		{"P4", [][]chain{{{nil, false}}, {}, {{[]float64{42.09}, true}, {nil, false}}, {{[]float64{12.05}, false}, {[]float64{12.05, 42.09}, true}}}},
		// Box: every wall, and the base when its second wall stands.
		{"P5", [][]chain{{{nil, false}}, {{[]float64{139.03}, true}, {nil, false}}, {{nil, false}}, {{[]float64{139.03}, true}, {nil, false}}}},
	} {
		t.Run(c.part, func(t *testing.T) {
			p := suite.Part(t, c.part)
			plan, err := calc.Work(p, suite.Brake(t), calc.Options{})
			if err != nil {
				t.Fatal(err)
			}
			likely := plan.Likely(tolerance.Usual)
			for i, wanted := range c.want {
				angle := likely[0]
				if !angle.Angle || angle.Spread != 0.5 || angle.Verdict != tolerance.Judge(1, 0.5) {
					t.Errorf("step %d: angle %+v, want a spread of 0.5 and the tolerance of 1 tight", i+1, angle)
				}
				for k, want := range wanted {
					size := likely[1+k]
					variance := 0.15 * 0.15
					if want.cut {
						variance *= 2
					}
					for _, leg := range want.legs {
						variance += 0.25*0.25 + math.Pow(leg*0.5*math.Pi/180, 2)
					}
					suite.Near(t, c.part+" spread", size.Spread, math.Sqrt(variance), 1e-4)
					if size.Bends != len(want.legs) || size.Angle || size.Nominal != float64(plan.Steps[i].Checks[k].Size) {
						t.Errorf("step %d: %+v, want %d bends between", i+1, size, len(want.legs))
					}
				}
				likely = likely[1+len(wanted):]
			}
			if len(likely) > 0 {
				t.Errorf("more sizes and angles than wanted: %+v", likely)
			}
		})
	}
}

// A tighter drawing or a poorer brake never makes a verdict better, and the
// share outside grows with both.
func TestLikelyIsMonotone(t *testing.T) {
	p := suite.Part(t, "P3")
	plan, err := calc.Work(p, suite.Brake(t), calc.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var before []process.Likely
	for _, worse := range []float64{0.2, 0.5, 1, 2, 4} {
		c := tolerance.Usual
		c.Edge, c.Line, c.Angle = c.Edge*unit.MM(worse), c.Line*unit.MM(worse), c.Angle*unit.Deg(worse)
		now := plan.Likely(c)
		for i := range before {
			if now[i].Verdict > before[i].Verdict || now[i].Outside < before[i].Outside {
				t.Errorf("%s: %+v on a worse brake, %+v before", now[i].What, now[i], before[i])
			}
		}
		before = now
	}
	if before[0].Verdict != tolerance.NotHere {
		t.Errorf("2 degrees of spread in a tolerance of 1: %v", before[0].Verdict.Words())
	}
}
