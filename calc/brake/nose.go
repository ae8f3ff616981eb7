package brake

import (
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// NoseSetbackFor is how far the nose of a bar is set behind the hinge line for
// a bend of an inside radius, in millimetres; stop is where the leaf stops, as a
// bend angle with its springback. It is what the shop's rule gives, or what the
// metal needs if that is more, see Bar.LeastNoseSetback. The front of a round bar
// stands at just what the metal needs, for only there is the metal bent round
// it; up to about a right angle that may be below zero, in front of the hinge.
func (b *Brake) NoseSetbackFor(bar Bar, radius, thickness unit.MM, stop unit.Deg) unit.MM {
	least := bar.LeastNoseSetback(thickness, stop)
	if bar.Kind == Round {
		return least
	}
	return max(b.NoseSetback.ByRule(radius, thickness), least)
}

// ByRule is the nose setback by the shop's rule, in millimetres, whatever the
// angle: it grows with the radius, and is never less than the thickness of the
// sheet and the rule's allowance.
func (n NoseSetback) ByRule(radius, thickness unit.MM) unit.MM {
	add := unit.MM(n.Add)
	byRadius := thickness*unit.MM(n.TimesT) + add + unit.MM(n.TimesRMinusT)*max(radius-thickness, 0)
	return max(byRadius, thickness+add)
}

// farthestStop is beyond what any leaf turns to; from there on the formula of
// LeastNoseSetback runs off to infinity.
const farthestStop unit.Deg = 179

// LeastNoseSetback is how far the nose must stand behind the hinge line, in
// millimetres, for the sheet to fit between it and the leaf at the stop, a bend
// angle.
//
// The leaf's plane holds the hinge, at y = 0 and z = 0, and turns about it. At
// the angle A the direction square to it, to the metal's side, is (sin A, cos A),
// so that a point (y, z) lies y sin A + z cos A from it. The bar stands on the
// sheet, z = t, and that distance must be:
//
//   - t at a sharp nose (s, t): s >= t (1 - cos A) / sin A = t tan(A/2);
//   - rho + t at the axis (s + rho, t + rho) of a nose rounded by rho, or of a
//     round bar: s >= (rho + t) tan(A/2) - rho;
//   - t at the upper edge (s, t + h) of a front that stands square to the sheet
//     for h, which past a right angle is the nearer one: s >= t tan(A/2) - h / tan A.
//
// On the way to the stop there is more room: as a function of A each distance is
// a sine that begins with at least t, or rho + t, and has no dip between two
// angles.
func (b Bar) LeastNoseSetback(thickness unit.MM, stop unit.Deg) unit.MM {
	angle := min(stop, farthestStop).Rad()
	half, rho := unit.MM(math.Tan(angle/2)), b.rounding()
	least := (rho+thickness)*half - rho
	if angle <= math.Pi/2 || b.Kind == Round {
		return least
	}
	return max(least, thickness*half-b.front()/unit.MM(math.Tan(angle)))
}

// rounding is the radius that the metal is bent round.
func (b Bar) rounding() unit.MM {
	if b.Kind == Round {
		return b.OutsideRadius
	}
	return b.NoseRadius
}

// front is how high above the sheet the section stands right at the nose.
func (b Bar) front() unit.MM {
	high := 0.0
	for _, p := range b.Section {
		if p.X < geom.Near {
			high = max(high, p.Y)
		}
	}
	return unit.MM(high)
}

// Gauged is the line of a bar that is laid on the line of the blank.
type Gauged struct {
	Behind unit.MM // the front of the bar
	Words  string  // what it is, as it is said to the operator
}

// Gauged tells which line of the bar is laid on the line of the blank. It is the
// nose edge, but the front of a round bar hangs in the air, as high as its
// radius: there it is the line on which the bar touches the flat sheet, under
// its axis, which is found by marks on the bar's ends.
func (b Bar) Gauged() Gauged {
	if b.Kind == Round {
		return Gauged{b.OutsideRadius, "the contact line under the bar's axis"}
	}
	return Gauged{0, "the nose"}
}

// MostOverRound is the largest bend angle that is made over a round bar. Beyond,
// its front stands farther behind the hinge line than the sheet is thick, and
// the sheet lies there with nothing over it to be bent round (common practice,
// no source).
const MostOverRound unit.Deg = 90
