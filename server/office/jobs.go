package office

import (
	"context"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

// linesAPage is how many open sheets the list shows at once: more than most shops
// have, and few enough to be shown at once.
const linesAPage = 100

type jobsView struct {
	Frame   web.Frame
	Asked   bool // it is narrowed
	Chosen  bool // by more than words
	Search  web.Field
	Brake   string
	Today   string
	Here    string // the address of the list as it is asked for
	List    string // and as CSV
	Filters []web.Field
	Heads   []shelf.Head
	Trouble string
	Open    []openLine
	Past    []shelf.JobLine
	Pages   *pagesView // nil where all open sheets are shown
}

// openLine is an open sheet in the list.
type openLine struct {
	shelf.JobLine
	Left      string // minutes
	Turn      string // as it is kept, or was typed; empty where none was given
	TurnFault string
}

// pagesView says which part of a long list is shown, and where the rest is.
type pagesView struct {
	First, Last, All int
	Before, After    string // addresses, empty where there is nothing more
}

// JobsPage lists the open sheets, a page of them at a time, and the last of the
// others.
func (s *Section) JobsPage(w http.ResponseWriter, r *http.Request) error {
	if web.MayChange(r) && s.Setting(r.Context(), store.SettingSetUp) == "" {
		http.Redirect(w, r, "/setup", http.StatusSeeOther)
		return nil
	}
	return s.showJobs(w, r, r.URL.Query(), nil)
}

// showJobs shows the list; form has the turns that were typed, where one was refused.
func (s *Section) showJobs(w http.ResponseWriter, r *http.Request, form url.Values, fail error) error {
	sheets, err := s.Store.Travelers(r.Context())
	if err != nil {
		return err
	}
	a := askedOf(form)
	lines, err := s.dayLines(r.Context(), a, sheets)
	if err != nil {
		return err
	}
	view := jobsView{
		Frame: s.Frame(r, "jobs"), Here: a.address(form.Get("page")),
		List: "/jobs.csv?" + a.query(a.by, a.down).Encode(), Brake: a.brake, Today: s.Now().Format(time.DateOnly),
		Asked: a.narrowed(), Chosen: a.chosen(), Heads: a.heads(),
		Search: web.Field{Name: "q", Label: "Any words of it", Value: a.search}, Filters: a.fields(sheets),
	}
	first := linesAPage * (pageAsked(form, len(lines)) - 1)
	shown := lines[first:min(first+linesAPage, len(lines))]
	for _, line := range shown {
		view.Open = append(view.Open, s.openLine(line))
	}
	view.Trouble = fillTurns(view.Open, form, fail)
	for _, sheet := range a.past(sheets) {
		view.Past = append(view.Past, s.JobLine(*sheet))
	}
	if len(shown) < len(lines) {
		view.Pages = &pagesView{First: first + 1, Last: first + len(shown), All: len(lines)}
		view.Pages.Before, view.Pages.After = a.besides(first/linesAPage+1, len(lines))
	}
	return s.Show(w, web.Page{Status: web.FormStatus(fail), Name: "owner/jobs", View: view})
}

func (s *Section) openLine(line dayLine) openLine {
	shown := openLine{JobLine: s.JobLine(*line.Line), Left: strconv.Itoa(int(math.Ceil(line.left)))}
	if line.Turn > 0 {
		shown.Turn = strconv.Itoa(line.Turn)
	}
	return shown
}

// fillTurns puts the turns that were typed into the lines, and what is wrong with one
// beside it; it gives what is wrong where that line is not shown.
func fillTurns(lines []openLine, form url.Values, fail error) (elsewhere string) {
	if fail == nil {
		return ""
	}
	field, message := web.MessageOf(fail)
	elsewhere = message
	for i := range lines {
		name := "turn-" + lines[i].Code
		if form.Has(name) {
			lines[i].Turn = form.Get(name)
		}
		if name == field {
			lines[i].TurnFault, elsewhere = message, ""
		}
	}
	return elsewhere
}

// minutesLeft are the minutes that the bends not logged yet of a sheet are planned to
// take, by the pace of its brake where the log tells one.
func minutesLeft(sheet *store.Line, pace map[string]float64) float64 {
	if sheet.Bends == 0 {
		return 0
	}
	share := float64(sheet.Bends-sheet.Done) / float64(sheet.Bends)
	minutes := float64(sheet.Minutes) / 100 * float64(sheet.Quantity-len(sheet.Skipped)) * share
	if times := pace[sheet.Brake]; times > 0 {
		minutes *= times
	}
	return minutes
}

// dayLines are the open sheets that are asked for, in their order.
func (s *Section) dayLines(ctx context.Context, a asked, sheets []store.Line) ([]dayLine, error) {
	pace, err := s.pace(ctx)
	var lines []dayLine
	for n := range sheets {
		if sheet := &sheets[n]; shelf.Open(*sheet) && a.holds(sheet) {
			lines = append(lines, dayLine{sheet, minutesLeft(sheet, pace)})
		}
	}
	a.sort(lines)
	return lines, err
}

// past are the last of the other sheets that are asked for. The rest stays where it is:
// after some years there are many thousands.
func (a asked) past(sheets []store.Line) (past []*store.Line) {
	for n := range sheets {
		if sheet := &sheets[n]; len(past) < shelf.MostPast && !shelf.Open(*sheet) && a.holds(sheet) {
			past = append(past, sheet)
		}
	}
	return past
}

// pageAsked is the page of a list of so many lines that is asked for, from 1 on; the
// first where that is none, the last where it is beyond.
func pageAsked(query url.Values, lines int) int {
	page, err := strconv.Atoi(query.Get("page"))
	if err != nil {
		return 1
	}
	return max(1, min(page, (lines+linesAPage-1)/linesAPage))
}

// besides are the addresses of the pages before and after one of the list.
func (a asked) besides(page, lines int) (before, after string) {
	if page > 1 {
		before = a.address(strconv.Itoa(page - 1))
	}
	if page*linesAPage < lines {
		after = a.address(strconv.Itoa(page + 1))
	}
	return before, after
}

// shareOf gives the share in tolerance of a job's readings, in words.
func shareOf(job progress.Job) string {
	var n, good int
	for _, reading := range asBent(job) {
		n++
		if step, found := progress.StepOf(job.Traveler, reading.Step); found && abs(reading.Error) <= step.Tolerance {
			good++
		}
	}
	return say.Share(good, n)
}

// asBent gives the readings that say how the bends came off the brake: those
// that count and were not taken after rework.
func asBent(job progress.Job) []progress.Reading {
	var found []progress.Reading
	for _, reading := range progress.Counted(job) {
		if reading.State != progress.StateReworked {
			found = append(found, reading)
		}
	}
	return found
}
