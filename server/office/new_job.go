package office

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/server/planning"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
)

type newJobView struct {
	Frame                      web.Frame
	Heading, Trouble, Replaces string
	OldJob, OldPart            string
	Groups                     []web.Group
	NoParts, NoBrakes          bool
}

// NewJobPage is the form that issues a sheet: for a new job, or in the place of
// an earlier sheet.
func (s *Section) NewJobPage(w http.ResponseWriter, r *http.Request) error {
	query := r.URL.Query()
	values := url.Values{
		"quantity": {"1"}, "by": {store.RoleOwner},
		"part": {s.wordsOfPart(r, query.Get("part"))}, "brake": {query.Get("brake")}, "replaces": {query.Get("replaces")},
	}
	if values.Get("replaces") == "" {
		values.Set("job", s.nextJob(r))
		return s.showNewJob(w, r, web.Filled{Values: values})
	}
	old, err := s.Store.TravelerByCode(r.Context(), values.Get("replaces"))
	if err != nil {
		return err
	}
	values.Set("job", old.Traveler.Job)
	values.Set("quantity", strconv.Itoa(old.Quantity))
	about, err := s.Store.JobDetail(r.Context(), old.Traveler.Job)
	if err != nil {
		return err
	}
	values.Set("due", about.Due)
	values.Set("customer", about.Customer)
	values.Set("note", about.Note)
	if ready, err := s.readyPart(r, old.Traveler.Part.Number); err != nil {
		return err
	} else if ready != 0 {
		values.Set("part", s.wordsOfPart(r, strconv.FormatInt(ready, 10)))
	}
	return s.showNewJob(w, r, web.Filled{Values: values})
}

// nextJob suggests the number after that of the newest job.
func (s *Section) nextJob(r *http.Request) string {
	jobs, err := s.Store.Jobs(r.Context())
	if err != nil || len(jobs) == 0 {
		return ""
	}
	n, err := strconv.Atoi(jobs[0].Number)
	if err != nil {
		return ""
	}
	return strconv.Itoa(n + 1)
}

// readyPart gives the number of the version of a part that sheets are issued
// from, 0 when none is ready.
func (s *Section) readyPart(r *http.Request, number string) (int64, error) {
	st, err := s.Standings(r.Context())
	if err != nil || len(st.Ready[number]) == 0 {
		return 0, err
	}
	ready := st.Ready[number]
	kept, err := s.Store.PartRevision(r.Context(), number, ready[len(ready)-1])
	return kept.Seq, err
}

func (s *Section) showNewJob(w http.ResponseWriter, r *http.Request, f web.Filled) error {
	view := newJobView{Frame: s.Frame(r, "jobs"), Heading: "Issue a sheet", Replaces: f.Values.Get("replaces")}
	if view.Replaces != "" {
		if old, err := s.Store.TravelerByCode(r.Context(), view.Replaces); err == nil {
			view.OldJob, view.OldPart = old.Traveler.Job, say.Typed(old.Traveler.Part.Number)+" rev "+say.Typed(old.Traveler.Part.Revision)
			view.Heading = "Replace the sheet of job " + say.Typed(view.OldJob)
		}
	}
	parts, err := s.knownParts(r)
	if err != nil {
		return err
	}
	brakes, err := s.brakeOptions(r)
	if err != nil {
		return err
	}
	view.NoParts, view.NoBrakes = len(parts) == 0, len(brakes) == 0
	packs, err := s.packChoices(r)
	if err != nil {
		return err
	}
	fields := []web.Field{
		{Name: "job", Label: "Job number", Needed: true},
		{Name: "part", Label: "Part", Known: parts, Hint: "choose from what is offered", Needed: true},
		{Name: "brake", Label: "Brake", Choices: brakes},
		{Name: "quantity", Label: "Pieces", Figure: true, Needed: true},
		{Name: "pack", Label: "Cut from lot", Choices: packs, Hint: "springback goes with the lot"},
		{Name: "by", Label: "Issued by"},
	}
	fields = append(fields, aboutFields()...)
	if view.Replaces != "" {
		fields = append(fields, web.Field{Name: "reason", Label: "Why the old sheet is replaced", Needed: true})
	}
	view.Groups = []web.Group{{Fields: fields}}
	view.Trouble = web.FillIn(view.Groups, f.Values, f.Fail)
	return s.Show(w, web.Page{Status: web.FormStatus(f.Fail), Name: "owner/new-job", View: view})
}

// brakeOptions lists the brakes to choose from.
func (s *Section) brakeOptions(r *http.Request) ([]web.Option, error) {
	kept, err := s.Brakes(r.Context())
	var brakes []web.Option
	for _, k := range kept {
		brakes = append(brakes, web.Option{Value: strconv.FormatInt(k.Seq, 10), Words: say.Typed(k.Name), Chosen: false})
	}
	return brakes, err
}

// packChoices lists the packs that are not used up, after not saying which.
func (s *Section) packChoices(r *http.Request) ([]web.Option, error) {
	packs, err := s.Store.Packs(r.Context())
	out := []web.Option{{Value: "", Words: "not said"}}
	for _, p := range packs {
		if !p.UsedUp {
			words := fmt.Sprintf("%s: %s %s", say.Typed(p.Name), p.Material, s.Ruler(r.Context()).Sheet(p.Thickness.MM()))
			out = append(out, web.Option{Value: p.Name, Words: words})
		}
	}
	return out, err
}

// offThickness is how far a pack may be from the sheet of a part and still be it.
// Common practice, no source.
const offThickness unit.Micron = 50

