package progress

import (
	"fmt"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// What there is to do about a bend.
const (
	DoBend      = "bend"         // it is not in yet
	DoBendAgain = "bend-again"   // it is under-bent
	DoOpen      = "open-by-hand" // it is over-bent by little
	DoDecide    = "decide"       // it is over-bent by much, or the leaf goes no further: scrap the piece or ask for the release
)

// openByHand is the most that is opened by hand. Common practice, no source.
const openByHand unit.CentiDeg = 300

// Due is what is to be done about one bend of one piece.
type Due struct {
	Spot
	Do    string
	Stop  unit.CentiDeg // to set now, on the brake's scale: the printed one, or another
	Why   string        // where that stop comes from
	Words string        // what to do, in a sentence
}

// Next gives the first bend that is still to be made, in the order of the run
// (see standing.Run), and false when all are in.
//
// A bend of the first piece that is out of tolerance is still to be made, by
// rework, until the run is released: no other piece is begun before. Further
// pieces are told to be reworked too (see Verdict.Again), but whoever goes on is
// not called back. Scrapped pieces and those left out are passed over, and so are
// those that are bent but not measured (see Sample). Bends logged out of order
// are not asked for again.
func Next(job Job) (Spot, bool) { return tallyOf(job).next(job) }

// NextDue is Next with what to do about it; nil when all bends are in.
func NextDue(job Job) *Due { return tallyOf(job).nextDue(job) }

// DueAt says what to do about any bend of the traveler. Of one that is in
// tolerance, or that the traveler does not have, it is to bend it as told.
func DueAt(job Job, spot Spot) Due { return tallyOf(job).dueAt(job, spot) }

// Halt says why a bend may not be made now and what the way on is; nil when it
// may. It is shown before the bend; a reading of it is taken all the same.
func (j Job) Halt(at Spot) *standing.Halt {
	if h := j.Standing.Halt(); h != nil {
		return h
	}
	return tallyOf(j).halt(j, at)
}

func (t tally) halt(job Job, at Spot) *standing.Halt {
	switch first := t.firstPiece(job); {
	case t.scrapped[at.Piece]:
		return &standing.Halt{Cause: standing.PieceIsLost, Heading: fmt.Sprintf("Piece %d is scrapped.", at.Piece),
			Words: "Nothing more is made of it.", Way: "Make it again under a new number, or go on with the next bend."}
	case job.LeftOut(at.Piece):
		return &standing.Halt{Cause: standing.PieceIsLost, Heading: fmt.Sprintf("Piece %d is left out.", at.Piece),
			Words: "It was decided not to make it.", Way: "Take it up again if it is to be made after all.", Ask: standing.TakenUp}
	case t.gated(job, at.Piece):
		return t.gateHalt(job, first)
	}
	return nil
}

func (t tally) gateHalt(job Job, first int) *standing.Halt {
	h := &standing.Halt{Cause: standing.FirstPiece, Heading: "First piece first.", Ask: standing.ReleaseAsked,
		Words: fmt.Sprintf("Piece %d is not accepted: every bend of it must be in and in tolerance before another piece is begun.", first),
		Way:   fmt.Sprintf("Finish piece %d, or ask for the release of the run.", first)}
	if due := t.nextDue(job); due != nil && due.Piece == first {
		h.Way = fmt.Sprintf("Piece %d, step %d: %s Or ask for the release of the run.", due.Piece, due.Step, due.Words)
	}
	if job.ReleaseAsked {
		h.Way += " The release was asked for."
	}
	return h
}

// Free finds another piece for the same step when two people have the same bend
// before them: the next one that is neither in, lost nor busy elsewhere and that
// may be made now.
func Free(job Job, here Spot, busy func(Spot) bool) (Spot, bool) {
	t := tallyOf(job)
	if job.Standing.Halt() != nil {
		return Spot{}, false
	}
	for _, piece := range t.sample(job) {
		spot := Spot{Piece: piece, Step: here.Step}
		if piece > here.Piece && !t.in(spot) && !busy(spot) && t.halt(job, spot) == nil {
			return spot, true
		}
	}
	return Spot{}, false
}

func (t tally) nextDue(job Job) *Due {
	spot, more := t.next(job)
	if !more {
		return nil
	}
	due := t.dueAt(job, spot)
	return &due
}

func (t tally) dueAt(job Job, spot Spot) Due {
	due := Due{Spot: spot, Do: DoBend}
	step := stepOf(job.Traveler, spot.Step)
	if step == nil {
		return due
	}
	if m := t.at(spot); m != (made{}) && !m.accepted() {
		return t.rework(job, due, step)
	}
	told := t.told(step)
	due.Stop, due.Why = StopOnScale(job.Traveler.Brake, told.stop), told.why
	due.Words = fmt.Sprintf("Bend with the stop at %s, then measure.", due.Stop.Text(1))
	return due
}

// rework says what to do about a bend that is out of tolerance somewhere, by the
// last of its readings that says so.
func (t tally) rework(job Job, due Due, step *traveler.Step) Due {
	brake := &job.Traveler.Brake
	last := t.lastOff(due.Spot, step)
	again, reach := bendAgain(brake, step, last)
	due.Do, due.Stop, due.Why = DoDecide, StopOnScale(*brake, stopUsed(brake, step, last)), offBy(last.Error)
	switch {
	case last.Error < 0 && reach:
		due.Do, due.Stop = DoBendAgain, StopOnScale(*brake, again)
		due.Words = fmt.Sprintf("Bend again at %s, then measure.", due.Stop.Text(1))
	case last.Error > 0 && last.Error <= openByHand:
		due.Do = DoOpen
		due.Words = "Open it by hand, a little at a time along the whole bend, then measure."
	default:
		due.Words = fmt.Sprintf("Scrap piece %d, or ask the owner.", due.Piece)
		if due.Piece == t.firstPiece(job) && !job.Override {
			due.Words = fmt.Sprintf("Scrap piece %d, or ask for the release of the run.", due.Piece)
		}
	}
	return due
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
	return t.told(step).stop
}

// lastOff is the last reading of a bend that is out of tolerance. There is one
// when the bend is in and not accepted.
func (t tally) lastOff(spot Spot, step *traveler.Step) *Reading {
	for i := len(t.readings) - 1; i >= 0; i-- {
		r := t.readings[i]
		if r.Piece == spot.Piece && r.Step == spot.Step && r.State != StateScrapped && !within(r.Bend()-step.Target, step.Tolerance) {
			off := *r
			off.Error = r.Bend() - step.Target
			return &off
		}
	}
	return nil
}

// bendAgain is the stop, as a bend angle, that takes an under-bent reading to its
// target, and whether the leaf goes further than it went.
func bendAgain(brake *traveler.Brake, step *traveler.Step, r *Reading) (stop unit.CentiDeg, reach bool) {
	used := stopUsed(brake, step, r)
	stop = used - r.Error
	if brake.MaxAngle > 0 {
		stop = min(stop, brake.MaxAngle)
	}
	return stop, stop > used
}

func offBy(e unit.CentiDeg) string {
	if e < 0 {
		return "under-bent by " + (-e).Text(1)
	}
	return "over-bent by " + e.Text(1)
}

// appendJSON writes what is due; nil as null.
func (d *Due) appendJSON(to []byte) []byte {
	if d == nil {
		return append(to, "null"...)
	}
	o := object{text: to}
	o.count("piece", int64(d.Piece))
	o.count("step", int64(d.Step))
	o.words("do", d.Do)
	decimal(&o, "stop", &d.Stop, 2)
	o.words("stop_why", d.Why)
	o.words("words", d.Words)
	return o.end()
}

// MarshalJSON writes what is due as the answer to the phone.
func (d Due) MarshalJSON() ([]byte, error) { return d.appendJSON(nil), nil }
