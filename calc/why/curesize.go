package why

import (
	"fmt"
	"strconv"
	"strings"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// mostWider is by how much a size is made larger at the most, in millimetres.
const mostWider = 60

// leastSize is what a size is made smaller to at the least, in millimetres.
const leastSize = 10

// otherSizes looks for the smallest face across a bend that would do, or the largest.
func (h *healer) otherSizes(c *conflict) {
	count := len(c.cures)
	if h.lower(c); len(c.cures) > count {
		return
	}
	for _, s := range h.sizes(c) {
		if c.full(process.DrawingCure) {
			return
		}
		before := len(c.cures)
		h.resize(c, s, 1, mostWider)
		if len(c.cures) == before {
			h.resize(c, s, -1, s.now-leastSize)
		}
	}
}

// resize looks for the least change of a size, up or down. The figures tried are
// round ones, as they would be drawn.
func (h *healer) resize(c *conflict, s size, way float64, most unit.MM) {
	h.least(c, int(most/h.step()), func(steps int) *change {
		to := h.rounded(s.now, way, steps)
		limit := map[bool]string{true: "at least", false: "at most"}[way > 0]
		words := fmt.Sprintf("make %s %s %s %s instead of %s%s", s.words, limit, h.figure(to), h.Part.Unit(), h.figure(s.now), s.as)
		return &change{words: words, kind: process.DrawingCure, of: process.OfPart, patch: s.to(to)}
	})
}

// sizes lists the sizes across the bends of a conflict.
func (h *healer) sizes(c *conflict) []size {
	var out []size
	switch {
	case h.Part.Profile != nil:
		for _, f := range c.core.Faces {
			i := h.blank.FaceIndex(f.ID)
			out = append(out, h.at(f.Word, "/profile/legs/"+strconv.Itoa(i), h.Part.Profile.Legs[i]))
		}
	case h.Part.Tray != nil:
		out = h.traySizes(c)
	default:
		out = h.flatSizes(c)
	}
	return out
}

// traySizes lists the walls of a conflict, and the sizes of the base between them.
func (h *healer) traySizes(c *conflict) []size {
	var out []size
	across := [2]bool{}
	for _, j := range c.core.Joints {
		side, i, ok := h.wall(j)
		if !ok {
			continue
		}
		wall := h.Part.Tray.Walls[side][i]
		if wall.Hem == part.NoHem {
			out = append(out, h.at(j.Word, h.blank.Pointer(h.joint(j.ID))+"/leg", wall.Leg))
		}
		across[map[bool]int{true: 0, false: 1}[side == part.Left || side == part.Right]] = i == 0
	}
	for i, is := range across {
		if is && c.faces["base"] {
			out = append(out, h.base(i))
		}
	}
	return out
}

// base is a size of the base of a tray: that from left to right, or from front to
// back.
func (h *healer) base(i int) size {
	return h.at([]string{"the base, from left to right,", "the base, from front to back,"}[i], "/tray/base/"+strconv.Itoa(i),
		[]unit.MM{h.Part.Tray.BaseX, h.Part.Tray.BaseY}[i])
}

// wall tells which wall of a tray a bend raises.
func (h *healer) wall(j flat.Joint) (side part.Side, i int, ok bool) {
	keys := strings.Split(strings.TrimPrefix(h.blank.Pointer(h.joint(j.ID)), "/tray/walls/"), "/")
	if len(keys) != 2 {
		return "", 0, false
	}
	i, err := strconv.Atoi(keys[1])
	return part.Side(keys[0]), i, err == nil
}

// lower makes the outer faces of a conflict less high, all alike, for brakes whose
// beam hangs over what stands. One of them alone would have to be cut down much
// farther.
func (h *healer) lower(c *conflict) {
	if h.Brake.Clamping != brake.TopLeaf || c.full(process.DrawingCure) || h.Part.Flat != nil {
		return
	}
	var outer []size
	var names []string
	highest := unit.MM(0)
	for _, s := range h.sizes(c) {
		for _, leaf := range c.core.Leaves() {
			if c.core.Faces[leaf].Word == s.words {
				outer, names, highest = append(outer, s), append(names, s.words), max(highest, s.now)
			}
		}
	}
	h.least(c, int((highest-leastSize)/h.step()), func(steps int) *change {
		to := h.rounded(highest, -1, steps)
		by := &change{kind: process.DrawingCure, of: process.OfPart}
		for _, s := range outer {
			if s.now > to {
				by.patch = append(by.patch, s.to(to)...)
			}
		}
		by.words = fmt.Sprintf("make %s at most %s %s instead of %s", strings.Join(names, ", "), h.figure(to), h.Part.Unit(), h.figure(highest))
		return by
	})
}
