package process

import "brakeside/calc/tolerance"

// Likely is how one checked size or angle of a step is expected to come out,
// made in this order and gauged from these edges.
type Likely struct {
	Step      int
	What      string // a check of the step, or its angle
	Angle     bool   // Nominal, Tolerance and Spread are degrees, else millimetres
	Nominal   float64
	Tolerance float64 // plus or minus, of the drawing
	Asked     bool    // the drawing gives that tolerance; else it is the usual one
	Spread    float64 // standard deviation expected
	Bends     int     // between the gauged edge and the size
	Verdict   tolerance.Verdict
	Outside   float64 // share of pieces expected outside the tolerance
}

// Likely says of every step how its angle and its checked sizes are expected to
// come out, from what the brake and its people hold. The angle of a hem is
// flattened away and not judged.
func (p *Plan) Likely(c tolerance.Capability) []Likely {
	var out []Likely
	asked := p.Blank.Part.Tolerance
	for _, s := range p.Steps {
		if s.Flatten == nil {
			out = append(out, judged(Likely{
				Step: s.Number, What: "angle of bend " + s.Bends[0], Angle: true, Nominal: float64(s.Target),
				Tolerance: float64(asked.Angle), Asked: asked.AngleAsked, Spread: float64(c.Angle),
			}))
		}
		for _, check := range s.Checks {
			out = append(out, judged(Likely{
				Step: s.Number, What: check.Words(p.Blank), Nominal: float64(check.Size),
				Tolerance: float64(asked.Length), Asked: asked.LengthAsked, Spread: float64(c.Spread(check.Chain)),
				Bends: len(check.Chain.Bends),
			}))
		}
	}
	return out
}

func judged(l Likely) Likely {
	l.Verdict, l.Outside = tolerance.Judge(l.Tolerance, l.Spread), tolerance.Outside(l.Tolerance, l.Spread)
	return l
}
