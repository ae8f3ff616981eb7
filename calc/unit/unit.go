// Package unit holds millimetres and degrees, and how they are frozen, read and
// printed.
//
// Everything the program works out is in millimetres and degrees; a part file
// in inches is converted once, while it is read. A bend angle is what the metal
// is turned through from flat (0 is flat, 90 is square); an opening is the
// angle left between the two flanges (180 minus the bend angle).
package unit

import (
	"math"
	"strconv"
	"strings"
)

// MM is a length in millimetres.
type MM float64

// Deg is an angle in degrees.
type Deg float64

// PerInch is the number of millimetres in an inch, exact by definition
// (international yard and pound agreement of 1959).
const PerInch MM = 25.4

// Inches gives the length in inches.
func (l MM) Inches() float64 { return float64(l / PerInch) }

// Rad gives the angle in radians.
func (a Deg) Rad() float64 { return float64(a) * math.Pi / 180 }

// FromRad gives the angle of so many radians.
func FromRad(radians float64) Deg { return Deg(radians * 180 / math.Pi) }

// Opening turns a bend angle into the angle between the flanges, and back.
//
//	Opening(Opening(a)) == a
func Opening(a Deg) Deg { return 180 - a }

// Micron is a frozen length: whole micrometres.
type Micron int64

// CentiDeg is a frozen angle: whole hundredths of a degree.
type CentiDeg int64

// Micron freezes the length to the nearest whole micrometre, halves away from
// zero.
func (l MM) Micron() Micron { return Micron(math.Round(float64(l) * 1000)) }

// CentiDeg freezes the angle to the nearest hundredth of a degree, halves away
// from zero.
func (a Deg) CentiDeg() CentiDeg { return CentiDeg(math.Round(float64(a) * 100)) }

// MM gives a frozen length back in millimetres.
func (m Micron) MM() MM { return MM(m) / 1000 }

// Deg gives a frozen angle back in degrees.
func (c CentiDeg) Deg() Deg { return Deg(c) / 100 }

// Tenths is the length as Text(1) prints it: whole tenths of a millimetre, halves
// away from zero.
func (m Micron) Tenths() Micron { return 100 * Micron(math.Round(float64(m)/100)) }

// Tenths is the angle as Text(1) prints it: whole tenths of a degree, halves away
// from zero.
func (c CentiDeg) Tenths() CentiDeg { return 10 * CentiDeg(math.Round(float64(c)/10)) }

// Text prints the length in millimetres with so many decimals and no unit.
func (l MM) Text(decimals int) string { return fixed(float64(l), decimals) }

// Text prints the angle in degrees with so many decimals and no unit.
func (a Deg) Text(decimals int) string { return fixed(float64(a), decimals) }

// Text prints a frozen length in millimetres, see MM.Text.
func (m Micron) Text(decimals int) string { return m.MM().Text(decimals) }

// Text prints a frozen angle in degrees, see Deg.Text.
func (c CentiDeg) Text(decimals int) string { return c.Deg().Text(decimals) }

// fixed prints v with halves rounded away from zero as a person would round
// the decimal number shown, and never as "-0.0".
func fixed(v float64, decimals int) string {
	scale := math.Pow(10, float64(decimals))
	rounded := math.Round(v*scale*(1+1e-12)) / scale
	s := strconv.FormatFloat(rounded, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}
