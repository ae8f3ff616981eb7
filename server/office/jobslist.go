package office

import (
	"context"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"brakeside/calc/fault"
	"brakeside/server/planning"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/table"
	"brakeside/server/web"
)

// jobHeader is what columns a list of jobs has. What a list that was sent out has
// besides may stand there and is not read.
var jobHeader = table.Header{
	Needed:   []string{"number", "part", "quantity"},
	Optional: []string{"due", "customer", "note", "revision", "title", "brake", "state", "minutes_left", "bends", "bends_in"},
}

// mostImported is how many jobs a list may bring at once: each is planned.
const mostImported = 50

// JobsCSV sends the open jobs as a list, in their order.
func (s *Section) JobsCSV(w http.ResponseWriter, r *http.Request) error {
	sheets, err := s.Store.Travelers(r.Context())
	if err != nil {
		return err
	}
	a := askedOf(r.URL.Query())
	lines, err := s.dayLines(r.Context(), a, sheets)
	if err != nil {
		return err
	}
	columns := []table.Column{
		{Name: "number"}, {Name: "part"}, {Name: "quantity"}, {Name: "due"}, {Name: "customer"}, {Name: "note"}, {Name: "revision"},
		{Name: "title"}, {Name: "brake"}, {Name: "state"}, {Name: "minutes_left", Figure: true}, {Name: "bends"}, {Name: "bends_in"},
	}
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{
			table.Harmless(l.Job), table.Harmless(l.Part), strconv.Itoa(l.Quantity), l.Due, table.Harmless(l.Customer), table.Harmless(l.Note),
			table.Harmless(l.Revision), table.Harmless(l.Title), table.Harmless(l.Brake), shelf.Standing(*l.Line),
			strconv.FormatFloat(l.left, 'f', 1, 64), strconv.Itoa(l.Bends), strconv.Itoa(l.Done),
		})
	}
	return s.SendList(w, r, "jobs-"+s.Now().Format(time.DateOnly), columns, rows)
}

type importView struct {
	Frame   web.Frame
	Heading string
	Columns string
	Action  string
	Back    string
	Groups  []web.Group
	Trouble string
}

// JobsImportPage asks for a list of jobs.
func (s *Section) JobsImportPage(w http.ResponseWriter, r *http.Request) error {
	return s.showImport(w, r, web.Filled{})
}

func (s *Section) showImport(w http.ResponseWriter, r *http.Request, f web.Filled) error {
	brakes, err := s.brakeOptions(r)
	if err != nil {
		return err
	}
	view := importView{
		Frame: s.Frame(r, "jobs"), Heading: "Jobs from a list", Action: "/jobs/import", Back: "/",
		Columns: "number, part, quantity; and where wanted due (as 2026-05-04), customer, note",
		Groups: []web.Group{{Fields: []web.Field{
			{Name: "brake", Label: "Brake", Choices: brakes}, {Name: table.Field, Label: "or paste the list", Lines: 12},
		}}},
	}
	view.Trouble = web.FillIn(view.Groups, f.Values, f.Fail)
	return s.Show(w, web.Page{Status: web.FormStatus(f.Fail), Name: "owner/import", View: view})
}

// ImportJobs issues a sheet for every row of a list, or for none.
func (s *Section) ImportJobs(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	if err := web.TakeUpload(r, form); err != nil {
		return err
	}
	err = s.importJobs(r, form)
	if web.IsRefusal(err) {
		return s.showImport(w, r, web.Filled{Values: form, Fail: err})
	}
	if err != nil {
		return err
	}
	s.News.Tell()
	return web.GoOn(w, r, "/", web.SaidJobs)
}

func (s *Section) importJobs(r *http.Request, form url.Values) error {
	rows, err := table.Read(form.Get(table.Field), jobHeader)
	if err != nil {
		return err
	}
	if len(rows) == 0 || len(rows) > mostImported {
		return fault.New(fault.Invalid, table.Field, "The list has %d jobs; give 1 to %d at once.", len(rows), mostImported)
	}
	forms, err := s.jobForms(r, rows, form.Get("brake"))
	if err != nil {
		return err
	}
	var issued []store.Issued
	for i, f := range forms {
		one, err := s.planJob(r, f)
		if err != nil {
			return refusedIn(rows[i], err)
		}
		issued = append(issued, one)
	}
	for i, one := range issued {
		if err := s.keepIssued(r, one, forms[i]); err != nil {
			return refusedIn(rows[i], err)
		}
	}
	return nil
}

// jobForms makes of each row what the form of a job has, and tells of all rows what
// no job can be.
func (s *Section) jobForms(r *http.Request, rows []table.Row, brake string) ([]url.Values, error) {
	taken, err := s.takenNumbers(r.Context())
	if err != nil {
		return nil, err
	}
	var forms []url.Values
	var faults []error
	for _, row := range rows {
		f := url.Values{"by": {store.RoleOwner}, "job": {row.Get("number")}, "brake": {brake}}
		for _, name := range []string{"part", "quantity", "due", "customer", "note"} {
			f.Set(name, row.Get(name))
		}
		if taken[f.Get("job")] {
			faults = append(faults, row.Refuse("number", "Job %.40q exists already, or is there twice.", f.Get("job")))
		}
		taken[f.Get("job")] = true
		for _, r := range fault.Each(checkJobForm(f)) {
			faults = append(faults, refusedIn(row, r))
		}
		forms = append(forms, f)
	}
	return forms, together(faults)
}

// mostTold is how many faults of a list are told at once.
const mostTold = 20

// together is what is wrong with a list, in one sentence a fault.
func together(faults []error) error {
	if len(faults) == 0 {
		return nil
	}
	words := ""
	for _, err := range faults[:min(len(faults), mostTold)] {
		words += fault.Each(err)[0].Message + " "
	}
	return fault.New(fault.Invalid, table.Field, "%s", words)
}

// refusedIn says in which row of a list something is refused.
func refusedIn(row table.Row, err error) error {
	if !web.IsRefusal(err) {
		return err
	}
	field, message := web.MessageOf(err)
	if field == "job" {
		field = "number"
	}
	return row.Refuse(field, "%s", message)
}

// takenNumbers are the numbers of all jobs.
func (s *Section) takenNumbers(ctx context.Context) (map[string]bool, error) {
	jobs, err := s.Store.Jobs(ctx)
	taken := make(map[string]bool, len(jobs))
	for _, j := range jobs {
		taken[j.Number] = true
	}
	return taken, err
}

// planJob plans the sheet of a job and does not keep it.
func (s *Section) planJob(r *http.Request, form url.Values) (store.Issued, error) {
	made, on, err := s.madeOn(r, form)
	if err != nil {
		return store.Issued{}, err
	}
	quantity, _ := strconv.Atoi(form.Get("quantity")) // checked before
	issued, err := s.issuePlanned(r, planning.Asked{
		Part: made, Brake: on, Quantity: quantity, Pack: form.Get("pack"), Account: web.Account(r),
	}, form)
	if fault.KindOf(err) == fault.Unbendable {
		return issued, fault.New(fault.Unbendable, "brake", "%s The plans of the part say why, and what would help.", messageText(err))
	}
	issued.Basis = store.Basis{Part: made.Seq, Brake: on.Seq, Reason: form.Get("reason")}
	return issued, err
}
