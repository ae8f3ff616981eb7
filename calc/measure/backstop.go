package measure

import (
	"math"

	"brakeside/calc/clash"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/unit"
)

// Setup is how the brake is set up when a step begins.
type Setup struct {
	Line    unit.MM // behind the hinge line: what is laid on the nose line
	BarBack unit.MM // and the back of the bar
	Bed     float64 // where the brake's usable length begins, from the left end of the bend
}

// BackStop is how far behind the hinge line, about which the leaf turns, the face
// of the brake's back stop is set so that what the nose line is measured from lies
// square against it, in millimetres. From the hinge line and not from the nose, so
// that it stays where it is when the bar is lifted.
//
// It is 0 where the brake states no stop, or where that is not sure to work: the
// stop does not reach there or stands where the bar lies; something of the part
// reaches farther back than it, before the bend or when the side that swings has
// come over; what would be touched is not the clamped side's, hangs down, or is too
// short to lie square against. A stop whose height is not stated goes under nothing.
func BackStop(b *clash.Bench, made fold.Made, r Reference, at Setup) unit.MM {
	stop, behind := b.Brake.BackStop, at.Line+r.Distance
	low := stop.Height > 0 && stop.Height <= b.Blank.Sheet.Thickness
	switch {
	case r.Swinging || !stop.Reaches(behind):
		return 0
	case behind.Micron() < at.BarBack.Micron() && !low:
		return 0
	case !r.contact.square(b.Length, at.Bed, float64(b.Brake.UsableLength)):
		return 0
	}
	room := b.Beyond(made, float64(behind)+touches)
	if math.IsInf(room, 1) || stop.Height > 0 && room >= float64(stop.Height+b.Brake.Clearance.BedAndLeaf) {
		return behind
	}
	return 0
}

// leastContact is what share of the length of the bend must lie along the back
// stop for the part to be held square by it (common practice, no source).
const leastContact = 0.5

// square reports whether a stretch, as far as it lies behind the bed, is long
// enough beside a bend. Bed is where that begins.
func (s stretch) square(bend unit.MM, bed, usable float64) bool {
	return min(s.high, bed+usable)-max(s.low, bed) >= leastContact*float64(bend)-flat.Snap
}
