package fitting

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/process"
)

// fits asks whether a bar can be put in, used and taken out at a place, and
// notes how.
func (t *trial) fits(w *way, bar *brake.Bar) bool {
	swing := t.onBar(w.bar, clash.Swing)
	ends, ok := t.ends(w, bar, swing)
	if !ok {
		return false
	}
	w.clearance, w.gap = math.Inf(1), math.Inf(1)
	if bar.Kind == brake.Slotted {
		if !t.fitsWalls(w, bar, ends) {
			return false
		}
		ends = under(w.lies, ends)
	}
	if w.place == process.Middle || bar.Kind == brake.Slotted {
		return t.fitsAt(w, bar, ends, swing)
	}
	roomy := *w
	return t.fitsAt(w, bar, ends, swing) || t.fitsJust(w, roomy, bar, swing)
}

// fitsJust asks whether a bar fits with the brake where it ends least far inside the
// end of the bend, when it does not where there is more room: something stands at
// the brake's other end too. Then it must be placed just there.
func (t *trial) fitsJust(w *way, roomy way, bar *brake.Bar, swing *gathered) bool {
	for _, inside := range []float64{max(roomy.inside-roomy.play, 0), 0} {
		*w = roomy
		w.inside, w.play = inside, 0
		if inside <= unsupportedEnd && t.fitsAt(w, bar, t.pastBy(w.place, inside), swing) {
			return true
		}
	}
	return false
}

// fitsAt asks the same with the brake's usable length at a place.
func (t *trial) fitsAt(w *way, bar *brake.Bar, ends clamp.Span, swing *gathered) bool {
	w.bed = ends.Low
	return t.clearOfFrame(w, ends) && t.fitsBar(w, bar, ends, swing)
}

// clearOfFrame asks whether the part stays clear of what clamps nothing.
func (t *trial) clearOfFrame(w *way, ends clamp.Span) bool {
	near := float64(t.Plan.Brake.Clearance.BedAndLeaf)
	frame := []body{
		{name: "bed", span: ends, clear: near, met: t.onBed()},
		{name: LeafName(w.leaf), span: ends, clear: near, met: t.onLeaf(w.leaf)},
	}
	if t.Plan.Brake.Clamping == brake.TopLeaf {
		beam := t.onBar(w.bar, clash.Beam)
		frame = append(frame, body{name: "beam", span: ends, clear: float64(t.Plan.Brake.Clearance.Bar), met: beam})
	}
	return t.clear(w, frame)
}

// roomBesideBars reports whether bed and leaf may leave room for some way: they lie
// under all of the bend but its ends, wherever along the brake it is.
func (t *trial) roomBesideBars() bool {
	core := clash.Stretch{Low: unsupportedEnd, High: float64(t.bench.Length) - unsupportedEnd}
	if core.High <= core.Low {
		return true
	}
	var blocked clash.Frame
	for f := range t.Plan.Blank.Faces {
		blocked = blocked.With(t.bench.Blocks(f, t.made, core, hair))
	}
	return !blocked.Bed && (!blocked.Full || !blocked.Slim && t.leafHolds(brake.Slim))
}

// leafHolds reports whether the leaf as it is then bends the sheet; the slim one says
// why it does not.
func (t *trial) leafHolds(leaf brake.Slimness) bool {
	k := t.Plan.Brake
	if leaf == brake.Full {
		return true
	}
	if k.Leaf.SlimFace == 0 || k.Leaf.SlimRating == 0 {
		return false
	}
	fit := t.slim[t.op]
	if !fit.OK {
		t.because(TooWeak, LeafName(leaf), "too weak: %s", fit.Why)
	}
	return fit.OK
}

// fitsBar asks whether what clamps lies on the bed, clear of the part, and can be
// put in and taken out.
func (t *trial) fitsBar(w *way, bar *brake.Bar, ends clamp.Span, swing *gathered) bool {
	if bar.Kind == brake.Slotted {
		return t.onTheBed(w, ends)
	}
	if bar.Kind == brake.Segments {
		return t.fitsWalls(w, bar, ends) && t.onTheBed(w, ends)
	}
	w.lies = barSpan(w.place, ends, bar)
	whole := body{name: BarName(bar), span: w.lies, clear: float64(t.Plan.Brake.Clearance.Bar), met: swing}
	if !t.onTheBed(w, ends) || !t.clear(w, []body{whole}) {
		return false
	}
	why := t.trapped(w, whole.span)
	if w.place != process.Middle && (why != "" || w.slideOut != "") && t.fartherIn(w, bar, swing) {
		return true
	}
	if why != "" && w.place == process.Middle && t.wordy {
		t.because(AtBar, whole.name, "%s", why)
	}
	return why == ""
}

