package wording

import (
	"math"

	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/measure"
	"brakeside/calc/process"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
)

// references lists what the nose line of a step can be measured from, each with
// where the back stop is set against it.
func references(w *fitting.Chosen, s *process.Step) []measure.Reference {
	out := measure.References(w.Bench, w.Made, s.LineSetback())
	setup := measure.Setup{Line: s.LineSetback(), BarBack: s.NoseSetback + s.Bar.Depth, Bed: w.Bed}
	for i := range out {
		out[i].BackStop = measure.BackStop(w.Bench, w.Made, out[i], setup)
	}
	return out
}

// gauge settles what the nose line of every step is measured from: what is
// nearest, and for twins, bends that are each other's mirror image, something of
// one kind that lies as its mirror image does.
func gauge(p *process.Plan, steps []process.Step, near [][]measure.Reference) {
	chosen := make([]measure.Reference, len(steps))
	for i := range steps {
		chosen[i] = measure.Line
		if len(near[i]) > 0 {
			chosen[i] = near[i][0]
		}
		for k := range i {
			if measure.Twins(p.Blank, steps[i].Joints, steps[k].Joints) {
				chosen[k], chosen[i] = measure.Alike(near[k], near[i])
			}
		}
	}
	for i := range steps {
		steps[i].GaugeFrom, steps[i].Gauge, steps[i].BackStop = chosen[i].Touch, chosen[i].Distance, chosen[i].BackStop
	}
}

// check shares the drawn sizes out to the steps.
func check(b *flat.Blank, steps []process.Step) {
	var joints [][]int
	for _, s := range steps {
		joints = append(joints, s.Joints)
	}
	legs := measure.Legs(b)
	for i, checks := range measure.Checks(b, joints) {
		for k := range checks {
			checks[k].Chain = chain(b, steps[i], checks[k])
		}
		steps[i].Checks, steps[i].Leg = checks, measure.Shortest(legs, steps[i].Joints[0])
	}
}

// chain finds what lies between what a step is gauged from and a size that is
// checked after it. Gauged from the very end of the size nothing does; from
// elsewhere the cut of the blank comes in, and with every bend that either runs to
// that bend's own error.
func chain(b *flat.Blank, step process.Step, c process.Check) tolerance.Chain {
	out := tolerance.Chain{Cut: step.GaugeFrom != c.To}
	for i, j := range b.Joints {
		if j.ID == c.To.Bend || j.ID == step.GaugeFrom.Bend {
			out.Bends = append(out.Bends, shorterLeg(b, b.Joints[i]))
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
