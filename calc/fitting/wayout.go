package fitting

import (
	"math"

	"brakeside/calc/clamp"
	"brakeside/calc/clash"
)

// trapped asks whether a bar in one piece can be put in before the bend and
// taken out after it: lifted, or slid over an end. It returns what hinders, or
// nothing.
func (t *trial) trapped(w *way, span clamp.Span) string {
	if !t.lifts(w, span, clash.LiftOut) {
		if w.slideOut = t.slides(w, span, clash.EndOut); w.slideOut == "" {
			return "trapped, it cannot be lifted or slid out once the bend is made"
		}
	}
	if !t.lifts(w, span, clash.LiftIn) && t.slides(w, span, clash.EndIn) == "" {
		return "cannot be put in past what stands"
	}
	return ""
}

// lifts asks whether a bar over a stretch can be lifted, drawn back first as far as
// that takes.
func (t *trial) lifts(w *way, span clamp.Span, q clash.Question) bool {
	for over := range t.onBar(w.bar, q).drawnBack {
		if clamp.Free(span, over.spans, 0) {
			return true
		}
	}
	return false
}

// slides tells over which end a bar can be slid out, left or right, or none.
func (t *trial) slides(w *way, span clamp.Span, q clash.Question) string {
	spans := t.onBar(w.bar, q).spans
	if clamp.Free(clamp.Span{Low: math.Inf(-1), High: span.High}, spans, 0) {
		return "left"
	}
	if clamp.Free(clamp.Span{Low: span.Low, High: math.Inf(1)}, spans, 0) {
		return "right"
	}
	return ""
}

// lifted asks whether a group of fingers between two walls can be lifted one
// after the other, each slid sideways under an open stretch first.
func (t *trial) lifted(w *way, group []clamp.Segment, room clamp.Span, q clash.Question) bool {
	for over := range t.onBar(w.bar, q).drawnBack {
		if clamp.TakenOut(group, room, over.spans) {
			return true
		}
	}
	return false
}