// ends places bed and leaf along the bend: in the middle, or with one end so
// near the end of the bend that what stands there hangs past it.
func (t *trial) ends(w *way, bar *brake.Bar, swing *gathered) (clamp.Span, bool) {
	long, usable := float64(t.bench.Length), float64(t.Plan.Brake.UsableLength)
	if w.place == process.Middle {
		w.play = math.Inf(1)
		return clamp.Span{Low: (long - usable) / 2, High: (long + usable) / 2}, true
	}
	k := t.Plan.Brake.Clearance
	inwards := max(t.pastEnd(w.place, t.onBed(), k.BedAndLeaf), t.pastEnd(w.place, t.onLeaf(w.leaf), k.BedAndLeaf))
	if bar.Kind != brake.Segments {
		inwards = max(inwards, t.pastEnd(w.place, swing, k.Bar))
	}
	if math.IsInf(inwards, -1) || inwards > unsupportedEnd {
		return clamp.Span{}, false // nothing stands there, or too far in
	}
	w.inside, w.play = roomy(inwards)
	return t.pastBy(w.place, w.inside), true
}

// roomy is how far inside an end of the bend the brake best ends, or below 0 outside,
// where it must end so far inside: the end of the bend lies well inside the brake if
// it can, and else there is room to place the part by eye. It tells by how much it may
// be off.
func roomy(least float64) (inside, play float64) {
	inside = max(min(least+float64(brake.RoomByEye), (least+unsupportedEnd)/2), -float64(brake.InsideEnd))
	return inside, min(inside-least, unsupportedEnd-inside)
}

// pastBy is where the brake's usable length lies when it ends so far inside an end of
// the bend.
func (t *trial) pastBy(place process.Place, inwards float64) clamp.Span {
	long, usable := float64(t.bench.Length), float64(t.Plan.Brake.UsableLength)
	if place == process.PastLeft {
		return clamp.Span{Low: inwards, High: inwards + usable}
	}
	return clamp.Span{Low: long - inwards - usable, High: long - inwards}
}

// fartherIn asks whether a bar in one piece that is closed in where it hangs least far
// past the end lifts out where the brake ends farther inside the bend.
func (t *trial) fartherIn(w *way, bar *brake.Bar, swing *gathered) bool {
	for over := range t.onBar(w.bar, clash.LiftOut).drawnBack {
		other := *w
		least := t.pastEnd(w.place, over, 0)
		if least <= w.inside || least > unsupportedEnd {
			continue
		}
		other.inside, other.play = roomy(least)
		other.slideOut, other.clearance, other.gap = "", math.Inf(1), math.Inf(1)
		if t.fitsAt(&other, bar, t.pastBy(w.place, other.inside), swing) && other.slideOut == "" {
			*w = other
			return true
		}
	}
	return false
}

// barSpan lays a bar in one piece flush with the brake's end, or in its middle.
func barSpan(place process.Place, ends clamp.Span, bar *brake.Bar) clamp.Span {
	long := float64(bar.Length)
	switch place {
	case process.PastLeft:
		return clamp.Span{Low: ends.Low, High: ends.Low + long}
	case process.PastRight:
		return clamp.Span{Low: ends.High - long, High: ends.High}
	}
	middle := (ends.Low + ends.High) / 2
	return clamp.Span{Low: middle - long/2, High: middle + long/2}
}

// fitsWalls asks whether fingers or a slotted bar fit between the walls. The
// answer is kept for each bar, but for a slotted bar that must keep to an end of
// the brake.
func (t *trial) fitsWalls(w *way, bar *brake.Bar, ends clamp.Span) bool {
	f := &t.fitted[w.bar]
	if bar.Kind == brake.Slotted && w.place != process.Middle {
		f = &laid{}
	}
	if !f.known {
		*f = laid{way: way{bar: w.bar, clearance: math.Inf(1), play: math.Inf(1), gap: math.Inf(1)}, known: true}
		if swing := t.onBar(w.bar, clash.Swing); bar.Kind == brake.Slotted {
			f.why = t.slotted(&f.way, bar, swing, t.slottedRoom(w, bar, ends))
		} else {
			f.why = t.fingers(&f.way, bar, swing)
		}
	}
	if f.why != "" {
		if w.place == process.Middle && t.wordy {
			t.because(Walls, BarName(bar), "%s", f.why)
		}
		return false
	}
	w.segments, w.key, w.at, w.slots, w.lies, w.slideOut = f.segments, f.key, f.at, f.slots, f.lies, f.slideOut
	w.play, w.gap = min(w.play, f.play), min(w.gap, f.gap)
	if f.clearance < w.clearance {
		w.clearance, w.between, w.endwise, w.curve = f.clearance, f.between, f.endwise, f.curve
	}
	return true
}
