// Package lift tells what one person may lift, by the revised NIOSH lifting
// equation.
//
// Masses are kg, lengths millimetres, angles degrees. Source: Waters,
// Putz-Anderson and Garg, Applications Manual for the Revised NIOSH Lifting
// Equation, DHHS (NIOSH) 94-110, revised 9/2021 (public domain). The manual
// gives its multipliers twice, for inches and for centimetres, and the two are
// not exact conversions of each other: a Task is worked in the form its caller
// names. Nothing is rounded; the manual's printed examples round each multiplier
// to two decimals.
package lift

import (
	"math"

	"brakeside/calc/unit"
)

// Task is one lift, as the manual measures it.
type Task struct {
	Horizontal unit.MM  // hands from the middle of the ankles
	Vertical   unit.MM  // hands above the floor
	Travel     unit.MM  // between the heights at the start and the end
	Asymmetry  unit.Deg // how far the load lies round to the side
	Rate       float64  // lifts a minute, over 15 minutes; 0.2 and less count as 0.2
	Duration   Duration
	Coupling   Coupling
}

// Limit is the answer: the recommended weight limit and what made it.
type Limit struct {
	Constant   unit.KG // what may be lifted when all is best
	Horizontal float64 // the multipliers, 0 to 1
	Vertical   float64
	Distance   float64
	Asymmetric float64
	Frequency  float64
	Coupling   float64
}

// Kilograms is the recommended weight limit: the constant times all the
// multipliers. It is 0 for a lift the equation does not allow at any weight.
func (l Limit) Kilograms() unit.KG {
	return l.Constant * unit.KG(l.Horizontal*l.Vertical*l.Distance*l.Asymmetric*l.Frequency*l.Coupling)
}

// Index is the lifting index of a load in kg: load over limit. Above 1 the
// lift should be made easier; infinite when the limit is 0.
func (l Limit) Index(load unit.KG) float64 { return float64(load / l.Kilograms()) }

// form is one of the two ways the manual writes its equation.
type form struct {
	length                unit.MM // of its unit
	constant              unit.KG
	near, far             float64 // horizontal
	knuckle, slope, reach float64 // vertical: best height, loss per unit, highest
	short, travel, longer float64 // distance: least, its coefficient, longest
}

// forms holds the manual's page 7 and the limits of pages 8 to 12.
var forms = map[unit.System]form{
	unit.Metric: {10, 23, 25, 63, 75, 0.003, 175, 25, 4.5, 175},
	unit.Inch:   {unit.PerInch, 51 * unit.PerPound, 10, 25, 30, 0.0075, 70, 10, 1.8, 70},
}

// Limit works the equation in the manual's inch or centimetre form. Beyond the
// equation's reach a multiplier, and so the limit, is 0.
func (t Task) Limit(system unit.System) Limit {
	f := forms[system]
	vertical := float64(t.Vertical / f.length)
	return Limit{
		Constant:   f.constant,
		Horizontal: f.horizontal(float64(t.Horizontal / f.length)),
		Vertical:   f.vertical(vertical),
		Distance:   f.distance(math.Abs(float64(t.Travel / f.length))),
		Asymmetric: asymmetric(t.Asymmetry),
		Frequency:  frequency(t.Rate, t.Duration, vertical < f.knuckle),
		Coupling:   coupling(t.Coupling, vertical < f.knuckle),
	}
}

func (f form) horizontal(h float64) float64 {
	if h > f.far {
		return 0
	}
	return f.near / max(h, f.near)
}

func (f form) vertical(v float64) float64 {
	if v < 0 || v > f.reach {
		return 0
	}
	return 1 - f.slope*math.Abs(v-f.knuckle)
}

func (f form) distance(d float64) float64 {
	if d > f.longer {
		return 0
	}
	return min(1, 0.82+f.travel/max(d, f.short))
}

func asymmetric(a unit.Deg) float64 {
	if a < 0 || a > 135 {
		return 0
	}
	return 1 - 0.0032*float64(a)
}
