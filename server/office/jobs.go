package office

import (
	"net/http"
	"net/url"
	"strconv"

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
	Frame      web.Frame
	Search     string
	Open, Past []shelf.JobLine
	Pages      *pagesView // nil where all open sheets are shown
}

// pagesView says which part of a long list is shown, and where the rest is.
type pagesView struct {
	First, Last, All int
	Newer, Older     string // addresses, empty where there is nothing more
}

// JobsPage lists the open sheets, a page of them at a time, and the last of the
// others.
func (s *Section) JobsPage(w http.ResponseWriter, r *http.Request) error {
	if web.MayChange(r) && s.Setting(r.Context(), store.SettingSetUp) == "" {
		http.Redirect(w, r, "/setup", http.StatusSeeOther)
		return nil
	}
	sheets, err := s.Store.Travelers(r.Context())
	if err != nil {
		return err
	}
	view := jobsView{Frame: s.Frame(r, "jobs"), Search: r.URL.Query().Get("q")}
	open, past := listed(sheets, view.Search)
	first := linesAPage * (pageAsked(r.URL.Query(), len(open)) - 1)
	shown := open[first:min(first+linesAPage, len(open))]
	for _, sheet := range shown {
		line := s.JobLine(*sheet)
		line.Share = say.Share(sheet.InTolerance, sheet.Measured)
		view.Open = append(view.Open, line)
	}
	for _, sheet := range past {
		view.Past = append(view.Past, s.JobLine(*sheet))
	}
	if len(shown) < len(open) {
		view.Pages = &pagesView{First: first + 1, Last: first + len(shown), All: len(open)}
		view.Pages.Newer, view.Pages.Older = besides(r.URL.Query(), first/linesAPage+1, len(open))
	}
	return s.Show(w, web.Page{Name: "owner/jobs", View: view})
}

// listed are the sheets that are looked for: all that are open, and the last of the
// others. They stay where they are: after some years there are many thousands.
func listed(sheets []store.Line, search string) (open, past []*store.Line) {
	for n := range sheets {
		sheet := &sheets[n]
		isOpen := shelf.Open(*sheet)
		switch {
		case !isOpen && len(past) == shelf.MostPast:
		case search != "" && !shelf.Found(search, sheet.Job, sheet.Part, sheet.Revision, sheet.Brake, shelf.Standing(*sheet)):
		case isOpen:
			open = append(open, sheet)
		default:
			past = append(past, sheet)
		}
	}
	return open, past
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
func besides(query url.Values, page, lines int) (before, after string) {
	address := func(page int) string {
		asked := url.Values{"page": {strconv.Itoa(page)}}
		if search := query.Get("q"); search != "" {
			asked.Set("q", search)
		}
		return "/?" + asked.Encode()
	}
	if page > 1 {
		before = address(page - 1)
	}
	if page*linesAPage < lines {
		after = address(page + 1)
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
