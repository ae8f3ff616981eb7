package operator

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// lastOn finds the latest reading that counts for a bend.
func lastOn(job progress.Job, spot progress.Spot) (progress.Reading, bool) {
	counted := progress.Counted(job)
	for i := len(counted) - 1; i >= 0; i-- {
		r := counted[i]
		if r.Piece == spot.Piece && r.Step == spot.Step {
			return r, true
		}
	}
	return progress.Reading{}, false
}

// savedReading is the id of a reading of a job that was just saved.
type savedReading struct {
	kept store.Kept
	job  progress.Job
	id   string
}

type verdictView struct {
	Code                               string
	Head                               headView
	Piece, Step, Steps                 int
	Side, Words                        string
	Measured, Place, Target, Tolerance string
	AsGiven, Advice, Again, Correct    string
	Halt                               *standing.Halt // why work stops after it; nil when it goes on
	Newer                              string         // address of the traveler that replaces this one
	Rework                             *nextView      // what this bend needs; nil when nothing
	Asks                               []askForm
	Gone                               string     // why the reading counts no more; empty if it does
	Undo                               []web.Pair // of the form that takes it back; nil when it is too late
	Lost                               *lossView
	Photo                              photoForm
	Next                               *nextView // nil also when the next doing is Rework
	Last                               bool      // nothing is due any more
}

// nextView is a bend that is to be made, or worked on.
type nextView struct {
	Piece, Step int
	Words       string // what to do about it; empty for a bend that is not in yet
	Address     string
}

// nextOf is the bend that is due; nil when all are in.
func nextOf(job progress.Job) *nextView {
	due := progress.NextDue(job)
	if due == nil {
		return nil
	}
	return dueView(job, *due)
}

func dueView(job progress.Job, due progress.Due) *nextView {
	view := &nextView{Piece: due.Piece, Step: due.Step, Address: spotAddress(job.Traveler.Code, due.Spot)}
	switch due.Do {
	case progress.DoBendAgain, progress.DoOpen:
		view.Words, view.Address = due.Words, view.Address+"&state="+progress.StateReworked
	case progress.DoDecide:
		view.Words, view.Address = due.Words, view.Address+"&state="+progress.StateScrapped
	}
	return view
}

// verdictPage says how a saved reading came out and where to go on.
func (s *Section) verdictPage(w http.ResponseWriter, req *http.Request, saved savedReading) error {
	verdict, err := verdictOn(saved)
	if err != nil {
		return err
	}
	r, kept := verdict.Reading, saved.kept
	step, _ := progress.StepOf(kept.Traveler, r.Step)
	spot := progress.Spot{Piece: r.Piece, Step: r.Step}
	again := spotAddress(kept.Traveler.Code, spot)
	view := verdictView{
		Code: kept.Traveler.Code, Head: headOf(kept),
		Piece: r.Piece, Step: r.Step, Steps: len(kept.Traveler.Steps),
		Measured: r.Bend().Text(1) + "°", Place: r.Place,
		Target: step.Target.Text(1) + "°", Tolerance: step.Tolerance.Text(1) + "°",
		Advice: verdict.Advice, Again: again,
	}
	view.Side, view.Words = wordsFor(verdict)
	if r.GivenAs == progress.GivenOpening {
		view.AsGiven = "Given as an opening of " + r.Measured.Text(1) + "°."
	}
	view.Next = nextOf(saved.job)
	view.Last = view.Next == nil
	if view.Halt = saved.job.Standing.Halt(); view.Halt != nil && view.Halt.Newer != "" {
		view.Newer = sheetAddress(view.Halt.Newer)
	}
	if err := s.setAfter(req, &view, saved); err != nil {
		return err
	}
	return s.Show(w, web.Page{Name: "operator/verdict", View: view})
}

