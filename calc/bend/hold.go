package bend

import (
	"fmt"

	"brakeside/calc/unit"
)

// Clamped is a bend under a bar held down by a magnet.
type Clamped struct {
	Strength  float64 // tensile strength of the sheet, MPa
	Thickness unit.MM
	Lever     unit.MM // from the bend to where the leaf pushes: at most the flange
	Depth     unit.MM // of the bar, front to back
	Pressure  float64 // of the magnet on the bar through this sheet, N/mm2
	Margin    float64 // how many times the load the hold should be
}

// Hold is an estimate of whether the magnet holds the bar down. All figures are
// for one millimetre of bend.
type Hold struct {
	Moment   float64 // of the bend, N mm per mm
	NoseLoad float64 // lifting the nose of the bar, N per mm
	Limit    float64 // the nose load at which the bar begins to lift, N per mm
	Lifts    bool    // NoseLoad x margin is over Limit: a caution, no veto
	Words    string
}

// PlasticMoment is the moment that bends a strip all through at a small radius:
// 1.15 Rm t^2 / 4 for each millimetre of bend, in N mm per mm. The quarter is
// the fully plastic rectangle, half more than at first yield; 2/sqrt(3) = 1.15
// is plane strain; the tensile strength stands in for the hardened metal.
func PlasticMoment(strength float64, thickness unit.MM) float64 {
	t := float64(thickness)
	return 1.15 * strength * t * t / 4
}

// Hold works the estimate out. The bar is a rigid strip on an even pressure;
// the leaf pushes with M/a at its lever a, the sheet turns about the nose and
// the back of the bar gives M/d over its depth d, so the nose is lifted by
// q = M (1/a + 1/d). The bar stays down while q <= pressure x d / 2: the moment
// of the pressure about the back edge. Paint, film, rust, burrs and air gaps
// take from it; hence the margin.
//
// A lever or depth that is not positive never holds.
func (c Clamped) Hold() Hold {
	h := Hold{
		Moment: PlasticMoment(c.Strength, c.Thickness),
		Limit:  c.Pressure * float64(c.Depth) / 2,
	}
	h.NoseLoad = h.Moment * (1/float64(c.Lever) + 1/float64(c.Depth))
	holds := c.Lever > 0 && c.Depth > 0 && h.NoseLoad*max(c.Margin, 1) <= h.Limit*nominal
	h.Lifts = !holds
	h.Words = fmt.Sprintf("estimate: the bend lifts the nose with %.1f N per mm, the magnet holds %.1f (margin %.1f asked)",
		h.NoseLoad, h.Limit, max(c.Margin, 1))
	return h
}
