package wording

import (
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
)

// measure finds what the blank is gauged from and the one size to check.
func measure(p *process.Plan, step *process.Step, w *fitting.Chosen) {
	nose := float64(step.LineSetback())
	swing, back := edge(p.Blank, w, true), edge(p.Blank, w, false)
	joint := p.Blank.Joints[step.Joints[0]]
	reach, from := checkFrom(joint.Bend, p.Blank.Part.Over90)
	step.Check = unit.MM(w.Bench.FlangeReach(swing.at)) + reach
	step.CheckSize = fmt.Sprintf("outside of %s, from %s to %s", step.Swinging, from, swing.words())
	fromSwing := swing.sheared || !back.sheared
	step.Chain = chain(p.Blank, w, gauging{swing, fromSwing})
	if fromSwing {
		step.GaugeEdge, step.Gauge = swing.gauge(), unit.MM(nose-swing.at)
		return
	}
	step.GaugeEdge, step.Gauge = back.gauge(), unit.MM(back.at-nose)
}

// gauging is the far edge of the swinging side, and whether the blank is gauged
// from it.
type gauging struct {
	swing     farEdge
	fromSwing bool
}

// checkFrom tells where at the bend a size to check begins: how far beyond the
// tangent, and in words.
func checkFrom(b bend.Bend, over90 part.Over90) (reach unit.MM, words string) {
	switch {
	case b.Angle <= 90:
		return b.OutsideSetback(), "the bend"
	case over90 == part.Tangent:
		return b.TangentReach(), "the outside tangent"
	}
	return b.OutsideSetback(), "the apex"
}

// farEdge is the outermost thing on one side of the bend.
type farEdge struct {
	at      float64 // y on the brake before the swing
	face    string
	sheared bool
	bend    string // the bend it belongs to when it is not a sheared edge
}

func (e farEdge) words() string {
	if e.sheared {
		return "the sheared edge"
	}
	return "the outside of bend " + e.bend
}

// gauge names the edge as something to measure from: a sheared edge by its face,
// of which it may have several; a bend has a name of its own.
func (e farEdge) gauge() string {
	if e.sheared {
		return e.words() + " of " + e.face
	}
	return e.words()
}

func edge(b *flat.Blank, w *fitting.Chosen, swinging bool) farEdge {
	face, e := w.Bench.Edge(swinging, w.Made)
	out := farEdge{at: e.High, face: b.Faces[face].ID, sheared: e.Bend < 0}
	if swinging {
		out.at = e.Low
	}
	if e.Bend >= 0 {
		out.bend = b.Joints[e.Bend].ID
	}
	return out
}

// chain finds what lies between the edge a step is gauged from and the far end
// of its checked size. Gauged from that very end nothing does, unless the end is
// the outside of a bend: then that bend's own error comes in. Gauged from the
// other side the made bends between the line and the end come in, and the cut
// of the blank.
func chain(b *flat.Blank, w *fitting.Chosen, g gauging) tolerance.Chain {
	var between fold.Made
	if !g.fromSwing {
		between = fold.NewTree(b, w.Bench.SwingingFace()).Path[b.FaceIndex(g.swing.face)] & w.Made
	}
	out := tolerance.Chain{Cut: !g.fromSwing}
	for i, j := range b.Joints {
		if between.Has(i) || !g.swing.sheared && j.ID == g.swing.bend {
			out.Bends = append(out.Bends, shorterLeg(b, j))
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
