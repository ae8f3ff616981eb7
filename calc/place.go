package calc

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
)

// unsupportedEnd is how much of a bend may stick out past the end of the bar,
// in millimetres (common practice, no source).
const unsupportedEnd = 8

// body is one body of the brake at its place along it.
type body struct {
	name   string
	span   clamp.Span
	clear  float64
	finger bool
	reach  func(face int) *clash.Reach
}

// bed, leaf and bar ask the bench about one face.
func (t *trial) bed(face int) *clash.Reach { return &t.bench.Face(face, t.made).Bed }

func (t *trial) leaf(form brake.Slimness) func(face int) *clash.Reach {
	index := 0
	if form == brake.Slim {
		index = 1
	}
	return func(face int) *clash.Reach { return &t.bench.Face(face, t.made).Leaf[index] }
}

func (t *trial) bar(face, bar int) *clash.BarReach { return t.bench.BarReach(face, bar, t.made) }

// fits asks whether a bar can be put in, used and taken out at a place, and
// notes how.
func (t *trial) fits(w *way, bar brake.Bar) bool {
	ends, ok := t.ends(w, bar)
	if !ok {
		return false
	}
	k := t.shop.plan.Brake
	near := float64(k.Clearance.BedAndLeaf)
	bodies := []body{
		{name: "bed", span: ends, clear: near, reach: t.bed},
		{name: string(w.leaf) + " leaf", span: ends, clear: near, reach: t.leaf(w.leaf)},
	}
	swing := func(face int) *clash.Reach { return &t.bar(face, w.bar).Swing }
	if bar.Kind == brake.Segments {
		spans, _, _ := t.blocked(swing)
		segments, ok := t.shop.shelves[w.bar].Fingers(float64(t.bench.Length), spans)
		if !ok {
			if w.place == Middle {
				t.no("%s: no set on the shelf fits beside what stands", barName(bar))
			}
			return false
		}
		w.segments = segments
		for _, g := range segments {
			bodies = append(bodies, body{name: "finger " + g.Width.Text(0), span: clamp.Span{Low: g.At, High: g.At + float64(g.Width)}, finger: true, reach: swing})
		}
	} else {
		bodies = append(bodies, body{name: barName(bar), span: t.barSpan(w.place, ends, bar), clear: float64(k.Clearance.Bar), reach: swing})
	}
	return t.clear(w, bodies) && t.inAndOut(w, bar, bodies[2:])
}

// ends places bed and leaf along the bend: in the middle, or with one end so
// near the end of the bend that what stands there hangs past it.
func (t *trial) ends(w *way, bar brake.Bar) (clamp.Span, bool) {
	long, usable := float64(t.bench.Length), float64(t.shop.plan.Brake.UsableLength)
	if w.place == Middle {
		return clamp.Span{Low: (long - usable) / 2, High: (long + usable) / 2}, true
	}
	left := w.place == PastLeft
	inwards := math.Inf(-1) // how far past the bend's end the brake's end must stay inside
	gather := func(reach func(face int) *clash.Reach, clear float64) {
		spans, _, _ := t.blocked(reach)
		for _, s := range spans {
			if left && s.Low < long/2 {
				inwards = math.Max(inwards, s.High+clear)
			}
			if !left && s.High > long/2 {
				inwards = math.Max(inwards, long-s.Low+clear)
			}
		}
	}
	k := t.shop.plan.Brake
	gather(t.bed, float64(k.Clearance.BedAndLeaf))
	gather(t.leaf(w.leaf), float64(k.Clearance.BedAndLeaf))
	if bar.Kind != brake.Segments {
		gather(func(face int) *clash.Reach { return &t.bar(face, w.bar).Swing }, float64(k.Clearance.Bar))
	}
	if math.IsInf(inwards, -1) || inwards > unsupportedEnd {
		return clamp.Span{}, false // nothing stands there, or too far in
	}
	inwards = math.Max(inwards, 0)
	if left {
		return clamp.Span{Low: inwards, High: inwards + usable}, true
	}
	return clamp.Span{Low: long - inwards - usable, High: long - inwards}, true
}

// barSpan lays a bar in one piece flush with the brake's end, or in its middle.
func (t *trial) barSpan(place Place, ends clamp.Span, bar brake.Bar) clamp.Span {
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

// clear asks whether anything of the part comes too near to a body, and keeps
// the least distance.
func (t *trial) clear(w *way, bodies []body) bool {
	w.clearance = math.Inf(1)
	for _, b := range bodies {
		if long := float64(t.bench.Length); !b.finger && (b.span.Low > unsupportedEnd || b.span.High < long-unsupportedEnd) {
			t.no("%s: does not reach along the bend", b.name)
			return false
		}
		spans, culprit, angle := t.blocked(b.reach)
		gap := clamp.Gap(b.span, spans)
		if gap < b.clear-tiny {
			if w.place == Middle {
				t.no("%s: %s comes too near at %s degrees", b.name, culprit, angle.Text(0))
			}
			return false
		}
		t.note(w, b, gap)
	}
	return true
}

// note keeps the least distance and what it is between.
func (t *trial) note(w *way, b body, gap float64) {
	faces := t.shop.plan.Blank.Faces
	for f := range faces {
		reach := b.reach(f)
		least := reach.Least
		if len(reach.Blocked) > 0 {
			least = math.Min(least, gap)
		}
		if least < w.clearance {
			w.clearance, w.between = least, [2]string{faces[f].ID, b.name}
		}
	}
}

// inAndOut asks whether the bar, or every finger, can be put in before the bend
// and taken out after it.
func (t *trial) inAndOut(w *way, bar brake.Bar, pieces []body) bool {
	for _, p := range pieces {
		in := t.lifts(p.span, func(face int) []clash.Reach { return t.bar(face, w.bar).In })
		out := t.lifts(p.span, func(face int) []clash.Reach { return t.bar(face, w.bar).Out })
		if bar.Kind != brake.Segments {
			if !in {
				in = t.slides(p.span, func(face int) *clash.Reach { return &t.bar(face, w.bar).EndIn }) != ""
			}
			if !out {
				w.slideOut = t.slides(p.span, func(face int) *clash.Reach { return &t.bar(face, w.bar).EndOut })
				out = w.slideOut != ""
			}
		}
		switch {
		case !out && w.place == Middle:
			t.no("%s: trapped, it cannot be lifted or slid out once the bend is made", p.name)
		case !in && w.place == Middle:
			t.no("%s: cannot be put in past what stands", p.name)
		}
		if !in || !out {
			return false
		}
	}
	return true
}

// lifts asks whether one of the ways of lifting is free over a stretch.
func (t *trial) lifts(span clamp.Span, of func(face int) []clash.Reach) bool {
	for i := range clash.LiftBacks {
		spans, _, _ := t.blocked(func(face int) *clash.Reach { return &of(face)[i] })
		if clamp.Free(span, spans, 0) {
			return true
		}
	}
	return false
}

// slides tells over which end a bar can be slid out, left or right, or none.
func (t *trial) slides(span clamp.Span, of func(face int) *clash.Reach) string {
	spans, _, _ := t.blocked(of)
	if clamp.Free(clamp.Span{Low: math.Inf(-1), High: span.High}, spans, 0) {
		return "left"
	}
	if clamp.Free(clamp.Span{Low: span.Low, High: math.Inf(1)}, spans, 0) {
		return "right"
	}
	return ""
}
