package bend

import (
	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// Trial is a strip cut to a length, bent once and measured, to learn what this
// material, thickness and bar really take.
type Trial struct {
	Blank     unit.MM    // cut length
	Legs      [2]unit.MM // outside, to the apex
	Angle     unit.Deg   // measured bend angle
	Stop      unit.Deg   // bend angle the leaf was stopped at
	Radius    unit.MM    // inside, as made
	Thickness unit.MM    // as measured
}

// Measured is what a trial strip teaches.
type Measured struct {
	Deduction  unit.MM // to the apex, at the measured angle
	K          float64
	Springback unit.Deg // stop less measured angle
}

// Learn works the trial out: deduction = both legs less the blank; the
// allowance is two outside setbacks less that, and K follows from it. A K
// outside 0.1 to 0.6, or a springback outside -1 to 15 degrees, is refused as
// fault.Unsure, for it is more likely a slip in measuring; a size that cannot be is
// fault.Invalid.
func (t Trial) Learn() (Measured, error) {
	b := Bend{Angle: t.Angle, Radius: t.Radius, Thickness: t.Thickness}
	if err := b.Check(); err != nil {
		return Measured{}, err
	}
	if !(t.Blank > 0 && t.Legs[0] > 0 && t.Legs[1] > 0) {
		return Measured{}, fault.New(fault.Invalid, "blank", "the strip and both its legs must be longer than 0")
	}
	m := Measured{Deduction: t.Legs[0] + t.Legs[1] - t.Blank, Springback: t.Stop - t.Angle}
	allowance := 2*b.OutsideSetback() - m.Deduction
	m.K = float64((allowance/unit.MM(b.Angle.Rad()) - b.Radius) / b.Thickness)
	return m, m.doubt()
}

// doubt asks for another look at figures that are hardly ever true.
func (m Measured) doubt() error {
	if !(m.K >= 0.1 && m.K <= 0.6) {
		return fault.New(fault.Unsure, "k",
			"these sizes make K %.2f, and 0.3 to 0.5 is usual: measure the strip, both legs and the radius again", m.K)
	}
	if !(m.Springback >= -1 && m.Springback <= 15) {
		return fault.New(fault.Unsure, "angle",
			"this is a springback of %s degrees: is the angle or the stop the opening?", m.Springback.Text(1))
	}
	return nil
}
