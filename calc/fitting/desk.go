package fitting

import (
	"math"

	"brakeside/calc/clamp"
	"brakeside/calc/clash"
)

// desk is where a trial lays out what it finds; the next one clears it and lays
// out its own.
type desk struct {
	faces   []*clash.Answer // by face
	met     []*gathered     // by clash.Element, filled when first asked
	fitted  []laid          // by bar, filled when first asked
	nearest float64         // to the bed or the bar, of all that was measured so far

	gathered    []gathered   // room for what met points to
	spans, some []clamp.Span // room for what these block, and to gather it in
}

// wipe makes room for a part of so many faces and a brake of so many bars.
func (d *desk) wipe(faces, bars int) {
	if d.faces == nil {
		d.faces, d.met, d.fitted = make([]*clash.Answer, faces), make([]*gathered, clash.OfBar(bars, 0)), make([]laid, bars)
	}
	clear(d.met)
	clear(d.fitted)
	d.nearest, d.gathered, d.spans = math.Inf(1), d.gathered[:0], d.spans[:0]
}

// gathered is what all faces together do to one element of the brake.
type gathered struct {
	element   clash.Element
	faces     []*clash.Answer
	spans     []clamp.Span // what they block, merged
	culprit   int          // the face that reaches in deepest, or is met first, -1 for none
	first     clash.Span   // what it blocks
	least     float64      // smallest distance of what does not block
	leastFace int
}

// blocked gives what the faces block as it was found, face by face.
func (g *gathered) blocked(yield func(face int, s *clash.Span) bool) {
	for face, a := range g.faces {
		blocked := a.Of(g.element).Blocked
		for i := range blocked {
			if !yield(face, &blocked[i]) {
				return
			}
		}
	}
}

// beside is the face that stands nearest to a stretch along the bend, and whether it
// is its curve that does.
func (g *gathered) beside(s clamp.Span) (face int, curve bool) {
	nearest, face := math.Inf(1), g.culprit
	for i, b := range g.blocked {
		if gap := clamp.Gap(s, []clamp.Span{{Low: b.Low, High: b.High}}); gap < nearest {
			nearest, face, curve = gap, i, b.Curve
		}
	}
	return face, curve
}

// walls gives what the faces block with its inside faces: where only the curve
// of a bend reaches out before the flat it leads to, that flat is the face.
func (g *gathered) walls() []clamp.Wall {
	out := make([]clamp.Wall, len(g.spans))
	for i, s := range g.spans {
		face := clamp.Span{Low: math.Inf(1), High: math.Inf(-1)}
		for _, a := range g.faces {
			if own, ok := flatOf(a.Of(g.element).Blocked, s); ok {
				face.Low, face.High = min(face.Low, own.Low), max(face.High, own.High)
			}
		}
		out[i] = clamp.Wall{Span: s, Face: face}
	}
	return out
}

// flatOf is the stretch that the flat bodies of a face block within another, or its
// curves where no flat of it does.
func flatOf(blocked []clash.Span, within clamp.Span) (s clamp.Span, ok bool) {
	curve := true
	for i := range blocked {
		b := &blocked[i]
		switch {
		case b.Low < within.Low || b.High > within.High || b.Curve && !curve:
		case !ok || curve && !b.Curve:
			s, ok, curve = clamp.Span{Low: b.Low, High: b.High}, true, b.Curve
		default:
			s.Low, s.High = min(s.Low, b.Low), max(s.High, b.High)
		}
	}
	return s, ok
}

// laid is how fingers or a slotted bar are laid between the walls that stand
// on the bend line: the same wherever along the brake, and with either leaf.
type laid struct {
	way          // what it sets of one
	why   string // it does not fit, if it does not
	known bool
}
