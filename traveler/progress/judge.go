package progress

import (
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/standing"
)

// Verdict is what one reading means.
type Verdict struct {
	Reading      Reading       // as judged, with its Error, its StopBend and what is flagged
	Error        unit.CentiDeg // measured minus target as bend angles: + is over-bent
	InTolerance  bool
	Advice       string         // a few short sentences for the person at the brake
	Again        *Due           // the rework this bend needs, also where it is not next; nil when none
	Next         *Due           // nil when all bends are in
	Halt         *standing.Halt // why the next bend may not be made; nil when it may
	SupersededBy string         // the newer traveler; empty if none
}

// MarshalJSON writes the verdict as the answer to the phone.
func (v Verdict) MarshalJSON() ([]byte, error) {
	o := object{text: make([]byte, 0, 896)} // as long as most of them
	o.field("reading")
	o.text = v.Reading.appendJSON(o.text)
	decimal(&o, "error", &v.Error, 2)
	o.yes("in_tolerance", v.InTolerance)
	o.words("advice", v.Advice)
	if v.Again != nil {
		o.field("again")
		o.text = v.Again.appendJSON(o.text)
	}
	o.field("next")
	o.text = v.Next.appendJSON(o.text)
	if v.Halt != nil {
		halt, err := compact(v.Halt)
		if err != nil {
			return nil, err
		}
		o.field("halt")
		o.text = append(o.text, halt...)
	}
	if v.SupersededBy != "" {
		o.words("superseded_by", v.SupersededBy)
	}
	return o.end(), nil
}

// Judge holds a reading that is not yet among the job's readings against the
// job, and says what it means and what to do. A fact is taken whatever the
// standing of the traveler or of its first piece; what was out of turn is flagged
// in the reading that comes back. One that corrects a reading which was corrected
// since corrects the newest in its place.
//
// It refuses with fault.Invalid a step or a piece that the traveler never had, a
// stop that cannot be, a correction of nothing, and a scrapped piece without a
// note; with fault.Conflict taking back what cannot be taken back any more. With
// fault.Unsure it asks, in a Message that is a question, about what may be a slip
// of the thumb: an error of FarOff or more. A confirmed reading is not asked
// about.
func Judge(job Job, r Reading) (Verdict, error) {
	step, err := place(job, &r)
	if err != nil {
		return Verdict{}, err
	}
	corrected, err := correctedBy(job, &r)
	if err != nil {
		return Verdict{}, err
	}
	r.Error = r.Bend() - step.Target
	if r.Withdrawn() {
		err = withdraw(r, corrected)
	} else {
		err = ask(step, &r)
	}
	if err != nil {
		return Verdict{}, err
	}
	t := tallyWithout(job, r.Corrects)
	t.pieces = t.sample(job)
	r.StopBend = t.stopFor(job, &r, corrected, step)
	r.Flags = t.flags(job, &r, corrected)
	t = t.with(&r)
	return Verdict{
		Reading: r, Error: r.Error, InTolerance: within(r.Error, step.Tolerance), Advice: t.advise(job, r),
		Again: t.again(job, &r), Next: t.nextDue(job), Halt: job.Standing.Halt(), SupersededBy: job.SupersededBy,
	}, nil
}

// again is the rework that a bend needs after a reading; nil when none.
func (t tally) again(job Job, r *Reading) *Due {
	if r.Withdrawn() || r.State == StateScrapped {
		return nil
	}
	if due := t.dueAt(job, Spot{Piece: r.Piece, Step: r.Step}); due.Do != DoBend {
		return &due
	}
	return nil
}

// place finds the step and makes sure that piece, step, stop and state can be
// meant.
func place(job Job, r *Reading) (*traveler.Step, error) {
	step := stepOf(job.Traveler, r.Step)
	if step == nil {
		return nil, fault.New(fault.Invalid, "step", "There is no step %d on this traveler; it has steps 1 to %d.",
			r.Step, len(job.Traveler.Steps))
	}
	if r.Piece < 1 || r.Piece > job.everPieces() {
		return nil, fault.New(fault.Invalid, "piece", "There is no piece %d: %d are to be made. The owner can raise the quantity.",
			r.Piece, job.pieces())
	}
	if r.Stop != nil {
		if stop := StopBend(job.Traveler.Brake, *r.Stop); stop < anyAngle.least || stop > anyAngle.most {
			return nil, fault.New(fault.Invalid, "stop", "A stop at %s cannot be: this brake's scale shows the %s.",
				r.Stop.Text(1), job.Traveler.Brake.Reads)
		}
	}
	if r.State == StateScrapped && strings.TrimSpace(r.Note) == "" {
		return nil, fault.New(fault.Invalid, "note", "Say in a few words why the piece is scrapped.")
	}
	return step, nil
}

