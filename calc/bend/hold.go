package bend

import (
	"fmt"
	"math"

	"brakeside/calc/unit"
)

// Clamped is a bend under a bar held down by a magnet.
type Clamped struct {
	Strength  unit.MPa // tensile strength of the sheet
	Thickness unit.MM
	Lever     unit.MM  // from the bend to where the leaf pushes: at most the flange
	Depth     unit.MM  // of the bar, front to back
	Share     float64  // how many times as long as the bend the bar is that holds it, at least 1
	Pressure  unit.MPa // of the magnet on the bar through this sheet
	Margin    float64  // how many times the load the hold should be
}

// Hold is an estimate of whether the magnet holds the bar down. All figures are
// for one millimetre of bend.
type Hold struct {
	Moment   float64 // of the bend, N mm per mm
	NoseLoad float64 // lifting the nose of the bar, N per mm
	Limit    float64 // the nose load at which the bar begins to lift, N per mm
	Margin   float64 // how many times the load the limit should be, at least 1
	State    HoldState
}

// HoldState is what the estimate comes to: a caution, no veto.
type HoldState string

// The states: NoseLoad x Margin is within Limit; it is over; NoseLoad is.
const (
	Holds    HoldState = "holds"
	Marginal HoldState = "marginal"
	TooSmall HoldState = "too-small"
)

// Lifts reports whether the bar is expected to lift.
func (h Hold) Lifts() bool { return h.State == TooSmall }

// HoldModel says what the estimate takes for granted, for those who read the
// figures.
const HoldModel = "hold: an estimate. The sheet is taken as bent through at 1.15 Rm t2/4, the bar as a rigid strip on an even pull; " +
	"paint, film, rust and burrs take from it"

// Words say to the operator how the bar is held, with the figures.
func (h Hold) Words() string {
	load, limit := fmt.Sprintf("%.1f", h.NoseLoad), fmt.Sprintf("%.1f", h.Limit)
	switch {
	case math.IsInf(h.NoseLoad, 0) || math.IsNaN(h.NoseLoad):
		return "Magnet hold is not known: the leaf has no lever or the bar no depth."
	case h.State == TooSmall:
		return fmt.Sprintf("Magnet hold is too small: %s N/mm lift the bar, %s hold it.", load, limit)
	case h.State == Marginal:
		return fmt.Sprintf("Magnet hold is marginal: %s N/mm lift the bar, %s hold it.", load, limit)
	}
	return fmt.Sprintf("Magnet holds: the bend lifts with %s N/mm, the hold is %s.", load, limit)
}

// PlasticMoment is the moment that bends a strip all through at a small radius:
// 1.15 Rm t^2 / 4 for each millimetre of bend, in N mm per mm. The quarter is
// the fully plastic rectangle, half more than at first yield; 2/sqrt(3) = 1.15
// is plane strain; the tensile strength stands in for the hardened metal.
func PlasticMoment(strength unit.MPa, thickness unit.MM) float64 {
	t := float64(thickness)
	return 1.15 * float64(strength) * t * t / 4
}

// Hold works the estimate out. The bar is a rigid strip on an even pressure;
// the leaf pushes with M/a at its lever a, the sheet turns about the nose and
// the back of the bar gives M/d over its depth d, so the nose is lifted by
// q = M (1/a + 1/d). The bar stays down while q <= pressure x d / 2: the moment
// of the pressure about the back edge. Paint, film, rust, burrs and air gaps
// take from it; hence the margin. A bar that is Share times as long as the bend
// pulls along all its length, on packing of the same gauge.
//
// A lever or depth that is not positive never holds.
func (c Clamped) Hold() Hold {
	h := Hold{
		Moment: PlasticMoment(c.Strength, c.Thickness),
		Limit:  float64(c.Pressure) * float64(c.Depth) / 2 * max(c.Share, 1),
		Margin: max(c.Margin, 1),
	}
	h.NoseLoad = h.Moment * (1/float64(c.Lever) + 1/float64(c.Depth))
	switch known := c.Lever > 0 && c.Depth > 0; {
	case known && h.NoseLoad*h.Margin <= h.Limit*nominal:
		h.State = Holds
	case known && h.NoseLoad <= h.Limit*nominal:
		h.State = Marginal
	default:
		h.State = TooSmall
	}
	return h
}

// LeastDepth is how deep the bar must be that no longer lifts, all else alike: the
// depth d at which M (1/a + 1/d) = pressure x d / 2, millimetres. It is infinite
// where nothing pulls or the lever is not positive.
func (c Clamped) LeastDepth() unit.MM {
	moment, pull := PlasticMoment(c.Strength, c.Thickness), float64(c.Pressure)*max(c.Share, 1)
	if !(c.Lever > 0 && pull > 0) {
		return unit.MM(math.Inf(1))
	}
	onLever := moment / float64(c.Lever)
	return unit.MM((onLever + math.Sqrt(onLever*onLever+2*pull*moment)) / pull)
}
