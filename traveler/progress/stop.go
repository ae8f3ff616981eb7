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

// told is the stop to set for a step before it is bent: the proposal where it is
// worth moving the stop for, else the printed one with n of 0.
func (t tally) told(sheet *traveler.Traveler, step *traveler.Step) proposal {
	p := t.propose(&sheet.Brake, step)
	if p.n == 0 || abs(p.stop-step.StopBend) <= worthMoving {
		return proposal{stop: step.StopBend}
	}
	return p
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
