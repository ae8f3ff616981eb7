package progress

import (
	"fmt"
	"math"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// worthMoving: a stop that would move by no more stays where it is. Common
// practice, no source.
const worthMoving unit.CentiDeg = 30

// advised is a stop to set, as bend angle.
type advised struct {
	used  unit.CentiDeg // the last that taught, else the printed one
	stop  unit.CentiDeg // equal to used where it is right
	why   string        // where it comes from
	known bool          // the log says so
}

// told is the stop to set for a step before it is bent: in tenths of the brake's
// scale, as far as the leaf goes. It stays where it was last set when it would
// move by no more than worthMoving.
func (t tally) told(step *traveler.Step) advised {
	printed := advised{step.StopBend, step.StopBend, "as printed", false}
	if t.stops == nil {
		return printed
	}
	wanted, why, known := t.stops.Stop(step, t.readings)
	if !known {
		return printed
	}
	a := advised{used: step.StopBend, why: why, known: true}
	if last := t.taught[placeOf(t.sheet, step.Number)]; last != nil {
		a.used = stopUsed(&t.sheet.Brake, step, last)
	}
	if a.stop = tenths(t.sheet.Brake, wanted.CentiDeg()); abs(a.stop-a.used) <= worthMoving {
		a.stop = a.used
	}
	if a.stop == step.StopBend {
		a.why = printed.why
	}
	return a
}

// tenths is the nearest bend angle that is a tenth on the brake's scale and not
// past its leaf.
func tenths(b traveler.Brake, bend unit.CentiDeg) unit.CentiDeg {
	if b.MaxAngle > 0 && bend >= b.MaxAngle {
		return b.MaxAngle
	}
	const tenth = 10
	return StopBend(b, unit.CentiDeg(math.Round(float64(StopOnScale(b, bend))/tenth))*tenth)
}

// adviseStop proposes to move the stop for the pieces that still wait for the
// step.
func (t tally) adviseStop(job Job, step *traveler.Step) string {
	a := t.told(step)
	if a.stop == a.used || !t.waitsFor(job, step) {
		return ""
	}
	return fmt.Sprintf("Next piece: set the stop at %s (%s).", StopOnScale(job.Traveler.Brake, a.stop).Text(1), a.why)
}

// waitsFor reports whether a piece still waits for this step.
func (t tally) waitsFor(job Job, step *traveler.Step) bool {
	for _, piece := range t.sample(job) {
		if !t.in(Spot{Piece: piece, Step: step.Number}) {
			return true
		}
	}
	return false
}