// correctedBy finds the reading that r replaces; nil when it replaces none. Where
// another has replaced that one already, r replaces the newest: two people who
// correct the same reading are both kept, and the later word stands. Only what is
// taken back must be the very reading.
func correctedBy(job Job, r *Reading) (*Reading, error) {
	if r.Corrects == "" {
		return nil, nil
	}
	var found *Reading
	for i := range job.Readings { // a correction always comes after what it corrects
		switch old := &job.Readings[i]; {
		case old.ID == r.Corrects:
			found = old
		case found != nil && old.Corrects == found.ID:
			found = old
		}
	}
	switch {
	case found == nil:
		return nil, fault.New(fault.Invalid, "corrects", "There is no reading %s on this traveler.", r.Corrects)
	case found.ID != r.Corrects && r.Withdrawn():
		return nil, fault.New(fault.Conflict, "corrects", "Reading %s was corrected already; correct %s instead.", r.Corrects, found.ID)
	}
	r.Corrects = found.ID
	return found, nil
}

// withdraw lets a reading be taken back only as it stands and only for a short
// while: what is older others have built on, and it is corrected by measuring
// again.
func withdraw(r Reading, corrected *Reading) error {
	switch {
	case corrected == nil:
		return fault.New(fault.Invalid, "corrects", "Only a reading that is in can be taken back: say which one.")
	case corrected.Withdrawn():
		return fault.New(fault.Conflict, "corrects", "This reading was taken back already.")
	case r.Piece != corrected.Piece || r.Step != corrected.Step || r.Bend() != corrected.Bend():
		return fault.New(fault.Invalid, "corrects", "A reading is taken back as it stands: piece %d, step %d, %s.",
			corrected.Piece, corrected.Step, corrected.Measured.Text(1))
	case !CanWithdraw(*corrected, r.Received) && !soonBy(corrected.At, r.At):
		return fault.New(fault.Conflict, "corrects", "A reading can be taken back for %d minutes. This one is older: correct it instead.",
			int(WithdrawWithin.Minutes()))
	}
	return nil
}

// soonBy reports whether a reading was taken back in time by the clock of the phone,
// which says when each of the two was given. What was taken back without a network
// comes in later, and the clock of the service may have been set right between.
func soonBy(measured, takenBack string) bool {
	from, err := time.Parse(time.RFC3339, measured)
	if err != nil {
		return false
	}
	to, err := time.Parse(time.RFC3339, takenBack)
	return err == nil && to.Sub(from).Abs() <= WithdrawWithin
}

// WithdrawWithin is how long a reading can be taken back. After that it is
// corrected.
const WithdrawWithin = 10 * time.Minute

// CanWithdraw reports whether a reading can still be taken back at a moment,
// which is written as Received is. Without both times it cannot.
func CanWithdraw(r Reading, now string) bool {
	stored, err := time.Parse(time.RFC3339, r.Received)
	if err != nil || r.Withdrawn() {
		return false
	}
	asked, err := time.Parse(time.RFC3339, now)
	return err == nil && asked.Sub(stored) <= WithdrawWithin
}

// ask asks about an angle far from the target, and names the usual
// cause when it fits: the opening read for the bend angle, or the other way
// about.
func ask(step *traveler.Step, r *Reading) error {
	if r.Confirmed || abs(r.Error) < FarOff || r.State == StateScrapped {
		return nil
	}
	measured, other := r.Measured.Text(1), (unit.Deg(180).CentiDeg() - r.Measured).Text(1)
	swapped := unit.Deg(180).CentiDeg() - r.Bend()
	switch {
	case abs(swapped-step.Target) >= FarOff:
		return fault.New(fault.Unsure, "measured", "%s is %s off the target of %s. Is it right?",
			measured, abs(r.Error).Text(1), step.Target.Text(1))
	case r.GivenAs == GivenOpening:
		return fault.New(fault.Unsure, "measured", "%s as an opening is a bend of %s, but %s as a bend would fit. "+
			"Give it as a bend, or is the opening really %s?",
			measured, other, measured, measured)
	default:
		return fault.New(fault.Unsure, "measured", "%s is the opening of a %s bend. Give it as an opening to log %s, or is the bend really %s?",
			measured, other, other, measured)
	}
}
