// Package bend tells how much metal one bend uses, how far it springs back and
// whether a brake is strong enough for it.
//
// Lengths are millimetres. An angle is what the metal is turned through: 0 is
// flat, 90 is square, below 180 always. The inside radius is that of the
// finished bend. K is the distance of the neutral line from the inside face
// over the thickness; DIN 6935's correction k multiplies half the thickness, so
// K here is half of it. "Outside setback" is a length of the layout; how far the
// nose of the bar stands back is another package's matter.
//
// Formulas are those of FAA-H-8083-31 volume 1 chapter 4 (layout), DIN 6935 and
// Machinery's Handbook (allowance) and Kalpakjian and Schmid (springback), each
// named where it is used.
package bend

import (
	"math"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// Bend is one bend of a sheet.
type Bend struct {
	Angle     unit.Deg // turned through, more than 0 and less than 180
	Radius    unit.MM  // inside, 0 or more
	Thickness unit.MM  // more than 0
	K         float64  // neutral line from the inside face over thickness, 0 to 1
}

// Check refuses a bend no brake could make, as fault.Invalid on the field that
// is wrong.
func (b Bend) Check() error {
	switch {
	case !(b.Angle > 0 && b.Angle < 180):
		return fault.New(fault.Invalid, "angle", "a bend angle of %v is not between 0 and 180 degrees", float64(b.Angle))
	case !(b.Thickness > 0) || math.IsInf(float64(b.Thickness), 0):
		return fault.New(fault.Invalid, "thickness", "a thickness of %v mm is not above 0", float64(b.Thickness))
	case !(b.Radius >= 0) || math.IsInf(float64(b.Radius), 0):
		return fault.New(fault.Invalid, "radius", "an inside radius of %v mm is below 0", float64(b.Radius))
	case !(b.K >= 0 && b.K <= 1):
		return fault.New(fault.Invalid, "k", "a K-factor of %v is not between 0 (inside face) and 1 (outside face)", b.K)
	}
	return nil
}

// OutsideSetback is the distance along a leg from the apex of the outside
// faces to where the bend begins: (r + t) tan(A/2), at every angle below 180.
// Source: FAA-H-8083-31 volume 1 chapter 4.
func (b Bend) OutsideSetback() unit.MM { return (b.Radius + b.Thickness) * b.halfTangent() }

// halfTangent is tan(A/2), the K chart of AC 43.13-1B table 4-7.
func (b Bend) halfTangent() unit.MM { return unit.MM(math.Tan(b.Angle.Rad() / 2)) }

// Allowance is the length of the neutral line in the bend, the metal the bend
// uses: A (r + K t), A in radians.
func (b Bend) Allowance() unit.MM {
	return unit.MM(b.Angle.Rad()) * (b.Radius + unit.MM(b.K)*b.Thickness)
}

// Deduction is what comes off the sum of the two outside sizes, measured to the
// apex of the outside faces, to give the blank: two outside setbacks less the
// allowance.
func (b Bend) Deduction() unit.MM { return 2*b.OutsideSetback() - b.Allowance() }

// KOfDeduction is the K-factor that makes a deduction to the apex, that of the
// bend itself left aside: allowance = two outside setbacks less the deduction,
// K = (allowance / A - r) / t. It may leave 0 to 1 when the sizes do not fit.
func (b Bend) KOfDeduction(deduction unit.MM) float64 {
	allowance := 2*b.OutsideSetback() - deduction
	return float64((allowance/unit.MM(b.Angle.Rad()) - b.Radius) / b.Thickness)
}

// DeductionToTangent is Deduction for sizes that run, past 90 degrees, to the
// outside tangent (the farthest the leg reaches) and not to the apex, which
// then lies outside the part: 2 (r + t) less the allowance. At 90 and below
// there is no such tangent and it is Deduction.
//
// Source: DIN 6935, which measures bends of an opening below 90 degrees so. The
// standard also leaves the deduction out below 15 degrees; here it never is.
func (b Bend) DeductionToTangent() unit.MM {
	return 2*b.TangentReach() - b.Allowance()
}

// TangentReach is how far beyond the start of the bend a size to the outside
// tangent runs along a leg: r + t past 90 degrees, the outside setback up to 90.
func (b Bend) TangentReach() unit.MM {
	if b.Angle > 90 {
		return b.Radius + b.Thickness
	}
	return b.OutsideSetback()
}

// InsideDifference is how much longer a leg is measured outside than inside,
// both to the apex of their faces: t tan(A/2).
func (b Bend) InsideDifference() unit.MM { return b.Thickness * b.halfTangent() }

// InsideDeduction is what comes off the sum of the two inside sizes, measured
// to the apex of the inside faces. It is often negative: the blank is longer
// than the inside sizes.
func (b Bend) InsideDeduction() unit.MM { return b.Deduction() - 2*b.InsideDifference() }

// LeastFlange is the shortest outside leg the leaf can turn up: 3 t + r + 2 mm.
// Common practice, no source; a shorter leg may be clamped instead.
func (b Bend) LeastFlange() unit.MM { return 3*b.Thickness + b.Radius + 2 }

// LeastHoleDistance is the least distance from the edge of a hole to the bend
// line for a hole that stays round: 2.5 t + r. Common practice, no source.
func (b Bend) LeastHoleDistance() unit.MM { return 2.5*b.Thickness + b.Radius }

// LeastClampedStrip is the narrowest strip a bar holds when a packing strip of
// the same gauge lies under its back. Common practice, no source.
const LeastClampedStrip unit.MM = 10

// RingCentre is how far the centre of mass of the bent metal lies from the axis
// of the bend: 2/3 (R^3 - r^3) / (R^2 - r^2) x sin(A/2) / (A/2), with R = r + t
// and A in radians. Source: centre of gravity of a sector of a ring, Machinery's
// Handbook, from memory.
func RingCentre(b Bend) unit.MM {
	inner, outer, half := float64(b.Radius), float64(b.Radius+b.Thickness), b.Angle.Rad()/2
	thick := (outer*outer + outer*inner + inner*inner) / (outer + inner) // the quotient, divided by R - r
	return unit.MM(2.0 / 3 * thick * math.Sin(half) / half)
}