// setAfter offers what can still be done about a saved reading.
func (s *Section) setAfter(req *http.Request, view *verdictView, saved savedReading) error {
	at := slices.IndexFunc(progress.Counted(saved.job), func(r progress.Reading) bool { return r.ID == saved.id })
	if at < 0 {
		if view.Side != "ask" {
			view.Gone = "This reading was corrected or taken back since: it counts no more."
		}
		return nil
	}
	r := progress.Counted(saved.job)[at]
	view.Correct = view.Again + "&corrects=" + url.QueryEscape(r.ID)
	due := progress.DueAt(saved.job, progress.Spot{Piece: r.Piece, Step: r.Step})
	if due.Do != progress.DoBend && r.State != progress.StateScrapped {
		view.setRework(saved, due)
	}
	id, err := s.NewID()
	if err != nil {
		return err
	}
	if progress.CanWithdraw(r, s.Now().UTC().Format(time.RFC3339)) {
		view.Undo = undoFields(r, id)
	}
	if view.Photo, err = s.photoForm(req.Context(), saved.kept, progress.Spot{Piece: r.Piece, Step: r.Step}); err != nil {
		return err
	}
	view.Photo.Reading = r.ID
	lost, err := s.losses(req, saved.kept, saved.job)
	for i := range lost {
		if lost[i].Piece == r.Piece {
			view.Lost = &lost[i]
		}
	}
	return err
}

// setRework offers what a bend out of tolerance needs, in place of the next bend
// where that is the same, and to ask for the release where only that helps.
func (v *verdictView) setRework(saved savedReading, due progress.Due) {
	v.Rework = dueView(saved.job, due)
	next := progress.NextDue(saved.job)
	if next == nil || next.Spot != due.Spot {
		return
	}
	v.Next = nil
	if saved.kept.May(standing.ReleaseAsked, true) == nil && !saved.job.ReleaseAsked {
		v.Asks = append(v.Asks, formOf(standing.ReleaseAsked, bendRequest{kept: saved.kept, job: saved.job, spot: due.Spot}))
	}
}

// undoFields are those of the reading that takes another one back.
func undoFields(r progress.Reading, id string) []web.Pair {
	return web.Pairs(
		"id", id, "piece", strconv.Itoa(r.Piece), "step", strconv.Itoa(r.Step), "measured", r.Measured.Text(2),
		"given_as", r.GivenAs, "place", r.Place, "by", r.By, "corrects", r.ID, "flags", progress.FlagWithdrawn,
	)
}

// wordsFor names the side a reading came out on, and says it in words.
func wordsFor(v progress.Verdict) (side, words string) {
	off := v.Error
	if off < 0 {
		off = -off
	}
	switch {
	case v.Reading.Withdrawn():
		return "ask", "Taken back"
	case v.Reading.State == progress.StateScrapped:
		return "halt", fmt.Sprintf("Piece %d is scrapped", v.Reading.Piece)
	case v.InTolerance:
		return "right", "In tolerance"
	case v.Error > 0:
		return "over", "Over-bent by " + off.Text(1) + "°"
	}
	return "under", "Under-bent by " + off.Text(1) + "°"
}

// verdictOn judges a stored reading once more as it was judged when it came,
// against the readings that were there before it.
func verdictOn(saved savedReading) (progress.Verdict, error) {
	at := slices.IndexFunc(saved.job.Readings, func(r progress.Reading) bool { return r.ID == saved.id })
	if at < 0 {
		return progress.Verdict{}, fault.New(fault.Missing, "", "This sheet has no such reading.")
	}
	before, r := saved.job, saved.job.Readings[at]
	before.Readings, before.Override, r.Confirmed = saved.job.Readings[:at], true, true
	verdict, err := progress.Judge(before, r)
	var refusal *fault.Refusal
	if errors.As(err, &refusal) {
		// The job has changed since, such as a smaller quantity: what was
		// measured still stands, only the advice of then does not.
		return plainVerdict(saved.job.Traveler, r), nil
	}
	return verdict, err
}

func plainVerdict(t *traveler.Traveler, r progress.Reading) progress.Verdict {
	step, _ := progress.StepOf(t, r.Step)
	return progress.Verdict{
		Reading: r, Error: r.Error,
		InTolerance: r.Error <= step.Tolerance && r.Error >= -step.Tolerance,
	}
}
