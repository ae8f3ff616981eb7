package progress

import (
	"fmt"
	"math"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// The figures behind a proposal: common practice, no source.
const (
	worthMoving   unit.CentiDeg = 30  // a smaller change of the stop is noise
	mostMove      unit.CentiDeg = 200 // the stop is never moved by more at once
	readingsAsked               = 3   // readings before a good bend moves the stop
)

// StopBend turns a stop in the brake's own scale into a bend angle, taking the
// zero of the scale into account.
//
//	StopBend(b, StopOnScale(b, a)) == a
func StopBend(b traveler.Brake, stop unit.CentiDeg) unit.CentiDeg {
	if b.Reads == GivenOpening {
		return unit.Deg(180).CentiDeg() - (stop - b.Zero)
	}
	return stop - b.Zero
}

// StopOnScale turns a bend angle into the stop as painted on the brake.
func StopOnScale(b traveler.Brake, bend unit.CentiDeg) unit.CentiDeg {
	if b.Reads == GivenOpening {
		return unit.Deg(180).CentiDeg() - bend + b.Zero
	}
	return bend + b.Zero
}

// stopUsed is the bend angle the leaf was stopped at: as logged, else as
// printed.
func stopUsed(b *traveler.Brake, step *traveler.Step, r *Reading) unit.CentiDeg {
	if r.Stop != nil {
		return StopBend(*b, *r.Stop)
	}
	return step.StopBend
}

// StopUsed gives the bend angle the leaf was stopped at for a reading: the stop
// as logged, converted from the brake's own scale, else the printed one. It is
// 0 when the traveler has no such step.
func StopUsed(t *traveler.Traveler, r Reading) unit.CentiDeg {
	step, _ := StepOf(t, r.Step)
	return stopUsed(&t.Brake, &step, &r)
}

// StopAdvice proposes another stop than the printed one before a bend is made,
// from what this job's own readings of the step tell so far. It is empty when
// they tell nothing, or that the printed stop is right.
func StopAdvice(job Job, number int) string {
	step, found := StepOf(job.Traveler, number)
	if !found {
		return ""
	}
	p := propose(job.Traveler.Brake, step, standing(job.Readings))
	if p.n == 0 || abs(p.stop-step.StopBend) <= worthMoving {
		return ""
	}
	return "Instead of the printed stop, " + p.words(job.Traveler.Brake)
}

// adviseStop proposes to move the stop for the pieces that still wait for the
// step.
func (t tally) adviseStop(job Job, step traveler.Step) string {
	p := propose(job.Traveler.Brake, step, t.readings)
	if p.stop == p.used || !t.waitsFor(job, step) {
		return ""
	}
	return "Next piece: " + p.words(job.Traveler.Brake)
}

// proposal is a stop drawn from n readings, as bend angles.
type proposal struct {
	used unit.CentiDeg // the stop of the last of the readings
	stop unit.CentiDeg // the stop to set; equal to used when it is right
	n    int
}

// propose works out a stop from the readings of a step that teach: the target
// plus the mean of what the metal sprang back, each reading with the stop it
// was bent at. Good bends move the stop only when there are several; a bad one
// moves it at once.
func propose(b traveler.Brake, step traveler.Step, readings []*Reading) proposal {
	readings = teachingOf(step.Number, readings)
	n := len(readings)
	if n == 0 {
		return proposal{}
	}
	last := readings[n-1]
	used := stopUsed(&b, &step, last)
	move := max(-mostMove, min(mostMove, step.Target+meanSpringback(&b, &step, readings)-used))
	if b.MaxAngle > 0 {
		move = min(move, b.MaxAngle-used)
	}
	if abs(move) <= worthMoving || (n < readingsAsked && within(last.Error, step.Tolerance)) {
		move = 0
	}
	return proposal{used, used + move, n}
}

// teachingOf picks the readings of one step that teach.
func teachingOf(step int, readings []*Reading) []*Reading {
	picked := make([]*Reading, 0, len(readings))
	for _, r := range readings {
		if r.Step == step && r.Teaches() {
			picked = append(picked, r)
		}
	}
	return picked
}

func (p proposal) words(b traveler.Brake) string {
	source := "1 reading"
	if p.n > 1 {
		source = fmt.Sprintf("the mean of %d readings", p.n)
	}
	return fmt.Sprintf("set the stop at %s (%s of this job).", StopOnScale(b, p.stop).Text(1), source)
}

func meanSpringback(b *traveler.Brake, step *traveler.Step, readings []*Reading) unit.CentiDeg {
	var sum unit.CentiDeg
	for _, r := range readings {
		sum += stopUsed(b, step, r) - r.Bend()
	}
	return unit.CentiDeg(math.Round(float64(sum) / float64(len(readings))))
}

// waitsFor reports whether a piece still waits for this step.
func (t tally) waitsFor(job Job, step traveler.Step) bool {
	for _, piece := range t.sample(job) {
		if !t.in(Spot{piece, step.Number}) {
			return true
		}
	}
	return false
}
