package progress

import (
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// flags are what was ticked at the brake, and after that what was out of turn
// when the reading came in. A correction of the same bend is as much out of turn
// as what it corrects was; one that moves a reading to another bend is judged
// anew.
func (t tally) flags(job Job, r, corrected *Reading) []string {
	flags := slices.DeleteFunc(slices.Clone(r.Flags), func(flag string) bool { return slices.Contains(judged, flag) })
	if r.Withdrawn() {
		return flags
	}
	note := func(flag string, so bool) {
		if so {
			flags = append(flags, flag)
		}
	}
	s := job.Standing
	note(FlagSheetReplaced, s.SupersededBy != "" && !s.FinishAllowed)
	note(FlagSheetClosed, s.Closed || s.Voided)
	note(FlagRunHeld, s.Hold != standing.Hold{})
	if corrected != nil && sameBend(r, corrected) {
		for _, flag := range []string{FlagBeforeFirstPiece, FlagOutOfOrder, FlagTwice} {
			note(flag, slices.Contains(corrected.Flags, flag))
		}
		return flags
	}
	gated := t.gated(job, r.Piece)
	note(FlagBeforeFirstPiece, gated)
	note(FlagOutOfOrder, !gated && t.outOfOrder(job, r))
	note(FlagTwice, t.twice(r))
	return flags
}

// sameBend reports whether two readings are of the same metal in the same state.
func sameBend(a, b *Reading) bool {
	return a.Piece == b.Piece && a.Step == b.Step && a.State == b.State && !apart(a.Place, b.Place)
}

func apart(a, b string) bool { return a != "" && b != "" && a != b }

// outOfOrder reports whether another bend was next, or the piece is not wanted:
// scrapped, left out, or past a quantity that was lowered. What became of a bend
// that is in is in order, and so is the same bend measured at another place along
// it, a piece that is given up, and a piece that need not be measured: who
// measures more than is asked may.
func (t tally) outOfOrder(job Job, r *Reading) bool {
	spot := Spot{Piece: r.Piece, Step: r.Step}
	switch {
	case r.State == StateScrapped:
		return false
	case t.lost(job, r.Piece) || r.Piece > job.pieces():
		return true
	case t.in(spot) || !slices.Contains(t.sample(job), r.Piece):
		return false
	}
	next, more := t.next(job)
	return more && next != spot
}

// twice reports whether the same bend was measured as bent at the same place
// before.
func (t tally) twice(r *Reading) bool {
	return r.State == StateAsBent && t.in(Spot{Piece: r.Piece, Step: r.Step}) &&
		slices.ContainsFunc(t.readings, func(old *Reading) bool { return sameBend(r, old) })
}

// stopFor is the bend angle that a reading was bent at: where it says, else where
// it was judged before to have been, for a correction where what it corrects was
// bent, else as told at this moment.
func (t tally) stopFor(job Job, r, corrected *Reading, step *traveler.Step) unit.CentiDeg {
	switch {
	case r.Stop != nil:
		return StopBend(job.Traveler.Brake, *r.Stop)
	case r.StopBend != 0:
		return r.StopBend
	case corrected != nil && sameBend(r, corrected):
		return stopUsed(&job.Traveler.Brake, step, corrected)
	}
	return t.toldFor(job, r, step)
}
