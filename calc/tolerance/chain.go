package tolerance

import (
	"math"

	"brakeside/calc/unit"
)

// Capability is what a brake and its people hold: standard deviations of a
// single error each.
type Capability struct {
	Edge  unit.MM  // from a sheared edge to the bend line that is gauged from it
	Line  unit.MM  // what one bend between adds: where its line comes to lie
	Angle unit.Deg // of a bend as it comes off the brake
}

// Usual is what a leaf brake worked by hand holds before the shop has measured
// anything. Common practice, no source.
var Usual = Capability{Edge: 0.15, Line: 0.25, Angle: 0.5}

// Chain is what lies between the edge that a part is gauged from and the end of
// the size that is checked.
type Chain struct {
	Bends []unit.MM // the leg that each bend between swings, the own bend left out
	Cut   bool      // the size ends at another edge than the gauged one: the cut of the blank comes in
}

// Spread is the standard deviation expected of a size:
//
//	edge^2 + edge^2 if another cut comes in + the sum over the bends between of line^2 + (leg x angle)^2
//
// with the angle in radians, of which the square root is taken. The errors are
// taken to be independent. Common practice, no source.
func (c Capability) Spread(chain Chain) unit.MM {
	variance := float64(c.Edge * c.Edge)
	if chain.Cut {
		variance += float64(c.Edge * c.Edge)
	}
	for _, leg := range chain.Bends {
		variance += float64(c.Line*c.Line) + math.Pow(float64(leg)*c.Angle.Rad(), 2)
	}
	return unit.MM(math.Sqrt(variance))
}

// Verdict is how a tolerance stands to what is expected.
type Verdict int

// The verdicts. The zero verdict is the doubtful one.
const (
	NotHere Verdict = iota // more than one piece in twenty comes out wrong
	Tight                  // measure every piece
	Holds                  // three standard deviations fit in
)

// Words are what is printed.
func (v Verdict) Words() string {
	switch v {
	case Holds:
		return "holds"
	case Tight:
		return "tight"
	}
	return "not on this brake"
}

// Judge compares a tolerance, plus or minus, with an expected standard
// deviation in the same unit: it Holds from three on and is Tight from two on.
func Judge(tolerance, spread float64) Verdict {
	const hair = 1e-9
	switch {
	case spread >= 0 && tolerance >= 3*spread-hair:
		return Holds
	case spread >= 0 && tolerance >= 2*spread-hair:
		return Tight
	}
	return NotHere
}

// Outside is the share of normal errors beyond a tolerance, plus or minus.
func Outside(tolerance, spread float64) float64 {
	if spread == 0 {
		return 0
	}
	return math.Erfc(tolerance / (spread * math.Sqrt2))
}
