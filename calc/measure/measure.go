// Package measure tells what a rule, a caliper or a square can touch on a part
// that is partly bent: where a nose line can be measured from, and after which
// step each drawn size can be checked.
//
// Three things can be touched: a sheared edge; the outside of a made bend, where
// its outer face stands square to what is measured and nothing reaches out beyond
// it; and the nose line that was pencilled on the flat blank, which is always
// good. Lengths are millimetres.
package measure

import (
	"cmp"
	"math"
	"slices"

	"brakeside/calc/clash"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Reference is something that the nose line of a step can be measured from.
type Reference struct {
	process.Touch
	Distance unit.MM // from the nose line, square to it
	Swinging bool    // it lies on the side that swings, before the operator
	BackStop unit.MM // behind the hinge line, where the back stop is set against it; 0 where that is not known or not possible

	way     geom.Point2 // of the blank, in which it lies from the nose line
	contact stretch     // of it, along the bend from its left end, that the back stop can touch
}

// Mirrors reports whether the reference of a bend is of the same kind as that of
// its twin, and lies as its mirror image does.
func (r Reference) Mirrors(o Reference) bool { return r.Kind == o.Kind && r.way.Dot(o.way) < 0 }

// Line is the pencilled nose line itself.
var Line = Reference{Touch: process.Touch{Kind: process.PencilledLine}}

// References lists what the nose line can be measured from while the part lies
// on a bench with some joints made, the best first: the nearest, where the outside
// of a bend counts as twice as far. The pencilled line, which is always good, is
// not among them.
func References(b *clash.Bench, made fold.Made, noseSetback unit.MM) []Reference {
	l := newLay(b, made, noseSetback)
	var out []Reference
	for face := range b.Blank.Faces {
		if b.Extent(face, made).Bend < 0 {
			out = l.edge(out, face)
		}
	}
	for joint := range b.Blank.Joints {
		out = l.outside(out, joint)
	}
	slices.SortStableFunc(out, func(a, b Reference) int {
		return cmp.Or(cmp.Compare(a.counts().Micron(), b.counts().Micron()), cmp.Compare(rank(a), rank(b)))
	})
	return out
}

// FromBend reports whether the best of the References is the outside of a bend.
func FromBend(b *clash.Bench, made fold.Made, noseSetback unit.MM) bool {
	for joint := range b.Blank.Joints {
		if touchable(b, made, joint) {
			best := References(b, made, noseSetback)
			return len(best) > 0 && best[0].Kind == process.OutsideOfBend
		}
	}
	return false
}

// counts is the distance as it is compared: a bend carries its own error into
// the next (common practice, no source for how much that counts).
func (r Reference) counts() unit.MM {
	if r.Kind == process.OutsideOfBend {
		return 2 * r.Distance
	}
	return r.Distance
}

// rank puts what lies before the operator first where two are equally near.
func rank(r Reference) int {
	if r.Swinging {
		return 0
	}
	return 1
}

// edge adds the sheared edge of a face that lies level with the sheet.
func (l *lay) edge(to []Reference, face int) []Reference {
	out := l.out(face)
	at := reach(l.Blank, face, out)
	for _, j := range l.Blank.Joints {
		if (j.Faces[0] == face || j.Faces[1] == face) && into(j, face).Dot(out) < -parallel && out.Dot(j.Line[0]) > at-flat.Snap {
			return to // the face ends in a bend there
		}
	}
	for from, end := range edgesAt(l.Blank, face, out, at) {
		if off := at - out.Dot(l.from); off > leastOff && !l.barred(off, l.Swings(face), l.stretch(from, end), -1) {
			touch := process.Touch{Kind: process.ShearedEdge, Face: l.Blank.Faces[face].ID}
			return append(to, Reference{
				Touch: touch, Distance: unit.MM(off), Swinging: l.Swings(face), way: out, contact: l.edgeContact(face, out, at),
			})
		}
	}
	return to
}

// leastOff is how far from the nose line something must lie to be measured from,
// in millimetres (common practice, no source).
const leastOff = 1

// square is how far the face beyond a bend may lean for a square to stand at it.
const square unit.Deg = 0.5

// touchable reports whether a bend has been made so that a square can stand at its
// outside, or is a hem.
func touchable(b *clash.Bench, made fold.Made, joint int) bool {
	j := b.Blank.Joints[joint]
	isSquare := j.Hem != part.NoHem || math.Abs(float64(j.Bend.Angle-90)) <= float64(square)
	return isSquare && made.Has(joint) && !slices.Contains(b.Joints, joint)
}

// outside adds the outer face beyond a made bend, or the fold of a flat hem.
func (l *lay) outside(to []Reference, joint int) []Reference {
	if !touchable(l.Bench, l.made, joint) {
		return to
	}
	j := l.Blank.Joints[joint]
	for _, face := range j.Faces {
		wall, out := beyond(j, face), l.out(face)
		if l.Extent(face, l.made).Bend >= 0 || l.Extent(wall, l.made).Bend < 0 || into(j, face).Dot(out) > -parallel {
			continue
		}
		off := out.Dot(j.Line[0].Sub(l.from)) - j.Half() + float64(j.Bend.TangentReach())
		swings := l.Swings(face)
		if off > leastOff && !l.overhung(off, swings) && !l.barred(off, swings, l.stretch(j.Line[0], j.Line[1]), wall) {
			touch := process.Touch{Kind: process.OutsideOfBend, Face: l.Blank.Faces[wall].ID, Bend: j.ID}
			return append(to, Reference{Touch: touch, Distance: unit.MM(off), Swinging: swings, way: out, contact: l.bendContact(j, out)})
		}
	}
	return to
}

// overhung reports whether something on one side of the bend reaches farther out.
func (l *lay) overhung(off float64, swings bool) bool {
	for face := range l.Blank.Faces {
		if l.Swings(face) != swings {
			continue
		}
		e := l.Extent(face, l.made)
		if swings && e.Low < l.nose-off-touches || !swings && e.High > l.nose+off+touches {
			return true
		}
	}
	return false
}

// barred reports whether no rule can be laid on the marked face, A, from the
// nose line to something so far off: of the stretch along the line that both
// share, walls that stand there leave nothing free. But is the wall that is
// measured from.
func (l *lay) barred(off float64, swings bool, free stretch, but int) bool {
	near, far := l.nose+keptOff, l.nose+off-keptOff
	if swings {
		near, far = l.nose-off+keptOff, l.nose-keptOff
	}
	var walls []stretch
	for face := range l.Blank.Faces {
		e := l.Extent(face, l.made)
		if face != but && e.Bend >= 0 && near < e.High && far > e.Low && l.stands(e) {
			walls = append(walls, stretch{e.Left, e.Right})
		}
	}
	slices.SortFunc(walls, func(a, b stretch) int { return cmp.Compare(a.low, b.low) })
	at := free.low
	for _, w := range walls {
		if min(w.low, free.high)-at >= leastEdge {
			return false
		}
		at = max(at, w.high)
	}
	return free.high-at < leastEdge
}

// keptOff is what a rule may end short of either end, in millimetres.
const keptOff = 0.5

// stands reports whether a face rises out of face A, so that a rule on it runs
// against it: what hangs higher is reached under.
func (l *lay) stands(e clash.Extent) bool {
	const proud, under = 0.5, 1.0 // mm
	thick := float64(l.Blank.Sheet.Thickness)
	low, high := e.Under-thick, e.Over-thick
	if !l.Blank.Joints[l.Joints[0]].Up() { // face A lies down
		low, high = -e.Over, -e.Under
	}
	return high > proud && low < under
}
