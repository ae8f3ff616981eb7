// Package learn tells where to stop the leaf, from how far the metal sprang
// back before: it begins with what practice knows and moves towards what this
// shop measures, each reading weighing what it is worth.
//
// Angles are bend angles in degrees (0 is flat). The springback of a reading is
// the stop less the measured angle, before any rework, and is taken to be
//
//	s = zero + A/90 (usual + material + grain + cell + band + pack) - person - tool + error
//
// where A is the target and usual the springback of practice at 90 degrees (see
// bend.Springback). The others are what is unknown: how far the zero of this
// brake's scale is off, which drifts; how far the material differs from the
// usual; how far along the grain differs from across; how far this thickness and
// radius under this bar of this brake differ (the cell); how far the cell at
// flat, square or sharp angles differs from proportion (the band); how far this
// pack differs; and how much too high this person reads, and this tool. A
// reading error holds the metal's own scatter, the measuring, and the rounding
// to the step that the digits show (see spc.Digits). A stop is set for the true
// angle: for it person and tool are left out. Each unknown begins at 0 with a
// standard deviation of practice, see Settings.
//
// All unknowns together are one normal distribution, kept as means and
// covariances, and a reading changes it by the rule of Bayes, which for a sum is
// the Kalman filter: with h the weights of the unknowns in the reading, v the
// variance of a reading error, and P the covariances,
//
//	gain = P h / (h'P h + v),  mean += gain (s - expected),  P -= gain h'P
//
// after the variance of the brake's zero has grown by Drift^2.
//
// No single reading is believed far. It is weighed down as by Student's
// distribution (Settings.Tails); one that is more than Doubt standard deviations
// off is held back until another of the same pack says the same; and v is made
// large enough that no stop up to MostAngle moves by more than MostFromOne.
// Person and tool are spread with tails of their own (Settings.Apart): most are
// right and a few far off, so that one who reads 0.7 too high among others who
// do not is not shared out among all.
//
// Beside the model stand its rivals, each another account of the same readings:
// that the scale of a brake has moved, up or down, and that somebody logs the
// opening in place of the bend angle. The covariances of a rival are those of
// the model, for they do not depend on what is read; its means differ by d, which
// begins as the rival says and follows
//
//	d += gain (e - h'd)
//
// with e what the rival makes of this reading otherwise than the model does: 0
// for a scale, 2 (measured - 90) for an opening, which is 180 less the bend. The
// odds of a rival add up log f(s - expected + e - h'd) - log f(s - expected), f
// being the density of a surprise with a share of misreads in it. A sum that
// falls below its floor begins again there (Page's cumulative sum), and so does
// the rival of a scale whose d the readings have worn off; one that passes
// Settings.Rival speaks. A scale then has moved by the size that fits
// best, and what readings since have wrongly taught of other unknowns is put
// right with it: means += size d, P += variance of size d d'. For an opening the
// person is asked, and that person's readings with that tool since the suspicion
// began teach nothing until there is an answer.
//
// The package knows no clock and no file: readings come in the order they were
// made, and equal readings in an equal order give equal advice.
//
// Sources: West and Harrison, Bayesian Forecasting and Dynamic Models, 2nd ed.
// (drifting levels, from memory); Lange, Little and Taylor, JASA 84, 1989 (Student
// weights, from memory); Willsky and Jones, IEEE Transactions on Automatic
// Control 21, 1976 (what a jump leaves in a filter, from memory); Page, Biometrika 41,
// 1954. The figures of practice have no source.
package learn

