package robot

import (
	"math"
	"strings"
)

// check compares the printed size to measure with the ideal part after the
// bend, and with the drawing.
func (o *operator) check(s *Step, line int) {
	c := s.Check
	if c.means == unknown || c.MM == 0 {
		return
	}
	face, known := o.face(c.Face, s.Number)
	if !known || face < 0 {
		o.find(CheckNoReach, s.Number, "%s: the face is not known", c.Words)
		return
	}
	if c.means == checkOverall || c.Begin == "" && c.means == checkLeg {
		o.claimed(s, c)
		return
	}
	size, far, why := o.size(c, line, face)
	if why != "" {
		o.find(CheckNoReach, s.Number, "%s: %s", c.Words, why)
		return
	}
	if !near(size, c.MM, slack(s.Target)+slack(90)+halfTenth+o.paper.Blur) {
		o.find(CheckUntrue, s.Number, "%s: %.1f is %.2f", c.Words, c.MM, size)
		return
	}
	if len(o.drawn.Legs) == 0 {
		return // a part drawn as its blank has no sizes of faces
	}
	for i, l := range o.drawn.Legs {
		if l.Face == c.Face && o.between(l, line, far) && near(l.Size, c.MM, halfTenth+1e-6) {
			o.checked[i]++
			return
		}
	}
	o.find(CheckUndrawn, s.Number, "%s %.1f", c.Words, c.MM)
}

// claimed takes a check that names only the face: it is a drawn size of that
// face, both ends of which are made.
func (o *operator) claimed(s *Step, c Check) {
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
		if made && near(l.Size, c.MM, halfTenth+1e-6) {
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

// between reports whether a drawn leg lies between two hinges; -1 is an edge.
func (o *operator) between(l Leg, one, other int) bool {
	hinge := func(id string) int {
		if k, ok := o.hinges[id]; ok {
			return k
		}
		return edgeEnd
	}
	a, b := hinge(l.Ends[0]), hinge(l.Ends[1])
	return a == one && b == other || a == other && b == one
}

// Ends of a size that are no bend.
const (
	edgeEnd = -1
	flatEnd = -2 // an edge beyond bends that are still flat: no drawn size
)

// size is what the ideal part measures from the bend of this step over a face,
// and over what is still flat with it, to the end that the words name.
func (o *operator) size(c Check, line, face int) (mm float64, far int, why string) {
	h := o.metal.hinges[line]
	if h.faces[0] != face && h.faces[1] != face {
		return 0, 0, "the face does not begin at this bend"
	}
	over, at := h.toward(h.beyond(face)) // into the face
	begin := at + h.bend.allowance/2 - o.outer(h, c)
	to := -1
	if c.To.means == fromBend {
		if to = o.bendNamed(c.To.Name); to < 0 {
			return 0, 0, "the bend is not known"
		}
	}
	far = edgeEnd
	for last := face; ; far = flatEnd {
		k := o.next(last, line, over)
		if k < 0 && to < 0 {
			return o.metal.farthest(last, over) - begin, far, ""
		}
		if k < 0 {
			return 0, far, "the bend named is not on the way"
		}
		n := o.metal.hinges[k]
		_, middle := n.toward(last)
		switch made := n.bend.angle > 0; {
		case made && to < 0 && o.metal.farthest(last, over) > middle:
			return o.metal.farthest(last, over) - begin, k, "" // the edge beside a tab
		case made && k != to:
			return 0, far, "a bend stands before the end named"
		case k == to && !made:
			return 0, far, "that bend is not made yet"
		case made && far == flatEnd:
			return middle - n.bend.allowance/2 + o.outer(n, c) - begin, flatEnd, ""
		case made:
			return middle - n.bend.allowance/2 + o.outer(n, c) - begin, k, ""
		}
		last = n.beyond(last)
	}
}

// next is the hinge at the far end of a face in a direction, -1 for none.
func (o *operator) next(face, but int, over Point) int {
	for k, n := range o.metal.hinges {
		if way, _ := n.toward(face); k != but && (n.faces[0] == face || n.faces[1] == face) && way.dot(over) > 0.99 {
			return k
		}
	}
	return -1
}

// outer is how far the outside of a made bend lies beyond its beginning, as the
// words have it.
func (o *operator) outer(h hinge, c Check) float64 {
	t := o.metal.thickness
	if c.means == checkInside {
		t = 0
	}
	return apexReach(h.bend.angle, h.bend.radius, t, c.Begin == "outside tangent" || o.drawn.tangent)
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
