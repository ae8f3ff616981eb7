package why

import (
	"fmt"
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/notation"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// leastLeft is the least angle that a bend is left at to be closed by hand: from
// flatter than that no bend is closed over a dolly (common practice, no source).
const leastLeft = 30

// lessAngle looks for the largest angle, in whole degrees, at which one bend could be
// left, to be closed by hand.
func (h *healer) lessAngle(c *conflict) {
	for _, j := range c.core.Joints {
		pointer := h.angleOf(j)
		if pointer == "" || c.full(process.SetupCure) {
			continue
		}
		top := int(math.Ceil(float64(j.Bend.Angle)))
		h.least(c, top-leastLeft, func(steps int) *change {
			angle := unit.Deg(top - steps)
			words := fmt.Sprintf("leave bend %s at %s degrees and close it by hand over a dolly", j.Word, angle.Text(0))
			return h.turned(j, angle, process.SetupCure, words)
		})
	}
}

// otherWay folds one bend to the other side.
func (h *healer) otherWay(c *conflict) {
	for _, j := range c.core.Joints {
		if h.angleOf(j) == "" || c.full(process.DrawingCure) {
			continue
		}
		by := h.turned(j, -j.Bend.Angle, process.DrawingCure, fmt.Sprintf("fold bend %s the other way", j.Word))
		if h.try(*by).bends(c) {
			h.offer(c, *by)
		}
	}
}

// turned is the change that folds a bend so far in the way it is drawn, or the other
// way below zero.
func (h *healer) turned(j flat.Joint, angle unit.Deg, kind process.CureKind, words string) *change {
	if !j.Up() {
		angle = -angle
	}
	patch := notation.Patch{{Op: notation.Add, Path: h.angleOf(j), Value: float64(angle)}}
	if h.Part.Has(h.angleOf(j)) {
		patch[0].Op = notation.Replace
	}
	return &change{words: words, kind: kind, of: process.OfPart, patch: patch}
}

// angleOf is where the angle of a bend stands in the part's file; empty for a hem and
// for a bend that the file does not list.
func (h *healer) angleOf(j flat.Joint) string {
	pointer := h.blank.Pointer(h.joint(j.ID))
	switch {
	case j.Hem != part.NoHem || pointer == h.blank.Pointer(-1):
		return ""
	case h.Part.Form() == part.ProfileForm:
		return pointer
	}
	return pointer + "/angle"
}

// joint finds a bend of the part by its name; the first of its pieces.
func (h *healer) joint(id string) int {
	for i, j := range h.blank.Joints {
		if j.ID == id {
			return i
		}
	}
	return -1
}
