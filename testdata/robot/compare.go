package robot

import (
	"math"
	"strings"
)

// check compares a printed size with the drawing, or where that has no sizes with
// the ideal part. Both its ends are made.
func (o *operator) check(s *Step, c Check) {
	face, known := o.face(c.Face, s.Number)
	if !known || face < 0 {
		o.find(CheckNoReach, s.Number, "%s: the face is not known", c.Words)
		return
	}
	if len(o.drawn.Legs) == 0 {
		o.measured(s, c, face)
		return
	}
	there := false
	for i, l := range o.drawn.Legs {
		if l.Face != c.Face {
			continue
		}
		made := true
		for _, id := range l.Ends {
			if k, ok := o.hinges[id]; ok && o.metal.hinges[k].bend.angle == 0 {
				made = false
			}
		}
		there = there || made
		if made && near(l.Size, c.MM, halfTenth+1e-6) && (o.checked[i] == 0 || !o.another(i, c)) {
			o.checked[i]++
			return
		}
	}
	if !there {
		o.find(CheckNoReach, s.Number, "%s: not all of its bends are made", c.Words)
		return
	}
	o.find(CheckUntrue, s.Number, "%s %.1f is no drawn size", c.Words, c.MM)
}

// another reports whether a face has a drawn size alike that is not checked yet:
// a square base.
func (o *operator) another(but int, c Check) bool {
	for i, l := range o.drawn.Legs {
		if i != but && l.Face == c.Face && o.checked[i] == 0 && near(l.Size, c.MM, halfTenth+1e-6) {
			return true
		}
	}
	return false
}

// measured compares a size with what the ideal part measures over a face, from
// one of its bends to the bend or the edge at the other end.
func (o *operator) measured(s *Step, c Check, face int) {
	nearest := math.Inf(1)
	for k, h := range o.metal.hinges {
		if h.bend.angle == 0 || h.faces[0] != face && h.faces[1] != face {
			continue
		}
		over, at := h.toward(h.beyond(face))
		from := at + h.bend.allowance/2 - o.outer(h)
		to := o.metal.farthest(face, over)
		if far := o.across(face, k, over); far >= 0 {
			n := o.metal.hinges[far]
			_, middle := n.toward(face)
			if to = middle - n.bend.allowance/2 + o.outer(n); n.bend.angle == 0 {
				continue
			}
		}
		if math.Abs(to-from-c.MM) < math.Abs(nearest-c.MM) {
			nearest = to - from
		}
	}
	if math.IsInf(nearest, 1) {
		o.find(CheckNoReach, s.Number, "%s: not all of its bends are made", c.Words)
	} else if !near(nearest, c.MM, slack(s.Target)+slack(90)+halfTenth+o.paper.Blur) {
		o.find(CheckUntrue, s.Number, "%s: %.1f is %.2f", c.Words, c.MM, nearest)
	}
}

// across is the hinge at the far end of a face, before one of its hinges; -1 for
// none.
func (o *operator) across(face, but int, over Point) int {
	along := o.metal.hinges[but].line.along()
	stretch := func(l Line) (low, high float64) {
		a, b := along.dot(l.From), along.dot(l.To)
		return math.Min(a, b), math.Max(a, b)
	}
	from, to := stretch(o.metal.hinges[but].line)
	for k, n := range o.metal.hinges {
		way, _ := n.toward(face)
		low, high := stretch(n.line)
		if k != but && (n.faces[0] == face || n.faces[1] == face) && way.dot(over) > 0.99 && math.Min(high, to)-math.Max(low, from) > 0.5 {
			return k
		}
	}
	return -1
}

// outer is how far the outside of a made bend lies beyond its beginning.
func (o *operator) outer(h hinge) float64 {
	return apexReach(h.bend.angle, h.bend.radius, o.metal.thickness, o.drawn.tangent)
}

