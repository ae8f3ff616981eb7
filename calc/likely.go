package calc

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
)

// Likely is how one checked size or angle of a step is expected to come out,
// made in this order and gauged from these edges.
type Likely struct {
	Step      int
	What      string // CheckSize of the step, or its angle
	Angle     bool   // Nominal, Tolerance and Spread are degrees, else millimetres
	Nominal   float64
	Tolerance float64 // plus or minus, of the drawing
	Spread    float64 // standard deviation expected
	Bends     int     // between the gauged edge and the size
	Verdict   tolerance.Verdict
	Outside   float64 // share of pieces expected outside the tolerance
}

// Likely says of every step how its angle and its checked size are expected to
// come out, from what the brake and its people hold.
func (p *Plan) Likely(c tolerance.Capability) []Likely {
	var out []Likely
	asked := p.Blank.Part.Tolerance
	for _, s := range p.Steps {
		out = append(out,
			judged(Likely{Step: s.Number, What: "angle of bend " + s.Bends[0], Angle: true, Nominal: float64(s.Target), Tolerance: float64(asked.Angle), Spread: float64(c.Angle)}),
			judged(Likely{Step: s.Number, What: s.CheckSize, Nominal: float64(s.Check), Tolerance: float64(asked.Length), Spread: float64(c.Spread(s.Chain)), Bends: len(s.Chain.Bends)}))
	}
	return out
}

func judged(l Likely) Likely {
	l.Verdict, l.Outside = tolerance.Judge(l.Tolerance, l.Spread), tolerance.Outside(l.Tolerance, l.Spread)
	return l
}

// chain finds what lies between the edge a step is gauged from and the far end
// of its checked size. Gauged from that very end nothing does, unless the end is
// the outside of a bend: then that bend's own error comes in. Gauged from the
// other side the made bends between the line and the end come in, and the cut
// of the blank.
func (s *shop) chain(w *chosen, swing farEdge, fromSwing bool) tolerance.Chain {
	blank := s.plan.Blank
	var between fold.Made
	if !fromSwing {
		between = fold.NewTree(blank, w.bench.SwingingFace()).Path[blank.FaceIndex(swing.face)] & w.made
	}
	out := tolerance.Chain{Cut: !fromSwing}
	for i, j := range blank.Joints {
		if between.Has(i) || !swing.sheared && j.ID == swing.bend {
			out.Bends = append(out.Bends, shorterLeg(blank, j))
		}
	}
	return out
}

// shorterLeg is how far the smaller of the two faces beside a bend reaches from
// its line: what an error of the angle swings.
func shorterLeg(b *flat.Blank, j flat.Joint) unit.MM {
	shorter := math.Inf(1)
	for _, face := range j.Faces {
		reach := 0.0
		for _, piece := range b.Faces[face].Pieces {
			for _, point := range piece {
				reach = max(reach, math.Abs(point.Sub(j.Line[0]).Dot(j.Across)))
			}
		}
		shorter = min(shorter, reach)
	}
	return unit.MM(shorter)
}
