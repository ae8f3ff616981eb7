package fitting

import (
	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// A hem is two doings: the leaf turns its edge up, then the same bar presses it
// flat where the bend was made. Where it cannot be pressed, it cannot be made
// that way either.

// isHem reports whether the operation is a hem.
func (t *trial) isHem() bool { return t.Plan.Bends[t.bench.Joints[0]].Hem != part.NoHem }

// laysOver asks whether the edge of a hem can be laid over: it is the lesser side
// that swings, nothing stands on it, and nothing stands in its way.
func (t *trial) laysOver() bool {
	if t.heavier[t.op][t.side] {
		t.because(AtHem, "", "the edge of the hem must swing, it is laid onto what is clamped")
		return false
	}
	faces := t.Plan.Blank.Faces
	for i := range faces {
		if !t.bench.Swings(i) {
			continue
		}
		if t.bench.Extent(i, t.made).Bend >= 0 {
			t.because(AtHem, "", "%s is bent already and would come under the bar%s", faces[i].ID, whileFlattened)
			return false
		}
		for j := range faces {
			if t.bench.Swings(j) {
				continue
			}
			if free, angle := t.bench.Closes(i, j, t.made); !free {
				t.because(AtHem, "", "%s runs into %s at %s degrees%s", faces[i].ID, faces[j].ID, angle.Text(0), whileFlattened)
				return false
			}
		}
	}
	return true
}

// pressed asks whether the bar of a way can come straight down on the hem, lie
// on all of it, and go up again, with the part pushed back on the bed.
func (t *trial) pressed(w *way, bar *brake.Bar) bool {
	loud := w.place == process.Middle && t.wordy
	if p := t.bench.Press(w.bar); p.Covered > bar.Depth+hair {
		if loud {
			t.because(AtHem, BarName(bar), "covers %s mm, the flat hem reaches %s behind its nose", bar.Depth.Text(1), p.Covered.Text(1))
		}
		return false
	}
	ends, ok := t.ends(w, bar, t.onBar(w.bar, clash.Swing))
	if !ok || !t.clear(w, t.pressBench(w, ends)) {
		return false
	}
	on, down := t.onBar(w.bar, clash.Pressed), t.onBar(w.bar, clash.PressDown)
	if bar.Kind == brake.Slotted {
		ok = t.pressedSlotted(w, bar, on, down)
	} else {
		ok = t.clear(w, t.pressBars(w, bar, ends, on)) && t.comesDown(w, bar, ends, down)
	}
	if !ok && loud {
		t.because(AtHem, BarName(bar), "cannot come straight down on the hem past what stands")
	}
	return ok
}

// pressBench is what of the brake but the bar may be met while the hem is
// pressed flat.
func (t *trial) pressBench(w *way, ends clamp.Span) []body {
	near, leaf := float64(t.Plan.Brake.Clearance.BedAndLeaf), clash.PressFull
	if w.leaf == brake.Slim {
		leaf = clash.PressSlim
	}
	return []body{
		{name: "bed", span: ends, clear: near, met: t.onBar(w.bar, clash.PressBed), hem: true},
		{name: LeafName(w.leaf), span: ends, clear: near, met: t.onBar(w.bar, leaf), hem: true},
	}
}

// pressBars are the bar, or its fingers, on the hem.
func (t *trial) pressBars(w *way, bar *brake.Bar, ends clamp.Span, on *gathered) []body {
	if w.segments == nil {
		return []body{{name: BarName(bar), span: barSpan(w.place, ends, bar), clear: float64(t.Plan.Brake.Clearance.Bar), met: on, hem: true}}
	}
	var out []body
	for _, s := range w.segments {
		span := clamp.Span{Low: s.At, High: s.At + float64(s.Width)}
		out = append(out, body{name: "finger " + s.Width.Text(0), span: span, clear: float64(bar.EndGap[0]), finger: true, met: on, hem: true})
	}
	return out
}

// comesDown asks whether nothing stands over the bar or its fingers.
func (t *trial) comesDown(w *way, bar *brake.Bar, ends clamp.Span, down *gathered) bool {
	for _, b := range t.pressBars(w, bar, ends, down) {
		if !clamp.Free(b.span, down.spans, 0) {
			return false
		}
	}
	return true
}

// pressedSlotted asks whether the walls that stand over a slotted bar stand in
// its slots.
func (t *trial) pressedSlotted(w *way, bar *brake.Bar, on, down *gathered) bool {
	span := clamp.Span{Low: w.at, High: w.at + float64(bar.Length)}
	at := []clamp.Span{{Low: w.at, High: w.at}}
	for _, met := range []*gathered{on, down} {
		walls, rest := slottable(bar, met)
		clear := float64(t.Plan.Brake.Clearance.Bar)
		if met == down {
			clear = 0
		}
		if !clamp.Free(span, rest, clear) {
			return false
		}
		for _, wall := range walls {
			if meet(at, shifts(bar, wall)) == nil {
				return false
			}
		}
	}
	return true
}

// Flatten is how the hem of the chosen way is pressed flat: how it lies under
// the bar, and the strip under the bar's back, 0 where it needs none, which lies
// on the bed where no sheet reaches there.
type Flatten struct {
	clash.Press
	Packing      unit.MM
	PackingOnBed bool
}

// flatten works out the packing: the bar stands on all thicknesses of the hem in
// front and would tip back where they end before the middle of its depth.
func (t *trial) flatten(w *way) *Flatten {
	if !t.isHem() {
		return nil
	}
	bar := &t.Plan.Brake.Bars[w.bar]
	out, middle := &Flatten{Press: t.bench.Press(w.bar)}, bar.Depth/2-hair
	if out.Covered >= middle {
		return out
	}
	out.Packing = out.Pile - t.Plan.Blank.Sheet.Thickness
	for _, stretch := range t.rests(w) {
		if t.bench.PressSupport(t.made, w.bar, stretch, float64(middle)) < float64(middle) {
			out.Packing, out.PackingOnBed = out.Pile, true
		}
	}
	return out
}
