package calc

import (
	"fmt"
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/unit"
)

// unsupportedEnd is how much of a bend may stick out past the end of the bar,
// in millimetres (common practice, no source).
const unsupportedEnd = 8

// body is one body of the brake at its place along it, and what the part does
// to it.
type body struct {
	name   string
	span   clamp.Span
	clear  float64
	finger bool
	met    *gathered
}

// fits asks whether a bar can be put in, used and taken out at a place, and
// notes how.
func (t *trial) fits(w *way, bar *brake.Bar) bool {
	swing := t.onBar(w.bar, clash.Swing)
	ends, ok := t.ends(w, bar, swing)
	if !ok {
		return false
	}
	near := float64(t.shop.plan.Brake.Clearance.BedAndLeaf)
	w.clearance = math.Inf(1)
	frame := []body{
		{name: "bed", span: ends, clear: near, met: t.onBed()},
		{name: leafName(w.leaf), span: ends, clear: near, met: t.onLeaf(w.leaf)},
	}
	if t.shop.plan.Brake.Clamping == brake.TopLeaf {
		beam := t.onBar(w.bar, clash.Beam)
		frame = append(frame, body{name: "beam", span: ends, clear: float64(t.shop.plan.Brake.Clearance.Bar), met: beam})
	}
	if !t.clear(w, frame) {
		return false
	}
	if bar.Kind == brake.Segments || bar.Kind == brake.Slotted {
		return t.fitsWalls(w, bar)
	}
	whole := body{name: barName(bar), span: barSpan(w.place, ends, bar), clear: float64(t.shop.plan.Brake.Clearance.Bar), met: swing}
	if !t.clear(w, []body{whole}) {
		return false
	}
	why := t.trapped(w, whole.span)
	if why != "" && w.place == Middle && t.wordy {
		t.no("%s: %s", whole.name, why)
	}
	return why == ""
}

// ends places bed and leaf along the bend: in the middle, or with one end so
// near the end of the bend that what stands there hangs past it.
func (t *trial) ends(w *way, bar *brake.Bar, swing *gathered) (clamp.Span, bool) {
	long, usable := float64(t.bench.Length), float64(t.shop.plan.Brake.UsableLength)
	if w.place == Middle {
		return clamp.Span{Low: (long - usable) / 2, High: (long + usable) / 2}, true
	}
	k := t.shop.plan.Brake.Clearance
	inwards := max(t.pastEnd(w.place, t.onBed(), k.BedAndLeaf), t.pastEnd(w.place, t.onLeaf(w.leaf), k.BedAndLeaf))
	if bar.Kind != brake.Segments {
		inwards = max(inwards, t.pastEnd(w.place, swing, k.Bar))
	}
	if math.IsInf(inwards, -1) || inwards > unsupportedEnd {
		return clamp.Span{}, false // nothing stands there, or too far in
	}
	inwards = max(inwards, 0)
	w.inside = inwards
	if w.place == PastLeft {
		return clamp.Span{Low: inwards, High: inwards + usable}, true
	}
	return clamp.Span{Low: long - inwards - usable, High: long - inwards}, true
}

// pastEnd is how far inside the end of the bend the brake must end so that
// what is blocked there hangs past it; below zero infinity when nothing is.
func (t *trial) pastEnd(place Place, met *gathered, clear unit.MM) float64 {
	long, inwards := float64(t.bench.Length), math.Inf(-1)
	for _, s := range met.spans {
		if place == PastLeft && s.Low < long/2 {
			inwards = max(inwards, s.High+float64(clear))
		}
		if place == PastRight && s.High > long/2 {
			inwards = max(inwards, long-s.Low+float64(clear))
		}
	}
	return inwards
}

// barSpan lays a bar in one piece flush with the brake's end, or in its middle.
func barSpan(place Place, ends clamp.Span, bar *brake.Bar) clamp.Span {
	long := float64(bar.Length)
	switch place {
	case PastLeft:
		return clamp.Span{Low: ends.Low, High: ends.Low + long}
	case PastRight:
		return clamp.Span{Low: ends.High - long, High: ends.High}
	}
	middle := (ends.Low + ends.High) / 2
	return clamp.Span{Low: middle - long/2, High: middle + long/2}
}

