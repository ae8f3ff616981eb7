package measure

import (
	"math"
	"slices"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Leg is a size of a face as the part file draws it: from one end to the other,
// square to the bends there.
type Leg struct {
	Face int
	Ends [2]int // joints; NoJoint where the sheet is sheared
	Size unit.MM
}

// NoJoint is the end of a leg that is a sheared edge.
const NoJoint = -1

// Legs lists the drawn sizes of a blank that its bends bound: every leg of a
// profile, the walls, lips and tabs of a tray and its base in both directions,
// and of a part drawn as its blank every face square to each of its bends. A face
// whose far edge is not parallel to the bend has no leg. The sizes are worked out
// from the blank, not read from the part file.
func Legs(b *flat.Blank) []Leg {
	var out []Leg
	for i, j := range b.Joints {
		for side, face := range j.Faces {
			if b.Part.Tray != nil && side == 0 && face != base {
				continue // the width of a wall between its tabs
			}
			if ended(b, out, face, i) {
				continue
			}
			if leg, ok := legFrom(b, face, i); ok {
				out = append(out, leg)
			}
		}
	}
	return out
}

// base is the face of a tray that its walls stand on.
const base = 0

// into points from a joint into one of its faces.
func into(j flat.Joint, face int) geom.Point2 {
	if j.Faces[0] == face {
		return j.Across.Times(-1)
	}
	return j.Across
}

// parallel is how near to 1 the product of two directions must be.
const parallel = 0.9999

// ended reports whether one of the legs of a face ends on the line of a joint
// already, coming from the same side.
func ended(b *flat.Blank, legs []Leg, face, joint int) bool {
	j := b.Joints[joint]
	way := into(j, face)
	return slices.ContainsFunc(legs, func(l Leg) bool {
		return l.Face == face && slices.ContainsFunc(l.Ends[:], func(e int) bool {
			return e >= 0 && into(b.Joints[e], face).Dot(way) > parallel &&
				math.Abs(way.Dot(b.Joints[e].Line[0].Sub(j.Line[0]))) < flat.Snap
		})
	})
}

// legFrom is the leg of a face that begins at a joint.
func legFrom(b *flat.Blank, face, joint int) (Leg, bool) {
	j := b.Joints[joint]
	way := into(j, face)
	from := way.Dot(j.Line[0]) + j.Half()
	out := Leg{Face: face, Ends: [2]int{joint, opposite(b, face, joint)}}
	if other := out.Ends[1]; other >= 0 {
		o := b.Joints[other]
		out.Size = unit.MM(way.Dot(o.Line[0])-o.Half()-from) + b.SizeBeyond(joint, other) + b.SizeBeyond(other, joint)
		return out, true
	}
	to, ok := edgeOf(b, face, way)
	if out.Size = unit.MM(to-from) + b.SizeBeyond(joint, NoJoint); j.Hem != part.NoHem {
		out.Size = HemWidth(b, face, joint)
	}
	return out, ok
}

// HemWidth is the width of a flat hem over its fold, from there to its sheared
// edge: no rule reaches the inside of a fold, also where the drawing has inside
// sizes.
func HemWidth(b *flat.Blank, face, joint int) unit.MM {
	j := b.Joints[joint]
	way := into(j, face)
	return unit.MM(reach(b, face, way)-way.Dot(j.Line[0])-j.Half()) + j.Bend.TangentReach()
}

// opposite is the joint at the other end of a face, of several the one that lies
// most before it; NoJoint where the sheet ends. The walls of a tray lie opposite
// each other even where they are tabs of part of the length: so it is drawn.
func opposite(b *flat.Blank, face, joint int) int {
	j := b.Joints[joint]
	way, along := into(j, face), j.Line[1].Sub(j.Line[0]).Unit()
	best, most := NoJoint, float64(leastEdge)
	if b.Part.Tray != nil {
		most = math.Inf(-1)
	}
	for k, o := range b.Joints {
		if k == joint || o.Faces[0] != face && o.Faces[1] != face || into(o, face).Dot(way) > -parallel {
			continue
		}
		low, high := ordered(along.Dot(o.Line[0]), along.Dot(o.Line[1]))
		from, to := ordered(along.Dot(j.Line[0]), along.Dot(j.Line[1]))
		if common := min(high, to) - max(low, from); common > most {
			best, most = k, common
		}
	}
	return best
}

func ordered(a, b float64) (low, high float64) { return min(a, b), max(a, b) }

// leastEdge is how long an edge must be to lay a rule on, in millimetres (common
// practice, no source).
const leastEdge = 5

// edgeOf is where a face ends in a direction, if it ends there in an edge square
// to it that a rule can be laid on.
func edgeOf(b *flat.Blank, face int, way geom.Point2) (at float64, ok bool) {
	at = reach(b, face, way)
	long := 0.0
	for from, to := range edgesAt(b, face, way, at) {
		long = max(long, to.Sub(from).Length())
	}
	return at, long >= leastEdge
}

// reach is how far a face goes in a direction.
func reach(b *flat.Blank, face int, way geom.Point2) float64 {
	far := math.Inf(-1)
	for _, g := range b.Faces[face].Pieces {
		for _, p := range g {
			far = max(far, way.Dot(p))
		}
	}
	return far
}

// edgesAt gives the edges of a face that lie so far in a direction, square to it.
func edgesAt(b *flat.Blank, face int, way geom.Point2, at float64) func(yield func(from, to geom.Point2) bool) {
	return func(yield func(from, to geom.Point2) bool) {
		for _, g := range b.Faces[face].Pieces {
			for i, p := range g {
				q := g[(i+1)%len(g)]
				if way.Dot(p) > at-flat.Snap && way.Dot(q) > at-flat.Snap && !yield(p, q) {
					return
				}
			}
		}
	}
}

// Shortest is the shorter side of the angle at a joint: the shortest leg that
// ends there, 0 for none.
func Shortest(legs []Leg, joint int) unit.MM {
	least := unit.MM(0)
	for _, l := range legs {
		if slices.Contains(l.Ends[:], joint) && (least == 0 || l.Size < least) {
			least = l.Size
		}
	}
	return least
}

// Checks shares the legs out to the steps that bend these joints, each to the
// first after which both its ends can be touched. The base of a tray is checked
// when all is bent.
func Checks(b *flat.Blank, steps [][]int) [][]process.Check {
	made := make([]int, len(b.Joints)) // the step of each joint
	for s, joints := range steps {
		for _, j := range joints {
			made[j] = s
		}
	}
	out := make([][]process.Check, len(steps))
	for _, l := range Legs(b) {
		at, near := made[l.Ends[0]], 0
		if e := l.Ends[1]; e >= 0 && made[e] > at {
			at, near = made[e], 1
		}
		if b.Part.Tray != nil && l.Face == base {
			at = len(steps) - 1
		}
		out[at] = append(out[at], check(b, l, near))
	}
	return out
}

// check words one leg, seen from one of its ends.
func check(b *flat.Blank, l Leg, near int) process.Check {
	face := b.Faces[l.Face].ID
	c := process.Check{Size: l.Size, Kind: process.LegCheck, Face: face, To: process.Touch{Kind: process.ShearedEdge, Face: face}}
	if far := l.Ends[1-near]; far >= 0 {
		j := b.Joints[far]
		c.To = process.Touch{Kind: process.OutsideOfBend, Face: b.Faces[beyond(j, l.Face)].ID, Bend: j.ID}
	}
	switch j := b.Joints[l.Ends[0]]; {
	case b.Part.Tray != nil && l.Face == base:
		c.Kind = process.OverallCheck
	case j.Hem != part.NoHem && l.Ends[1] < 0:
		c.Kind = process.HemCheck
	}
	return c
}

// beyond is the face on the other side of a joint.
func beyond(j flat.Joint, face int) int {
	if j.Faces[0] == face {
		return j.Faces[1]
	}
	return j.Faces[0]
}
