package office

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"time"
	"unicode/utf8"

	"brakeside/calc/fault"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// How long a customer's name and a note may be, in letters.
const (
	mostCustomer = 80
	mostNote     = 300
)

// aboutFields are the fields of what is said of a job beside its sheet.
func aboutFields() []web.Field {
	return []web.Field{
		{Name: "due", Label: "Due", Date: true},
		{Name: "customer", Label: "Customer"},
		{Name: "note", Label: "Note", Hint: "shown in the list"},
	}
}

// checkAbout refuses what cannot be said of a job.
func checkAbout(form url.Values) error {
	var faults []error
	if due := form.Get("due"); due != "" {
		if _, err := time.Parse(time.DateOnly, due); err != nil {
			faults = append(faults, fault.New(fault.Invalid, "due", "%.20q is no date; write it as in 2026-05-04.", due))
		}
	}
	for _, field := range []struct {
		name string
		most int
	}{{"customer", mostCustomer}, {"note", mostNote}} {
		if n := utf8.RuneCountInString(form.Get(field.name)); n > field.most {
			faults = append(faults, fault.New(fault.Invalid, field.name, "At most %d letters; these are %d.", field.most, n))
		}
	}
	return fault.Together(faults)
}

// fillAbout puts what is said of the job into its form, or what was typed and refused.
func (s *Section) fillAbout(r *http.Request, view *jobView, typed web.Filled) error {
	d, err := s.Store.JobDetail(r.Context(), view.Job)
	if err != nil {
		return err
	}
	if typed.Fail == nil {
		typed.Values = url.Values{"due": {d.Due}, "customer": {d.Customer}, "note": {d.Note}}
	}
	view.About = []web.Group{{Fields: aboutFields()}}
	view.Trouble = web.FillIn(view.About, typed.Values, typed.Fail)
	view.Facts = append(view.Facts, web.Pairs("Due", d.Due, "Customer", say.Typed(d.Customer), "Note", say.Typed(d.Note))...)
	return nil
}

// KeepAbout keeps what is said of a job: due date, customer and note.
func (s *Section) KeepAbout(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	if err := checkAbout(form); err != nil {
		return s.showJob(w, r, jobTold{about: web.Filled{Values: form, Fail: err}})
	}
	if err := s.sayAbout(r.Context(), kept.Traveler.Job, form); err != nil {
		return err
	}
	s.News.Tell()
	return web.GoOn(w, r, shelf.JobAddress(kept.Traveler.Code), web.SaidAbout)
}

// sayAbout keeps due date, customer and note of a job as they were typed; its turn at
// the brake stays.
func (s *Section) sayAbout(ctx context.Context, job string, form url.Values) error {
	d, err := s.Store.JobDetail(ctx, job)
	if err != nil {
		return err
	}
	d.Due, d.Customer, d.Note, d.By = form.Get("due"), form.Get("customer"), form.Get("note"), store.RoleOwner
	return s.Store.DetailJob(ctx, d)
}

// askView is a decision that is asked about once more before it is taken.
type askView struct {
	Words, Button, Address string
	Fields                 []web.Pair
}

// fewerThanLogged asks whether a quantity that is lower than what is logged is meant;
// nil where it is not lower, or the answer is in the form.
func fewerThanLogged(job progress.Job, form url.Values) *askView {
	pieces, err := strconv.Atoi(form.Get("detail"))
	if form.Get("kind") != standing.Requantified || err != nil || pieces < 1 || form.Get("sure") == form.Get("detail") {
		return nil
	}
	logged := 0
	for _, r := range progress.Counted(job) {
		logged = max(logged, r.Piece)
	}
	if pieces >= logged {
		return nil
	}
	return &askView{
		Words: "Piece " + strconv.Itoa(logged) + " is logged already, and the quantity would be " + strconv.Itoa(pieces) +
			". What is logged of the pieces beyond stays in the log.",
		Button: "Yes: " + say.Counted(pieces, "piece"), Address: eventsOf(job.Traveler.Code),
		Fields: web.Pairs("kind", standing.Requantified, "detail", form.Get("detail"), "sure", form.Get("detail")),
	}
}

// eventsOf is where decisions about a sheet are sent.
func eventsOf(code string) string { return shelf.JobAddress(code) + "/events" }

// undone names, for each decision that can be taken back, the one that does it.
var undone = map[web.Said]string{
	standing.Closed: standing.Reopened, standing.Voided: standing.Reopened, standing.Held: standing.Resumed,
}

// undoView is the button that takes back what was just decided.
func undoView(said web.Said, kept store.Kept) *askView {
	kind, known := undone[said]
	if !known || kept.May(kind, false) != nil {
		return nil
	}
	return &askView{
		Button: "Undo: " + standing.About(kind).Button, Address: eventsOf(kept.Traveler.Code),
		Fields: web.Pairs("kind", kind, "detail", "undone at once"),
	}
}
