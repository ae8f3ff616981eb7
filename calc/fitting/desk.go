package fitting

import (
	"math"
	"slices"

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
	back      *float64   // of lifting a bar, how far it is drawn back; nil for all of it
	backs     []float64  // how far it is worth drawing back, as far as asked
	drawn     []gathered // what hinders lifting it then
}

// blocked gives what the faces block as it was found, face by face.
func (g *gathered) blocked(yield func(face int, s *clash.Span) bool) {
	for face, a := range g.faces {
		blocked := a.Of(g.element).Blocked
		for i := range blocked {
			if s := &blocked[i]; g.back != nil && (*g.back < s.From || *g.back > s.To) {
				continue
			} else if !yield(face, s) {
				return
			}
		}
	}
}

// drawnBack gives what hinders lifting a bar by how far it is drawn back first: not at
// all, and just past each thing that is over it then. Nothing else need be tried,
// since with each step back only something more can come over it.
func (g *gathered) drawnBack(yield func(*gathered) bool) {
	for i := 0; ; i++ {
		switch {
		case i == 0 && g.backs == nil:
			g.backs = []float64{0}
		case i == 1 && len(g.backs) == 1:
			g.backs = g.worthTrying()
		}
		if i == len(g.backs) {
			return
		}
		if i == len(g.drawn) {
			g.drawn = append(g.drawn, g.at(g.backs[i]))
		}
		if !yield(&g.drawn[i]) {
			return
		}
	}
}

// worthTrying lists how far a bar may be worth drawing back before it is lifted. Of those
// that differ by less than a hair the farthest is enough.
func (g *gathered) worthTrying() []float64 {
	all := []float64{0}
	for _, s := range g.blocked {
		if back := s.To + tiny; back > 0 && back <= clash.MostDrawnBack {
			all = append(all, back)
		}
	}
	slices.Sort(all)
	out := all[:1]
	for i, back := range all[1:] {
		if i+2 == len(all) || all[i+2] > back+hair {
			out = append(out, back)
		}
	}
	return out
}

// at gives what hinders lifting a bar that is drawn back so far.
func (g *gathered) at(back float64) gathered {
	at := gathered{element: g.element, faces: g.faces, culprit: g.culprit, back: &back}
	for _, s := range at.blocked {
		at.spans = clamp.Join(at.spans, clamp.Span{Low: s.Low, High: s.High})
	}
	at.spans = clamp.Merge(at.spans)
	return at
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