// fitsPack refuses a pack that is not in the stock, or is of another sheet.
func (s *Section) fitsPack(r *http.Request, t *traveler.Traveler) error {
	if t.Pack == "" {
		return nil
	}
	packs, err := s.Store.Packs(r.Context())
	if err != nil {
		return err
	}
	for _, p := range packs {
		if p.Name != t.Pack {
			continue
		}
		if off := p.Thickness - t.Part.Thickness; p.Material != t.Part.MaterialID || off > offThickness || off < -offThickness {
			return fault.New(fault.Invalid, "pack", "Lot %s is %s %s mm; this part is made of %s %s mm.",
				p.Name, p.Material, p.Thickness.Text(2), t.Part.MaterialID, t.Part.Thickness.Text(2))
		}
		return nil
	}
	return fault.New(fault.Invalid, "pack", "There is no lot %.40q in the stock. Enter it under Stock first.", t.Pack)
}

// AddJob plans a part, and keeps the sheet that comes of it together with its
// job.
func (s *Section) AddJob(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	code, err := s.issueSheet(r, form)
	if web.IsRefusal(err) {
		return s.showNewJob(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	s.News.Tell()
	return web.GoOn(w, r, shelf.JobAddress(code), web.SaidIssued)
}

// issueSheet does the work of addJob and gives the code of the new sheet.
func (s *Section) issueSheet(r *http.Request, form url.Values) (code string, err error) {
	if err := checkJobForm(form); err != nil {
		return "", err
	}
	if err := s.plans.Able(); err != nil {
		return "", err
	}
	issued, err := s.planJob(r, form)
	if err != nil {
		return "", err
	}
	if err := s.fitsPack(r, issued.Traveler); err != nil {
		return "", err
	}
	if old := form.Get("replaces"); old != "" {
		issued.Supersedes = append(issued.Supersedes, old)
	}
	return issued.Traveler.Code, s.keepIssued(r, issued, form)
}

// issuePlanned issues the plan that was looked at, where there is one, and else plans
// first.
func (s *Section) issuePlanned(r *http.Request, a planning.Asked, form url.Values) (store.Issued, error) {
	ctx, cancel := context.WithTimeout(r.Context(), planning.StepsPatience)
	defer cancel()
	work, err := s.plans.On(ctx, a)
	if err != nil {
		return store.Issued{}, err
	}
	plan, err := work.Wait(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		return store.Issued{}, fault.New(fault.Busy, "",
			"This plan takes long. Open the plans of the part, which show how far it has come, and issue the sheet when it is there.")
	}
	if err != nil {
		return store.Issued{}, err
	}
	return s.plans.Issue(r.Context(), planning.IssueRequest{
		Units: s.Ruler(r.Context()).System,
		Plan:  plan, Job: form.Get("job"), By: form.Get("by"), Base: s.Address(r.Context()), Pack: a.Pack,
	})
}

func messageText(err error) string {
	_, message := web.MessageOf(err)
	return strings.TrimSuffix(message, ".") + "."
}

// checkJobForm refuses what no job can be.
func checkJobForm(form url.Values) error {
	var faults []error
	quantity, err := strconv.Atoi(form.Get("quantity"))
	if err != nil || quantity < 1 || quantity > 99999 {
		faults = append(faults, fault.New(fault.Invalid, "quantity",
			"The number of pieces is a whole number from 1 to 99999, not %.20q.", form.Get("quantity")))
	}
	if n := len([]rune(form.Get("job"))); n == 0 || n > 40 {
		faults = append(faults, fault.New(fault.Invalid, "job", "The job needs a number of 1 to 40 letters and digits."))
	}
	if err := checkAbout(form); err != nil {
		faults = append(faults, err)
	}
	if form.Get("replaces") != "" && form.Get("reason") == "" {
		faults = append(faults, fault.New(fault.Invalid, "reason", "Say why, in a few words: the operator reads it."))
	}
	return fault.Together(faults)
}

// madeOn finds the part and the brake of the form.
func (s *Section) madeOn(r *http.Request, form url.Values) (made, on store.Revision, err error) {
	if made, err = s.readyTyped(r, form.Get("part")); err != nil {
		return made, on, err
	}
	seq, err := strconv.ParseInt(form.Get("brake"), 10, 64)
	if err != nil {
		return made, on, fault.New(fault.Invalid, "brake", "Choose a brake.")
	}
	on, err = s.Store.Version(r.Context(), store.Brakes, seq)
	return made, on, err
}

// keepIssued keeps a sheet under its job, which is opened if it is new. A job
// that has a sheet already takes another one only in place of the old.
func (s *Section) keepIssued(r *http.Request, issued store.Issued, form url.Values) error {
	t := issued.Traveler
	err := s.Store.AddJob(r.Context(), store.Job{
		Number: t.Job, Part: t.Part.Number, Revision: t.Part.Revision, Quantity: t.Quantity, Brake: t.Brake.Name, Due: form.Get("due"),
	})
	if fault.KindOf(err) == fault.Conflict {
		err = s.maySupplement(r, issued)
	}
	if err != nil {
		return err
	}
	if err := s.Store.KeepTraveler(r.Context(), issued); err != nil {
		return err
	}
	return s.sayAbout(r.Context(), t.Job, form)
}

func (s *Section) maySupplement(r *http.Request, issued store.Issued) error {
	if len(issued.Supersedes) > 0 {
		return nil
	}
	sheets, err := s.Store.Travelers(r.Context())
	if err != nil {
		return err
	}
	for _, sheet := range sheets {
		if sheet.Job == issued.Traveler.Job && !sheet.Voided {
			return fault.New(fault.Conflict, "job",
				"Job %s has a sheet already. Open that job to replace its sheet, or take another number.", sheet.Job)
		}
	}
	return nil
}
