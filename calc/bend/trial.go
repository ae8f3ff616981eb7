package bend

import (
	"fmt"
	"math"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// Trial is a strip cut to a length, bent once and measured, to learn what this
// material, thickness and bar really take.
type Trial struct {
	Blank     unit.MM    // cut length
	Legs      [2]unit.MM // outside, to the apex
	Angle     unit.Deg   // measured bend angle
	Stop      unit.Deg   // bend angle the leaf was stopped at; 0 when it was not noted
	Radius    unit.MM    // inside, as made
	Thickness unit.MM    // as measured
}

// Measured is what a trial strip teaches.
type Measured struct {
	Deduction  unit.MM // to the apex, at the measured angle
	K          float64
	Angle      unit.Deg // at which the springback was measured; 0 when it was not
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
	m := Measured{Deduction: t.Legs[0] + t.Legs[1] - t.Blank}
	if t.Stop != 0 {
		m.Angle, m.Springback = t.Angle, t.Stop-t.Angle
	}
	m.K = b.KOfDeduction(m.Deduction)
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

// tidy takes the dust of binary arithmetic off a figure that is kept in a file.
func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// sameRadius is by what share an inside radius may differ from the one that was
// measured for its K-factor to hold. Common practice, no source.
const sameRadius = 0.25

// Calibration is what a trial strip teaches, ready to be adopted for its
// material and thickness, for inside radii near its own and for the bar it was
// bent under; who and when are for the caller to add.
func (t Trial) Calibration(made Making, m Measured) Calibration {
	radius := t.Radius
	if made.Tool.Former > 0 {
		radius = made.Tool.Former
	}
	return Calibration{
		Material: made.Sheet.Material.ID, Thickness: t.Thickness, Bar: made.Tool.Bar,
		K: tidy(m.K), Angle: m.Angle, Springback: unit.Deg(tidy(float64(m.Springback))),
		Radius: [2]unit.MM{
			unit.MM(tidy(float64(radius) * (1 - sameRadius))), unit.MM(tidy(float64(radius) * (1 + sameRadius))),
		},
		Source: fmt.Sprintf("trial strip %s mm, legs %s and %s mm, %s degrees",
			t.Blank.Text(2), t.Legs[0].Text(2), t.Legs[1].Text(2), t.Angle.Text(1)),
	}
}