import (
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Bend is what is about to be bent or was.
type Bend struct {
	bend.Making           // sheet, target angle, radius and bar
	Brake       string    // its name
	Pack        string    // of the sheet; without a name nothing is learned of the pack
	Run         stock.Run // of the bend line; unknown counts as across
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

// Reader is who read an angle, and with which protractor. Either may be empty.
type Reader struct{ Person, Tool string }

// Reading is one bend as it was made and measured, before any rework.
type Reading struct {
	Bend
	Reader
	Stop     unit.Deg // the bend angle the leaf was really stopped at
	Measured unit.Deg // bend angle
	Opening  bool     // it was given as the opening, and turned into the bend angle: there is no doubt which it is
	Leg      unit.MM  // measured on; 0 when it was not said
	Printed  unit.Deg // springback that its sheet was printed with; only Replay looks at it
}

// Springback is how far the metal came back.
func (r Reading) Springback() unit.Deg { return r.Stop - r.Measured }

// short reports whether it was measured on a leg too short for a fair reading.
func (r Reading) short() bool { return r.Leg > 0 && r.Leg < LeastLeg }

// Settings are the figures the learning goes by: standard deviations in degrees
// and some habits.
type Settings struct {
	Zero     unit.Deg // how far the zero of a brake's scale is off
	Material unit.Deg // how far a material is from the usual, at 90 degrees; more where the trade knows less
	Grain    unit.Deg // how far along the grain is from across
	Cell     unit.Deg // how far a thickness, radius and bar differ from their material
	Band     unit.Deg // how far flat, square or sharp angles of a cell are from proportion
	Pack     unit.Deg // how far a pack differs
	Person   unit.Deg // how much too high somebody reads
	Tool     unit.Deg // how much too high a protractor shows
	Apart    float64  // degrees of freedom of both: the fewer, the more are right and the farther off the few

	Metal     unit.Deg // scatter of the metal from piece to piece
	Measuring unit.Deg // of laying the protractor on and reading it, without rounding
	ShortLeg  unit.Deg // the same on a leg under LeastLeg
	Strip     unit.Deg // of a trial strip, about what its cell does in any pack

	// Drift is how far the zero of a brake wanders from one reading on it to the
	// next: so much of what is known of it is discounted.
	Drift unit.Deg
	// Tails says how common misreads are: the degrees of freedom of a Student
	// distribution of reading errors. A reading off by u standard deviations
	// counts (Tails + 1) / (Tails + u^2), at most 1.
	Tails float64
	// Doubt is from how many standard deviations off a reading is held back until
	// another says the same.
	Doubt float64
	// MostFromOne is the most that one reading moves any stop up to MostAngle.
	MostFromOne unit.Deg
	// Misreads is the share of readings that may be anything.
	Misreads float64
	// Rival says when a rival account of the readings speaks.
	Rival Rival
}

// Rival is when another account is believed: when the log odds for it pass.
type Rival struct {
	Step    unit.Deg // the move of a scale that is looked for
	Moved   float64  // log odds from which on a scale is said to have moved
	Opening float64  // log odds from which on somebody is asked about the opening
	Unsaid  float64  // log odds for openings where somebody gives some readings as openings and others without a word
}

// FarOff is from where on a reading teaches nothing: that far off something else
// was read. It is watched for openings all the same. Common practice, no source.
const FarOff unit.Deg = 8

// MostAngle is how far a leaf goes. Common practice, no source.
const MostAngle unit.Deg = 135

// LeastLeg is the shortest leg for a fair reading. Common practice, no source.
const LeastLeg unit.MM = 15

// Usual are the settings a shop begins with. Common practice, no source.
var Usual = Settings{
	Zero: 0.8, Material: 1, Grain: 0.3, Cell: 0.7, Band: 0.2, Pack: 0.7, Person: 0.2, Tool: 0.2, Apart: 0.5,
	Metal: 0.3, Measuring: 0.4, ShortLeg: 0.75, Strip: 0.4,
	Drift: 0.02, Tails: 4, Doubt: 3, MostFromOne: 1.9, Misreads: 0.03, Rival: Rival{Step: 1, Moved: 7, Opening: 9, Unsaid: 3},
}

// measuring is the variance of measuring, without rounding.
func (s Settings) measuring(r Reading) float64 {
	if r.short() {
		return square(s.ShortLeg)
	}
	return square(s.Measuring)
}

// weight is what a reading off by u standard deviations counts.
func (s Settings) weight(u float64) float64 {
	return min(1, (s.Tails+1)/(s.Tails+u*u))
}

// anywhere is how many degrees a misread may lie in.
const anywhere = 2 * float64(FarOff)

// surprise is the logarithm of the density of a surprise with this variance,
// misreads in it.
func (s Settings) surprise(off, variance float64) float64 {
	fair := math.Exp(-off*off/(2*variance)) / math.Sqrt(2*math.Pi*variance)
	return math.Log((1-s.Misreads)*fair + s.Misreads/anywhere)
}

// share is the part of a springback at 90 degrees that is seen at an angle.
func share(angle unit.Deg) float64 { return float64(angle / 90) }

func square(d unit.Deg) float64 { return float64(d * d) }

func clip(v, most float64) float64 { return math.Max(-most, math.Min(most, v)) }
