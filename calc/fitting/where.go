package fitting

import (
	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"math"
)

// onTheBed asks whether everything that clamps lies between the ends of the bed.
func (t *trial) onTheBed(w *way, ends clamp.Span) bool {
	lies := w.lies
	if n := len(w.segments); n > 0 {
		lies = clamp.Span{Low: w.segments[0].At, High: w.segments[n-1].At + float64(w.segments[n-1].Width)}
	}
	off := max(ends.Low-lies.Low, lies.High-ends.High)
	if off > tiny && t.wordy && w.place == process.Middle {
		t.because(Walls, BarName(&t.Plan.Brake.Bars[w.bar]), "hangs %s mm off the bed", unit.MM(off).Text(1))
	}
	return off <= tiny
}

// slottedRoom is where the left end of a slotted bar may be so that all of it
// lies on the bed and reaches along the bend. In the middle of the brake the part
// may be shifted with it as far as the bend keeps to the bed.
func (t *trial) slottedRoom(w *way, bar *brake.Bar, ends clamp.Span) clamp.Span {
	long, bars, usable := float64(t.bench.Length), float64(bar.Length), float64(t.Plan.Brake.UsableLength)
	if w.place == process.Middle {
		ends = clamp.Span{Low: long - usable, High: usable}
	}
	return clamp.Span{Low: max(ends.Low, long-unsupportedEnd-bars), High: min(ends.High-bars, unsupportedEnd)}
}

// under gives the ends of the bed, shifted no farther than it must be, so that it
// lies under a bar.
func under(bar, ends clamp.Span) clamp.Span {
	by := min(0, bar.Low-ends.Low) + max(0, bar.High-ends.High)
	return clamp.Span{Low: ends.Low + by, High: ends.High + by}
}

// pastEnd is how far inside the end of the bend the brake must end so that
// what is blocked there hangs past it; below zero infinity when nothing is.
func (t *trial) pastEnd(place process.Place, met *gathered, clear unit.MM) float64 {
	long, inwards := float64(t.bench.Length), math.Inf(-1)
	for _, s := range met.spans {
		if place == process.PastLeft && s.Low < long/2 {
			inwards = max(inwards, s.High+float64(clear))
		}
		if place == process.PastRight && s.High > long/2 {
			inwards = max(inwards, long-s.Low+float64(clear))
		}
	}
	return inwards
}
