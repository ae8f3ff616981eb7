package operator

import (
	"cmp"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"brakeside/server/say"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// bendRequest is a page of one bend that is to be shown.
type bendRequest struct {
	kept     store.Kept
	job      progress.Job
	spot     progress.Spot
	corrects string     // id of the reading that is to be corrected; empty if none
	state    string     // what the bend is said to be; empty for what is due
	given    url.Values // what was typed before; nil for a fresh page
	refused  error      // why it was not saved; nil for a fresh page
}

// bendView is the operator's page of one bend: what the traveler says about its
// step, and what holds of this piece now.
type bendView struct {
	stepView
	Code                    string
	Head                    headView
	Piece, Steps            int
	PieceBefore, PieceAfter string // addresses, empty if there is none
	Message, Field          string
	Earlier, EarlierAddress string
	Company                 CompanyView
	Sampling                string
	Photo                   photoForm
	Doings                  []settingView
	Halt                    *standing.Halt // why it may not be made, only logged; nil when it may
	OutOfTurn               *nextView      // another bend that is due before this one; nil when none
	Due                     string         // what to do about a bend that is in already
	Rework, Decide          bool           // it is to be worked on; only the scrap heap or a release helps
	Asks                    []askForm
	Release                 *askForm // for the release, where only that or the scrap heap helps
	Questions               string   // how many wait; empty when none does
	Form                    formView
	More                    template.HTML // the fields below the angle
	ID, Corrects            string
	Convention              string // what the phone's protractor shows; empty until it was asked
	Who                     whoView
	Others                  []linkView
	Newer                   string        // address of the sheet that replaces this one
	Table                   string        // progress.Table as JSON, for the phone to judge by
	Bundle                  string        // version of the bundle
	Made                    progress.Spot // the bend that was logged last; the zero Spot when none was
}

// formView is what the fields of the log show.
type formView struct{ values url.Values }

// Value gives what stands in a text field.
func (f formView) Value(name string) string { return f.values.Get(name) }

// Has reports whether a choice is made.
func (f formView) Has(name, value string) bool { return slices.Contains(f.values[name], value) }

// At gives what stands in one of several fields of one name.
func (f formView) At(name string, index int) string {
	if index < len(f.values[name]) {
		return f.values[name][index]
	}
	return ""
}

// More reports whether one of the fields that are folded away is filled.
func (f formView) More() bool {
	for _, name := range []string{"flags", "leg", "thickness", "pack", "nose_setback", "tool", "note"} {
		if strings.Join(f.values[name], "") != "" {
			return true
		}
	}
	return f.Value("state") != progress.StateAsBent
}

// showBend shows the page of one bend.
func (s *Section) showBend(w http.ResponseWriter, r *http.Request, b bendRequest) error {
	step, _ := progress.StepOf(b.job.Traveler, b.spot.Step)
	id, err := s.NewID()
	if err != nil {
		return err
	}
	view := bendView{ID: id, Code: b.kept.Traveler.Code, Head: headOf(b.kept), Convention: convention(r), Who: s.who(r)}
	if view.stepView, err = s.step(r, b.kept, step); err != nil {
		return err
	}
	view.setPlace(b)
	view.setDue(b, progress.DueAt(b.job, b.spot))
	view.setForm(b, step)
	if err := s.setAround(w, r, &view, b); err != nil {
		return err
	}
	status := http.StatusOK
	if b.refused != nil {
		status = readingStatus(b.refused)
		view.Field, view.Message = web.MessageOf(b.refused)
		view.ID = cmp.Or(b.given.Get("id"), id)
	}
	if view.More, err = s.more(&view, b.given == nil); err != nil {
		return err
	}
	return s.Show(w, web.Page{Status: status, Name: "operator/bend", View: view})
}

// setAround adds what is not of the bend itself: questions that wait, who else is
// there, photos, and what the script of the page works with.
func (s *Section) setAround(w http.ResponseWriter, r *http.Request, v *bendView, b bendRequest) error {
	waiting, err := s.questions(r.Context(), b.kept)
	if err != nil {
		return err
	}
	if waiting > 0 {
		v.Questions = say.Counted(waiting, "angle") + " not stored yet: answer here"
	}
	if r.Method != http.MethodHead {
		if v.Company, err = s.arrive(w, r, arrival{b.kept, &b.job, b.spot, web.Remembered(r, InitialsCookie)}); err != nil {
			return err
		}
	}
	if v.Photo, err = s.photoForm(r.Context(), b.kept, b.spot); err != nil {
		return err
	}
	v.Bundle = s.bundleVersion(r, b.kept)
	v.Table, err = tableJSON(b.job)
	return err
}

// setPlace says which bend of which piece this is, what is to be done before it,
// and where else to go.
func (v *bendView) setPlace(b bendRequest) {
	v.Piece, v.Steps = b.spot.Piece, len(b.kept.Traveler.Steps)
	v.Others = bendLinks(b.kept.Traveler, b.spot)
	if b.spot.Piece > 1 {
		v.PieceBefore = spotAddress(v.Code, progress.Spot{Piece: b.spot.Piece - 1, Step: b.spot.Step})
	}
	if b.spot.Piece < v.Head.Quantity {
		v.PieceAfter = spotAddress(v.Code, progress.Spot{Piece: b.spot.Piece + 1, Step: b.spot.Step})
	}
	if b.kept.SupersededBy != "" {
		v.Newer = sheetAddress(b.kept.SupersededBy)
	}
	v.Earlier, v.Corrects = earlier(b.job, b.spot), b.corrects
	if last, found := lastOn(b.job, b.spot); found {
		v.EarlierAddress = savedAddress(v.Code, last.ID)
	}
	v.Sampling = sampling(b.job, b.spot.Piece)
	v.Made = madeBefore(b.job)
	v.Doings = doings(b.kept.Traveler, v.Made, b.spot)
	v.Halt, v.Asks = b.job.Halt(b.spot), asksBeside(b)
	if next, more := progress.Next(b.job); more && v.Halt == nil && v.Earlier == "" && next.Step != b.spot.Step {
		v.OutOfTurn = nextOf(b.job)
	}
}

// madeBefore is the bend that was logged last: the brake is still set for it. It is
// the zero Spot when none was.
func madeBefore(job progress.Job) progress.Spot {
	if last := len(job.Readings) - 1; last >= 0 {
		return progress.Spot{Piece: job.Readings[last].Piece, Step: job.Readings[last].Step}
	}
	return progress.Spot{}
}

// earlier lists the readings that count for a bend.
func earlier(job progress.Job, spot progress.Spot) string {
	var all []string
	for _, r := range progress.Counted(job) {
		if r.Piece == spot.Piece && r.Step == spot.Step {
			all = append(all, strings.TrimSpace(r.Bend().Text(1)+"° "+r.Place))
		}
	}
	return strings.Join(all, ", ")
}

// setDue gives the one stop to set, the printed one beside it where that is another,
// and what a bend that is out of tolerance needs.
func (v *bendView) setDue(b bendRequest, due progress.Due) {
	if stop := due.Stop.Text(1); stop != v.Stop {
		v.Printed, v.Stop, v.StopWhy = v.Stop, stop, due.Why
	}
	if b.kept.May(standing.ReleaseAsked, true) == nil && !b.job.ReleaseAsked {
		form := formOf(standing.ReleaseAsked, b)
		v.Release = &form
	}
	if due.Do == progress.DoBend {
		return
	}
	v.Due, v.Rework, v.Decide = due.Words, b.state == "" && b.corrects == "", due.Do == progress.DoDecide
}

// setForm fills the fields: with what was typed, or fresh ones with what the phone
// chose last time.
func (v *bendView) setForm(b bendRequest, step traveler.Step) {
	shows := cmp.Or(v.Convention, progress.GivenBend)
	v.setPad(step, shows)
	if b.given != nil {
		v.Form = formView{b.given}
		return
	}
	state := cmp.Or(b.state, progress.StateAsBent)
	if v.Rework {
		state = progress.StateReworked
	}
	v.Form = formView{url.Values{
		"given_as": {shows}, "place": {progress.PlaceMiddle}, "state": {state}, "by": {v.Who.By}, "stop": {v.Stop},
	}}
}

// convention is what the phone's protractor shows; empty until it was asked.
func convention(r *http.Request) string {
	shows := web.Remembered(r, ProtractorCookie)
	if shows != progress.GivenBend && shows != progress.GivenOpening {
		return ""
	}
	return shows
}
