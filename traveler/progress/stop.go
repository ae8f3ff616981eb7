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

// stopUsed is the bend angle the leaf was stopped at: as logged, else as it was
// told when the reading was judged, else as printed.
func stopUsed(b *traveler.Brake, step *traveler.Step, r *Reading) unit.CentiDeg {
	switch {
	case r.Stop != nil:
		return StopBend(*b, *r.Stop)
	case r.StopBend != 0:
		return r.StopBend
	}
	return step.StopBend
}

// StopUsed gives the bend angle the leaf was stopped at for a reading: the stop
// as logged, converted from the brake's own scale, else the one that was told at
// that moment, else the printed one. It is 0 when the traveler has no such step.
func StopUsed(t *traveler.Traveler, r Reading) unit.CentiDeg {
	step := stepOf(t, r.Step)
	if step == nil {
		return 0
	}
	return stopUsed(&t.Brake, step, &r)
}

// StopAdvice proposes another stop than the printed one before a bend is made,
// from what this job's own readings of the step tell so far. It is empty when
// they tell nothing, or that the printed stop is right.
func StopAdvice(job Job, number int) string {
	step := stepOf(job.Traveler, number)
	if step == nil {
		return ""
	}
	p := tallyOf(job).told(job.Traveler, step)
	if p.n == 0 {
		return ""
	}
	return "Instead of the printed stop, " + p.words(job.Traveler.Brake)
}

// Told is the bend angle to stop the leaf at for a step before it is bent on a
// further piece: the printed one, or what the readings of this job advise.
func Told(job Job, number int) unit.CentiDeg {
	step := stepOf(job.Traveler, number)
	if step == nil {
		return 0
	}
	return tallyOf(job).told(job.Traveler, step).stop
}

// told is the stop to set for a step before it is bent: the proposal where it is
// worth moving the stop for, else the printed one with n of 0.
func (t tally) told(sheet *traveler.Traveler, step *traveler.Step) proposal {
	p := t.propose(&sheet.Brake, step)
	if p.n == 0 || abs(p.stop-step.StopBend) <= worthMoving {
		return proposal{stop: step.StopBend}
	}
	return p
}

// toldFor is the bend angle that the service would tell for a reading at the
// moment before it: the leaf is taken to have stopped there when the reading does
// not say where.
func (t tally) toldFor(job Job, r *Reading, step *traveler.Step) unit.CentiDeg {
	if r.State == StateReworked {
		spot := Spot{Piece: r.Piece, Step: r.Step}
		if m := t.at(spot); m != (made{}) && !m.accepted() {
			return StopBend(job.Traveler.Brake, t.rework(job, Due{Spot: spot}, step).Stop)
		}
	}
	return t.told(job.Traveler, step).stop
}

// adviseStop proposes to move the stop for the pieces that still wait for the
// step.
func (t tally) adviseStop(job Job, step *traveler.Step) string {
	p := t.propose(&job.Traveler.Brake, step)
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
func (t tally) propose(b *traveler.Brake, step *traveler.Step) proposal {
	l := t.lessons[placeOf(t.sheet, step.Number)]
	if l.n == 0 {
		return proposal{}
	}
	used := stopUsed(b, step, l.last)
	mean := unit.CentiDeg(math.Round(float64(l.sprung) / float64(l.n)))
	move := max(-mostMove, min(mostMove, step.Target+mean-used))
	if b.MaxAngle > 0 {
		move = min(move, b.MaxAngle-used)
	}
	if abs(move) <= worthMoving || (l.n < readingsAsked && within(l.last.Error, step.Tolerance)) {
		move = 0
	}
	return proposal{used, used + move, l.n}
}

// why says where the stop comes from.
func (p proposal) why() string {
	switch p.n {
	case 0:
		return "as printed"
	case 1:
		return "1 reading of this job"
	}
	return fmt.Sprintf("the mean of %d readings of this job", p.n)
}

func (p proposal) words(b traveler.Brake) string {
	return fmt.Sprintf("set the stop at %s (%s).", StopOnScale(b, p.stop).Text(1), p.why())
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