// clear asks whether bodies reach along the bend and nothing of the part comes
// too near to them, and keeps the least distance.
func (t *trial) clear(w *way, bodies []body) bool {
	for i := range bodies {
		b := &bodies[i]
		if long := float64(t.bench.Length); !b.finger && (b.span.Low > unsupportedEnd || b.span.High < long-unsupportedEnd) {
			t.no("%s: does not reach along the bend", b.name)
			return false
		}
		gap := clamp.Gap(b.span, b.met.spans)
		if gap < b.clear-hair {
			if w.place == Middle && t.wordy {
				words := t.shop.meets(b)
				t.no("%s", words)
				t.picture(w, b, words)
			}
			return false
		}
		t.note(w, b, gap)
	}
	return true
}

// meets words what comes too near to a body.
func (s *shop) meets(b *body) string {
	face, first := s.plan.Blank.Faces[b.met.culprit].ID, b.met.first
	switch {
	case first.Depth > 0.05:
		return fmt.Sprintf("%s goes %s mm into the %s", face, unit.MM(first.Depth).Text(1), b.name)
	case first.Angle > 0:
		return fmt.Sprintf("%s meets the %s at %s degrees", face, b.name, first.Angle.Text(0))
	}
	return fmt.Sprintf("%s comes nearer to the %s than %s mm", face, b.name, unit.MM(b.clear).Text(1))
}

// note keeps the least distance and what it is between.
func (t *trial) note(w *way, b *body, gap float64) {
	faces := t.shop.plan.Blank.Faces
	if b.met.least < w.clearance {
		w.clearance, w.between = b.met.least, [2]string{faces[b.met.leastFace].ID, b.name}
	}
	if gap < w.clearance {
		w.clearance, w.between = gap, [2]string{faces[b.met.culprit].ID, b.name}
	}
}

// fitting is how fingers or a slotted bar are laid between the walls that stand
// on the bend line: the same wherever along the brake, and with either leaf.
type fitting struct {
	way          // what it sets of one
	why   string // it does not fit, if it does not
	known bool
}

// fitsWalls asks whether fingers or a slotted bar fit between the walls, once
// for each bar.
func (t *trial) fitsWalls(w *way, bar *brake.Bar) bool {
	f := &t.fitted[w.bar]
	if !f.known {
		*f = fitting{way: way{bar: w.bar, clearance: math.Inf(1)}, known: true}
		if swing := t.onBar(w.bar, clash.Swing); bar.Kind == brake.Slotted {
			f.why = t.slotted(&f.way, bar, swing)
		} else {
			f.why = t.fingers(&f.way, bar, swing)
		}
	}
	if f.why != "" {
		if w.place == Middle && t.wordy {
			t.no("%s: %s", barName(bar), f.why)
		}
		return false
	}
	w.segments, w.key, w.at, w.slots, w.slideOut = f.segments, f.key, f.at, f.slots, f.slideOut
	if f.clearance < w.clearance {
		w.clearance, w.between = f.clearance, f.between
	}
	return true
}

// fingers chooses fingers that stand clear and can all be put in and taken out
// again; it returns why there are none, or nothing.
func (t *trial) fingers(w *way, bar *brake.Bar, swing *gathered) string {
	reachable := func(group []clamp.Segment, room clamp.Span) bool {
		return t.lifted(w, group, room, clash.LiftIn) &&
			t.lifted(w, group, room, clash.LiftOut)
	}
	segments, found := t.shop.shelves[w.bar].Fingers(float64(t.bench.Length), swing.spans, reachable)
	switch {
	case segments == nil && found:
		return "trapped, no set can be put in and taken out again"
	case segments == nil:
		return "no set on the shelf fits beside what stands"
	}
	w.segments, w.key = segments, segmentKey(segments)
	for _, g := range segments {
		span := clamp.Span{Low: g.At, High: g.At + float64(g.Width)}
		t.note(w, &body{name: "finger " + g.Width.Text(0), span: span, met: swing}, clamp.Gap(span, swing.spans))
	}
	return ""
}

// lifted asks whether a group of fingers between two walls can be lifted one
// after the other, each slid sideways under an open stretch first.
func (t *trial) lifted(w *way, group []clamp.Segment, room clamp.Span, first clash.Question) bool {
	for i := range clash.LiftBacks {
		over := t.onBar(w.bar, first+clash.Question(i))
		if clamp.TakenOut(group, room, over.spans) {
			return true
		}
	}
	return false
}

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

// lifts asks whether one of the ways of lifting is free over a stretch.
func (t *trial) lifts(w *way, span clamp.Span, first clash.Question) bool {
	for i := range clash.LiftBacks {
		over := t.onBar(w.bar, first+clash.Question(i))
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
