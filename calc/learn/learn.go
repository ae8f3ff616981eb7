// Package learn tells where to stop the leaf, from how far the metal sprang
// back before: it begins with what practice knows and moves towards what this
// shop measures, each reading weighing what it is worth.
//
// Angles are bend angles in degrees (0 is flat). The springback of a reading is
// the stop less the measured angle, before any rework, and is taken to be
//
//	s = zero(brake) + A/90 (usual + material + cell + pack) + reading error
//
// where A is the target, usual the springback of practice at 90 degrees (see
// bend.Springback), and the others are what is unknown: how far the stop's scale
// of the brake is off, which all materials share and which drifts; how far the
// material differs from the usual; how far it differs in this thickness, at
// this radius, under this bar (the cell); and how far this pack differs. Each
// unknown begins at 0 with a standard deviation of practice, see Settings.
//
// All unknowns together are one normal distribution, kept as means and
// covariances, and a reading changes it by the rule of Bayes, which for a sum is
// the Kalman filter: with h the weights of the unknowns in the reading, v the
// variance of a reading error, and P the covariances,
//
//	gain = P h / (h'P h + v),  mean += gain (s - expected),  P -= gain h'P
//
// A misread is weighed down as by Student's distribution, see Settings.Tails;
// the zero of a brake is believed a little less with every reading on it, see
// Settings.Drift. The package knows no clock and no file: readings come in the
// order they were made.
//
// Sources: West and Harrison, Bayesian Forecasting and Dynamic Models, 2nd ed.
// (drifting levels, from memory); Lange, Little and Taylor, JASA 84, 1989 (Student
// weights, from memory). The figures of practice have no source.
package learn

import (
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/unit"
)

// Bend is what is about to be bent or was.
type Bend struct {
	bend.Making        // sheet, target angle, radius and bar
	Brake       string // its name
	Pack        string // of the sheet; without a name nothing is learned of the pack
}

// usual90 is what practice knows of the springback of the bend, at 90 degrees.
func (b Bend) usual90() bend.Expected {
	square := b.Bend
	square.Angle = 90
	if b.Tool.Former > 0 {
		square.Radius = b.Tool.Former
	}
	return bend.Springback(b.Sheet, square)
}

// Reading is one bend as it was made and measured, before any rework.
type Reading struct {
	Bend
	Stop     unit.Deg // the bend angle the leaf was really stopped at
	Measured unit.Deg // bend angle
	Leg      unit.MM  // measured on; 0 when it was not said
}

// Springback is how far the metal came back.
func (r Reading) Springback() unit.Deg { return r.Stop - r.Measured }

// Settings are the figures the learning goes by: standard deviations in degrees
// and three habits.
type Settings struct {
	Zero     unit.Deg // how far the zero of a brake's scale is off
	Material unit.Deg // how far a material is from the usual, at 90 degrees; more where the trade knows less
	Cell     unit.Deg // how far a thickness, radius and bar differ from their material
	Pack     unit.Deg // how far a pack differs
	Reading  unit.Deg // of a reading error, the metal's own scatter with it
	ShortLeg unit.Deg // of a reading error on a leg under LeastLeg

	// Drift is how far the zero of a brake wanders from one reading on it to the
	// next: so much of what is known of it is discounted.
	Drift unit.Deg
	// Tails says how common misreads are: the degrees of freedom of a Student
	// distribution of reading errors. A reading off by u standard deviations
	// counts (Tails + 1) / (Tails + u^2), at most 1.
	Tails float64
	Alarm Alarm
}

// Alarm is when a brake is said to have moved: the cumulative sums of readings'
// surprises, in standard deviations and each at most Most, pass Decision, see
// spc.Cusum. With 0.5 and 6 a steady brake of normal readings alarms falsely once in
// about 1,280 readings, one whose packs change and that is misread now and then in 340.
type Alarm struct{ Slack, Decision, Most float64 }

// LeastLeg is the shortest leg for a fair reading. Common practice, no source.
const LeastLeg unit.MM = 15

// Usual are the settings a shop begins with. Common practice, no source.
var Usual = Settings{
	Zero: 0.8, Material: 1, Cell: 0.7, Pack: 0.7, Reading: 0.5, ShortLeg: 0.8,
	Drift: 0.02, Tails: 4, Alarm: Alarm{Slack: 0.5, Decision: 6, Most: 2.5},
}

// noise is the variance of the error of a reading on such a leg.
func (s Settings) noise(leg unit.MM) float64 {
	if leg > 0 && leg < LeastLeg {
		return float64(s.ShortLeg * s.ShortLeg)
	}
	return float64(s.Reading * s.Reading)
}

// weight is what a reading off by u standard deviations counts.
func (s Settings) weight(u float64) float64 {
	return min(1, (s.Tails+1)/(s.Tails+u*u))
}

// share is the part of a springback at 90 degrees that is seen at an angle.
func share(angle unit.Deg) float64 { return float64(angle / 90) }

func clip(v, most float64) float64 { return math.Max(-most, math.Min(most, v)) }
