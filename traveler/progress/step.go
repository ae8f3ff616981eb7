package progress

import (
	"brakeside/calc/unit"
	"brakeside/traveler"
)

// StepOf finds a step of a traveler by its number.
func StepOf(t *traveler.Traveler, number int) (traveler.Step, bool) {
	if step := stepOf(t, number); step != nil {
		return *step, true
	}
	return traveler.Step{}, false
}

// stepOf is StepOf without copying; nil when there is none.
func stepOf(t *traveler.Traveler, number int) *traveler.Step {
	if at := placeOf(t, number); at >= 0 {
		return &t.Steps[at]
	}
	return nil
}

// placeOf is where a step stands in the list of steps; -1 when there is none.
func placeOf(t *traveler.Traveler, number int) int {
	for i := range t.Steps {
		if t.Steps[i].Number == number {
			return i
		}
	}
	return -1
}

func stepNumbers(t *traveler.Traveler) []int {
	numbers := make([]int, len(t.Steps))
	for i := range t.Steps {
		numbers[i] = t.Steps[i].Number
	}
	return numbers
}

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
