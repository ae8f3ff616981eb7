package fitting

import (
	"fmt"
	"math"

	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// whileFlattened ends the reasons that come from pressing a hem flat.
const whileFlattened = " while the hem is flattened"

// body is one body of the brake at its place along it, and what the part does
// to it.
type body struct {
	name   string
	span   clamp.Span
	clear  float64
	finger bool
	met    *gathered
	hem    bool // asked while a hem is pressed flat
}

// clear asks whether bodies reach along the bend and nothing of the part comes
// too near to them, and keeps the least distance.
func (t *trial) clear(w *way, bodies []body) bool {
	for i := range bodies {
		b := &bodies[i]
		if long := float64(t.bench.Length); !b.finger && (b.span.Low > unsupportedEnd || b.span.High < long-unsupportedEnd) {
			t.because(TooLong, b.name, "does not reach along the bend")
			return false
		}
		gap, enough := b.gap()
		if !enough {
			if w.place == process.Middle && t.wordy {
				words := t.meets(b)
				if b.hem {
					words += whileFlattened
				}
				t.because(b.cause(), b.name, "%s", words)
				t.depict(w, b, words)
			}
			return false
		}
		t.note(w, b, gap)
	}
	return true
}

// gap is how far the part stays from a body along the bend, and whether that is
// enough. Of a finger it is counted from the inside faces of walls.
func (b *body) gap() (gap float64, enough bool) {
	if b.finger {
		walls := b.met.walls()
		return clamp.ToFace(b.span, walls), clamp.Beside(b.span, walls, b.clear)
	}
	gap = clamp.Gap(b.span, b.met.spans)
	return gap, gap >= b.clear-hair
}

// cause is what kind of thing a body is.
func (b *body) cause() string {
	switch b.met.element {
	case clash.Bed:
		return AtBed
	case clash.FullLeaf, clash.SlimLeaf:
		return AtLeaf
	}
	return AtBar
}

// meets words what comes too near to a body.
func (t *trial) meets(b *body) string {
	face, first := t.Plan.Blank.Faces[b.met.culprit].Word, b.met.first
	switch bare, ends := t.bare(b); {
	case ends && bare < first.Depth:
		return fmt.Sprintf("%s reaches over the bend: where the %s ends before it %s mm of the bend are bare, %s at most may be",
			face, b.name, unit.MM(bare).Text(1), unit.MM(unsupportedEnd).Text(1))
	case first.Depth > 0.05:
		return fmt.Sprintf("%s goes %s mm into the %s", face, unit.MM(first.Depth).Text(1), b.name)
	case first.Angle > 0:
		return fmt.Sprintf("%s meets the %s at %s degrees", face, b.name, first.Angle.Text(0))
	}
	return fmt.Sprintf("%s comes nearer to the %s than %s mm", face, b.name, unit.MM(b.clear).Text(1))
}

// bare is how much of the bend would lie beside a bar that ends before what stands in
// its way, where that is at one end of the bend only.
func (t *trial) bare(b *body) (bare float64, ends bool) {
	if b.finger || b.hem || b.cause() != AtBar {
		return 0, false
	}
	clear := unit.MM(b.clear)
	left, right := t.pastEnd(process.PastLeft, b.met, clear), t.pastEnd(process.PastRight, b.met, clear)
	return max(left, right), math.IsInf(min(left, right), -1)
}

// note keeps the least distance and what it is between, and the least along the brake.
func (t *trial) note(w *way, b *body, gap float64) {
	faces := t.Plan.Blank.Faces
	w.gap = min(w.gap, gap)
	if b.met.least < w.clearance {
		w.clearance, w.between, w.endwise = b.met.least, [2]string{faces[b.met.leastFace].ID, b.name}, false
	}
	if gap < w.clearance {
		face, curve := b.met.beside(b.span)
		w.clearance, w.between, w.endwise, w.curve = gap, [2]string{faces[face].ID, b.name}, true, curve && !b.finger
	}
}

// depict keeps the end view of the first thing that was found in the way, at
// the angle at which it is.
func (t *trial) depict(w *way, b *body, words string) {
	if t.picture.Shapes != nil {
		return
	}
	span := b.met.first
	x := (max(span.Low, 0) + min(span.High, float64(t.bench.Length))) / 2
	if x < span.Low || x > span.High {
		x = (span.Low + span.High) / 2
	}
	bar := t.Plan.Brake.Bars[w.bar]
	word := t.Plan.Blank.Joints[t.bench.Joints[0]].Word
	if b.hem {
		*t.picture = process.Picture{Words: "bend " + word + ": " + words, Shapes: pressView(t.bench.PressView(t.made, x, w.bar, true), w.leaf)}
		return
	}
	*t.picture = process.Picture{
		Words:  fmt.Sprintf("bend %s at %s degrees: %s", word, span.Angle.Text(0), words),
		Shapes: endView(t.bench, bar, t.bench.View(t.made, x, span.Angle), w.leaf),
	}
}
