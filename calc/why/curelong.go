package why

import (
	"fmt"
	"math"

	"brakeside/calc/notation"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// lap is by how much two lengths of a part lie over each other where they are
// joined (common practice, no source).
const lap unit.MM = 25

// leastLong is the shortest that a part is made, in millimetres.
const leastLong unit.MM = 100

// shorter looks for the greatest length along the bends that would do, and for the
// fewest lengths of it that make up the part.
func (h *healer) shorter(c *conflict) {
	s, ok := h.long(c)
	if !ok || s.now <= leastLong {
		return
	}
	most := int((s.now - leastLong) / h.step())
	by := func(steps int) *change {
		to := h.rounded(s.now, -1, steps)
		words := fmt.Sprintf("make %s at most %s %s long instead of %s", s.words, h.figure(to), h.Part.Unit(), h.figure(s.now))
		return &change{words: words, kind: process.DrawingCure, of: process.OfPart, patch: s.to(to)}
	}
	before := len(c.cures)
	if h.least(c, most, by); len(c.cures) > before && h.Part.Profile != nil {
		h.lengths(c, s, c.cures[before].Patch[0])
	}
}

// lengths offers to make a profile in several lengths that lap, each no longer than
// what a change has made of it.
func (h *healer) lengths(c *conflict, s size, longest notation.Edit) {
	most, ok := longest.Value.(float64)
	if !ok {
		return
	}
	over, whole := h.Part.Figure(lap), h.Part.Figure(s.now)
	if most <= 2*over {
		return
	}
	n := math.Ceil((whole - over) / (most - over))
	each := math.Ceil((whole+(n-1)*over)/n*2) / 2
	if h.Part.Inch {
		each = math.Ceil((whole+(n-1)*over)/n*50) / 50
	}
	by := change{
		words: fmt.Sprintf("make it in %.0f lengths of %s %s that lap by %s %s", n, h.figure(h.length(each)), h.Part.Unit(),
			h.figure(lap), h.Part.Unit()),
		kind: process.SplitCure, of: process.OfPart, patch: s.to(h.length(each)),
	}
	h.offer(c, by)
}

// length reads a figure of the drawing.
func (h *healer) length(figure float64) unit.MM {
	if h.Part.Inch {
		return unit.MM(figure) * unit.PerInch
	}
	return unit.MM(figure)
}

// long is the size of the part along the bends of a conflict, where there is one.
func (h *healer) long(c *conflict) (size, bool) {
	switch {
	case h.Part.Profile != nil:
		return h.at("the part", "/profile/length", h.Part.Profile.Length), true
	case h.Part.Tray != nil && len(c.core.Joints) == 1:
		side, _, ok := h.wall(c.core.Joints[0])
		if !ok {
			return size{}, false
		}
		return h.base(map[bool]int{true: 1, false: 0}[side == part.Left || side == part.Right]), true
	}
	return size{}, false
}
