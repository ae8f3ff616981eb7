package clash

import (
	"math"

	"brakeside/calc/geom"
)

// What a body of the part blocks along the brake is the stretch in which it reaches
// into what it meets: of a wall that leans in, at the height of the bar only. All
// bodies are drawn straight from one end to the other, so they are cut side by side.

// even reports whether a body, two equal rings of corners, is the same all along the
// brake: then it blocks all of its length or nothing.
func even(body []geom.Point3, low, high float64) bool {
	atLow := 0
	for i, p := range body {
		switch {
		case p.X < low+geom.Near:
			atLow++
		case p.X < high-geom.Near:
			return false
		}
		twin := false
		for k, q := range body {
			twin = twin || k != i && math.Abs(q.X-p.X) > (high-low)/2 && math.Abs(q.Y-p.Y) < geom.Near && math.Abs(q.Z-p.Z) < geom.Near
		}
		if !twin {
			return false
		}
	}
	return 2*atLow == len(body)
}

// within tells from where to where along the brake a body reaches into a convex
// section, which is grown by so much all round and more at its corners: what comes
// nearer than that is in it. A convex body reaches farthest at its surface, so only
// its sides are cut.
func within(body []geom.Point3, section geom.Polygon, by float64, reach *Stretch) {
	var some [24]edge
	edges := some[:0]
	last := section[len(section)-1]
	for _, p := range section {
		if along := p.Sub(last); along.Dot(along) > geom.Near*geom.Near {
			e := edge{last, along.Unit().Left(), by}
			if !e.anyInside(body) {
				return
			}
			edges = append(edges, e)
		}
		last = p
	}
	n := len(body) / 2
	var first, second [40]geom.Point3
	cut := func(corners ...geom.Point3) {
		ring, room := append(first[:0], corners...), second[:0]
		for _, e := range edges {
			if len(ring) == 0 {
				return
			}
			ring, room = e.inside(room[:0], ring), ring
		}
		for _, p := range ring {
			reach.Low, reach.High = min(reach.Low, p.X), max(reach.High, p.X)
		}
	}
	cut(body[:n]...)
	cut(body[n:]...)
	for i := range n {
		k := (i + 1) % n
		cut(body[i], body[k], body[n+k], body[n+i])
	}
}

// edge is one of a section, with what lies no farther than by outside it.
type edge struct {
	from, inwards geom.Point2
	by            float64
}

// side is how far inside a point lies, below 0 outside.
func (e *edge) side(p geom.Point3) float64 {
	return e.inwards.X*(p.Y-e.from.X) + e.inwards.Y*(p.Z-e.from.Y) + e.by
}

func (e *edge) anyInside(body []geom.Point3) bool {
	for _, p := range body {
		if e.side(p) >= 0 {
			return true
		}
	}
	return false
}

// inside keeps what of a ring lies inside.
func (e *edge) inside(to, ring []geom.Point3) []geom.Point3 {
	before := ring[len(ring)-1]
	at := e.side(before)
	for _, p := range ring {
		here := e.side(p)
		if at < 0 != (here < 0) {
			to = append(to, before.Add(p.Sub(before).Times(at/(at-here))))
		}
		if here >= 0 {
			to = append(to, p)
		}
		before, at = p, here
	}
	return to
}

// nowhere is the stretch of what has not been met.
var nowhere = Stretch{math.Inf(1), math.Inf(-1)}

// into is the stretch in which a body, as the pose has it, comes nearer to a section
// than the clearance. That it does so is known; where rounding hides it, it is all of it.
func (p *pose) into(section geom.Polygon, clear float64) Stretch {
	if p.even() {
		return p.Stretch
	}
	reach := nowhere
	within(p.body, p.facing(section), clear+geom.Near, &reach)
	return p.sure(reach)
}

// even tells it of the body, which is looked at once.
func (p *pose) even() bool {
	if !p.looked {
		p.looked, p.same = true, even(p.body, p.Low, p.High)
	}
	return p.same
}

// facing is a section as the body meets it where it lies, when it may be pushed to
// other places too.
func (p *pose) facing(section geom.Polygon) geom.Polygon {
	var room [64]geom.Point2
	corners, more := p.met(room[:0], section, geom.Point2{})
	if more {
		return geom.Hull(corners)
	}
	return section
}

// met are the corners of a section as the body meets it where it lies, pushed to
// other places or slid by so much; it tells whether there are more of them than the
// section has, of which the hull is met then.
func (p *pose) met(to []geom.Point2, section geom.Polygon, slid geom.Point2) (corners []geom.Point2, more bool) {
	slides := slid != geom.Point2{}
	for _, q := range section {
		to = append(to, q)
		if slides {
			to = append(to, q.Sub(slid))
		}
		for _, by := range p.places {
			to = append(to, q.Sub(by))
			if slides {
				to = append(to, q.Sub(by).Sub(slid))
			}
		}
	}
	return to, len(to) > len(section)
}

// sure is a stretch that was found, or all of the body where none was.
func (p *pose) sure(reach Stretch) Stretch {
	if reach.Low > reach.High {
		return p.Stretch
	}
	return reach
}

// between is by how much more than the clearance, in millimetres, a section that turns
// is grown when it is looked at now and then: it moves no farther in between.
const between = 1

// turning is the stretch in which a body comes nearer than the clearance to a section
// that moves while the leaf turns from one angle to another. Where it is, and how far the
// body may be from its place, is given for each angle; no point of it that matters moves
// farther than so much in a radian.
func (p *pose) turning(at func(angle float64) (section geom.Polygon, slid geom.Point2), from, to, clear, perRadian float64) Stretch {
	if p.even() {
		return p.Stretch
	}
	reach := nowhere
	var room [64]geom.Point2
	look := func(steps float64, clear float64) (all bool) {
		for i := steps; i >= 0; i-- {
			section, slid := at(from + (to-from)*i/max(steps, 1))
			corners, more := p.met(room[:0], section, slid)
			if p.box.Gap(geom.BoxAround(corners...)) > clear+Step {
				continue
			}
			if more {
				section = geom.Hull(corners)
			}
			within(p.body, section, clear+geom.Near, &reach)
			if reach.Low < p.Low+geom.Near && reach.High > p.High-geom.Near {
				return true
			}
		}
		return false
	}
	if !look(coarse, clear) { // mostly all of it is soon met
		look(math.Ceil((to-from)*perRadian/(2*between)), clear+between)
	}
	return p.sure(reach)
}
