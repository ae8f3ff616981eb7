package progress

import (
	"errors"
	"slices"
	"strings"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Gate marks the refusal of a further piece while the first piece is not
// accepted: errors.Is(err, Gate). The kind of such an error is fault.Conflict.
var Gate = errors.New("the first piece is not accepted")

// gated is the refusal behind Gate.
type gated struct{ *fault.Refusal }

func (g gated) Is(target error) bool { return target == Gate }

func (g gated) Unwrap() error { return g.Refusal }

// Verdict is what one reading means.
type Verdict struct {
	Reading     Reading       // as judged, with its Error
	Error       unit.CentiDeg // measured minus target as bend angles: + is over-bent
	InTolerance bool
	Advice      string // a few short sentences for the person at the brake
	Next        *Spot  // nil when all bends are in
}

// MarshalJSON writes the verdict as the answer to the phone.
func (v Verdict) MarshalJSON() ([]byte, error) {
	o := object{text: make([]byte, 0, 640)} // as long as most of them
	o.field("reading")
	o.text = v.Reading.appendJSON(o.text)
	decimal(&o, "error", &v.Error, 2)
	o.yes("in_tolerance", v.InTolerance)
	o.words("advice", v.Advice)
	o.field("next")
	o.text = v.Next.appendJSON(o.text)
	return o.end(), nil
}

// appendJSON writes a spot; nil as null.
func (s *Spot) appendJSON(to []byte) []byte {
	if s == nil {
		return append(to, "null"...)
	}
	o := object{text: to}
	o.count("piece", int64(s.Piece))
	o.count("step", int64(s.Step))
	return o.end()
}

// Judge holds a reading that is not yet among the job's readings against the
// job, and says what it means and what to do.
//
// It refuses with fault.Invalid what is not on the sheet, with fault.Conflict
// the correction of what was corrected already, and with Gate a bend of a
// further piece before the first one is accepted. With fault.Unsure it asks,
// in a Message that is a question, about what is possible but improbable: an
// error of FarOff or more, a bend out of order, the same bend twice, a bend on
// a scrapped piece. A confirmed reading is not asked about.
func Judge(job Job, r Reading) (Verdict, error) {
	step, err := place(job, r)
	if err != nil {
		return Verdict{}, err
	}
	corrected, err := correctedBy(job, r)
	if err != nil {
		return Verdict{}, err
	}
	r.Error = r.Bend() - step.Target
	t := tallyWithout(job, r.Corrects)
	if r.Withdrawn() {
		err = withdraw(r, corrected)
	} else if err = t.gate(job, r, corrected); err == nil {
		err = t.ask(job, r, corrected)
	}
	if err != nil {
		return Verdict{}, err
	}
	t = t.with(&r)
	return Verdict{
		Reading: r, Error: r.Error, InTolerance: within(r.Error, step.Tolerance),
		Advice: t.advise(job, r), Next: t.nextBend(job),
	}, nil
}

// place finds the step and makes sure that piece, step and stop can be meant.
func place(job Job, r Reading) (traveler.Step, error) {
	step, found := StepOf(job.Traveler, r.Step)
	if !found {
		return step, fault.New(fault.Invalid, "step", "There is no step %d on this sheet; it has steps 1 to %d.", r.Step, len(job.Traveler.Steps))
	}
	if r.Piece < 1 || r.Piece > job.pieces() {
		return step, fault.New(fault.Invalid, "piece", "There is no piece %d: %d are to be made. The owner can raise the quantity.",
			r.Piece, job.pieces())
	}
	if stop := stopUsed(&job.Traveler.Brake, &step, &r); stop < anyAngle.least || stop > anyAngle.most {
		return step, fault.New(fault.Invalid, "stop", "A stop at %s cannot be: this brake's scale shows the %s.",
			r.Stop.Text(1), job.Traveler.Brake.Reads)
	}
	return step, nil
}

// correctedBy finds the reading that r replaces; nil when it replaces none.
func correctedBy(job Job, r Reading) (*Reading, error) {
	if r.Corrects == "" {
		return nil, nil
	}
	var found *Reading
	for i, old := range job.Readings {
		if old.Corrects == r.Corrects {
			return nil, fault.New(fault.Conflict, "corrects", "Reading %s was corrected already; correct %s instead.", r.Corrects, old.ID)
		}
		if old.ID == r.Corrects {
			found = &job.Readings[i]
		}
	}
	if found == nil {
		return nil, fault.New(fault.Invalid, "corrects", "There is no reading %s on this sheet.", r.Corrects)
	}
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
	case !CanWithdraw(*corrected, r.Received):
		return fault.New(fault.Conflict, "corrects", "A reading can be taken back for %d minutes. This one is older: correct it instead.",
			int(WithdrawWithin.Minutes()))
	}
	return nil
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

// gate keeps the run from going on before the first piece is accepted. A
// correction within one piece passes: its bend was let through already.
func (t tally) gate(job Job, r Reading, corrected *Reading) error {
	if job.Override || (corrected != nil && corrected.Piece == r.Piece) {
		return nil
	}
	first := t.firstPiece()
	if r.Piece <= first || t.firstPieceAccepted(job) {
		return nil
	}
	return gated{fault.New(fault.Conflict, "piece",
		"Piece %d must wait: log every bend of piece %d first, all within tolerance, or ask the owner.", r.Piece, first)}
}

// ask puts all doubts about a reading into one question.
func (t tally) ask(job Job, r Reading, corrected *Reading) error {
	if r.Confirmed {
		return nil
	}
	doubts := []*fault.Refusal{doubtAngle(job, r)}
	if corrected == nil || corrected.Piece != r.Piece || corrected.Step != r.Step {
		doubts = append(doubts, t.doubtSpot(job, r))
	}
	doubts = slices.DeleteFunc(doubts, func(d *fault.Refusal) bool { return d == nil })
	if len(doubts) == 0 {
		return nil
	}
	questions := make([]string, len(doubts))
	for i, d := range doubts {
		questions[i] = d.Message
	}
	return fault.New(fault.Unsure, doubts[0].Field, "%s", strings.Join(questions, " "))
}

// doubtAngle asks about an angle far from the target, and names the usual
// cause when it fits: the opening read for the bend angle, or the other way
// about.
func doubtAngle(job Job, r Reading) *fault.Refusal {
	if abs(r.Error) < FarOff || r.State == StateScrapped {
		return nil
	}
	step, _ := StepOf(job.Traveler, r.Step)
	measured, other := r.Measured.Text(1), (unit.Deg(180).CentiDeg() - r.Measured).Text(1)
	swapped := unit.Deg(180).CentiDeg() - r.Bend()
	switch {
	case abs(swapped-step.Target) >= FarOff:
		return fault.New(fault.Unsure, "measured", "%s is %s off the bend of %s asked for. Is it right?",
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

// doubtSpot asks about a bend of a scrapped piece, the same bend twice and a
// bend out of order. The same bend measured at another place along it is not
// asked about, nor is what became of a bend that is in, nor a piece that need
// not be measured: who measures more than is asked may.
func (t tally) doubtSpot(job Job, r Reading) *fault.Refusal {
	spot := Spot{r.Piece, r.Step}
	if t.scrapped[r.Piece] {
		return fault.New(fault.Unsure, "piece", "Piece %d was scrapped. Log a bend on it all the same?", r.Piece)
	}
	if t.in(spot) {
		return t.doubtTwice(r)
	}
	if !slices.Contains(t.sample(job), r.Piece) {
		return nil
	}
	if next, more := t.next(job); more && next != spot {
		return fault.New(fault.Unsure, "step", "The next bend is piece %d, step %d. Log piece %d, step %d now all the same?",
			next.Piece, next.Step, r.Piece, r.Step)
	}
	return nil
}

func (t tally) doubtTwice(r Reading) *fault.Refusal {
	if r.State != StateAsBent {
		return nil
	}
	for _, old := range t.readings {
		if old.Piece != r.Piece || old.Step != r.Step || apart(old.Place, r.Place) {
			continue
		}
		return fault.New(fault.Unsure, "step", "Piece %d, step %d was logged already, with %s. "+
			"Is this a second reading? Otherwise send it as a correction.",
			r.Piece, r.Step, old.Measured.Text(1))
	}
	return nil
}

func apart(a, b string) bool { return a != "" && b != "" && a != b }