// compare holds the folded sheet against the drawing.
func (o *operator) compare() {
	if !near(o.paper.Width, o.drawn.Width, halfTenth+hair) || !near(o.paper.Height, o.drawn.Height, halfTenth+hair) {
		o.find(BlankWrong, 0, "%.1f x %.1f, drawn %.2f x %.2f", o.paper.Width, o.paper.Height, o.drawn.Width, o.drawn.Height)
	}
	if inside := strings.EqualFold(o.paper.Sizes, "inside"); len(o.drawn.Legs) > 0 && inside != o.drawn.inside {
		o.find(SizesWrong, 0, "%s", o.paper.Sizes)
	}
	for _, b := range o.drawn.Bends {
		k, found := o.hinges[b.ID]
		if !found || o.metal.hinges[k].bend.angle == 0 {
			o.find(BendMissing, 0, "%s", b.ID)
			continue
		}
		o.bent(b, o.metal.hinges[k])
	}
	for i, l := range o.drawn.Legs {
		if l.Ends == [2]string{} {
			continue // cut, not bent
		}
		o.leg(l)
		switch n := o.checked[i]; {
		case n == 0 && l.Face == "base":
			o.find(BaseUnchecked, 0, "%s %.1f", l.Face, l.Size)
		case n == 0:
			o.find(LegUnchecked, 0, "%s %.1f", l.Face, l.Size)
		case n > 1:
			o.find(LegTwice, 0, "%s %.1f", l.Face, l.Size)
		}
	}
}

// bent compares one bend with its drawing.
func (o *operator) bent(b DrawnBend, h hinge) {
	if !near(h.bend.angle, math.Abs(b.Angle), halfTenth+1e-6) {
		o.find(AngleWrong, h.line.Step, "%s is %.1f, drawn %.2f", b.ID, h.bend.angle, math.Abs(b.Angle))
	}
	if h.bend.up != (b.Angle > 0) {
		o.find(HandWrong, h.line.Step, "%s", b.ID)
	}
	if b.Hem != "" && !near(h.bend.radius, b.Radius, halfTenth) {
		o.find(StripWrong, h.line.Step, "%s is closed to %.2f, drawn %.2f", b.ID, 2*h.bend.radius, 2*b.Radius)
	}
	if at := h.over.dot(b.At); b.exact && !near(h.at, at, slack(h.bend.angle)) {
		o.find(PlaceWrong, h.line.Step, "%s lies %.2f off", b.ID, h.at-at)
	}
}

// leg compares one leg of the folded sheet with its drawing.
func (o *operator) leg(l Leg) {
	allowed := hair + o.paper.Blur
	var from, to float64
	for end, id := range l.Ends {
		way := l.Over
		if end == 0 {
			way = way.times(-1)
		}
		k, found := o.hinges[id]
		if id != "" && !found {
			return // told as missing
		}
		at := 0.0
		if id == "" {
			at = o.edgeOf(l, way)
		} else {
			b, h := o.drawn.bend(id), o.metal.hinges[k]
			middle := h.at
			if h.over.dot(way) < 0 {
				middle = -middle
			}
			at = middle - h.bend.allowance/2 + o.drawn.reach(*b)
			allowed += slack(h.bend.angle)
		}
		if end == 0 {
			from = -at
		} else {
			to = at
		}
	}
	var ends []*DrawnBend
	for _, id := range l.Ends {
		ends = append(ends, o.drawn.bend(id))
	}
	outside := l.Size
	if !l.Always {
		outside = o.drawn.outsideSize(l.Size, ends...)
	}
	if !near(to-from, outside, allowed) {
		o.find(LegWrong, 0, "%s is %.2f, drawn %.2f", l.Face, to-from, outside)
	}
}

// edgeOf is how far the sheared edge of a drawn leg lies in a direction.
func (o *operator) edgeOf(l Leg, way Point) float64 {
	for _, id := range l.Ends {
		if k, ok := o.hinges[id]; ok {
			b := o.drawn.bend(id)
			side := 0
			if b.Faces[1] == l.Face {
				side = 1
			}
			return o.metal.farthest(o.metal.hinges[k].sideOf(*b, side), way)
		}
	}
	return math.NaN()
}
