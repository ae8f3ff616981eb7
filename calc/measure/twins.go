package measure

import (
	"math"
	"slices"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Twins reports whether two bends, each of some joints on one line, are each
// other's mirror image: the outline of the blank is its own, about the line half
// way between them, and so are their angles and lengths.
func Twins(b *flat.Blank, one, other []int) bool {
	j, k := b.Joints[one[0]], b.Joints[other[0]]
	over := j.Across
	apart := over.Dot(k.Line[0].Sub(j.Line[0]))
	if len(one) != len(other) || j.Angle != k.Angle || math.Abs(over.Dot(k.Across)) < parallel || math.Abs(apart) < flat.Snap {
		return false
	}
	half := over.Dot(j.Line[0]) + apart/2
	image := func(p geom.Point2) geom.Point2 { return p.Add(over.Times(2 * (half - over.Dot(p)))) }
	for _, p := range j.Line {
		if !slices.ContainsFunc(k.Line[:], func(q geom.Point2) bool { return q.Sub(image(p)).Length() < flat.Snap }) {
			return false
		}
	}
	for _, p := range b.Outline[0] {
		if !slices.ContainsFunc(b.Outline[0], func(q geom.Point2) bool { return q.Sub(image(p)).Length() < flat.Snap }) {
			return false
		}
	}
	return true
}

// Alike gives what two twins are measured from, of what each can be, the best first: the
// nearest pair of one kind whose places are each other's mirror image, the pencilled
// lines where there is none. It never makes a bend of an edge or an edge of a bend,
// which is what an order pays for: where that would be the only way, each keeps its best.
func Alike(one, other []Reference) (a, b Reference) {
	a, b = best(one), best(other)
	bend := a.Kind == process.OutsideOfBend
	if bend != (b.Kind == process.OutsideOfBend) {
		return a, b
	}
	if !bend {
		a, b = Line, Line
	}
	least := unit.MM(math.Inf(1))
	for _, r := range one {
		for _, o := range other {
			if far := r.counts() + o.counts(); bend == (r.Kind == process.OutsideOfBend) && r.Mirrors(o) && far < least {
				a, b, least = r, o, far
			}
		}
	}
	return a, b
}

// best is the first of a list, or the pencilled line.
func best(near []Reference) Reference {
	if len(near) == 0 {
		return Line
	}
	return near[0]
}
