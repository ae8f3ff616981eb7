package server

import (
	"fmt"
	"net/http"
	"time"

	"brakeside/server/store"
	"brakeside/traveler/progress"
)

// mostPast is how many sheets that are not open any more the list shows.
const mostPast = 100

type jobsView struct {
	Frame      frameView
	Search     string
	Open, Past []jobLine
}

// jobLine is one sheet in the list of jobs.
type jobLine struct {
	Job, Part, Revision, Address string
	Quantity, Bends, Done        int
	Readings                     int
	Share, Last, State, Due      string
	Late                         bool
}

func (s *Server) jobsPage(w http.ResponseWriter, r *http.Request) error {
	if mayChange(r) && s.setting(r.Context(), settingSetUp) == "" {
		http.Redirect(w, r, "/setup", http.StatusSeeOther)
		return nil
	}
	sheets, err := s.store.Travelers(r.Context())
	if err != nil {
		return err
	}
	view := jobsView{Frame: s.frame(r, "jobs"), Search: r.URL.Query().Get("q")}
	for _, sheet := range sheets {
		if !found(view.Search, sheet.Job, sheet.Part, sheet.Revision, sheet.Brake, standingWord(sheet)) {
			continue
		}
		line := s.jobLine(sheet)
		if open(sheet) {
			line.Share = share(sheet.InTolerance, sheet.Measured)
			view.Open = append(view.Open, line)
		} else if len(view.Past) < mostPast {
			view.Past = append(view.Past, line)
		}
	}
	return s.show(w, page{0, "owner/jobs", view})
}

// open reports whether a sheet may still be bent from and is not done.
func open(sheet store.Line) bool {
	replaced := sheet.SupersededBy != "" && !sheet.FinishAllowed
	return !sheet.Closed && !sheet.Voided && !replaced && (sheet.Bends == 0 || sheet.Done < sheet.Bends)
}

func (s *Server) jobLine(sheet store.Line) jobLine {
	return jobLine{
		Job: sheet.Job, Part: sheet.Part, Revision: sheet.Revision, Address: jobAddress(sheet.Code),
		Quantity: sheet.Quantity, Bends: sheet.Bends, Done: sheet.Done, Readings: sheet.Readings,
		Last: s.when(sheet.LastReading), State: standingWord(sheet), Due: sheet.Due,
		Late: sheet.Due != "" && open(sheet) && sheet.Due < s.now().Format(time.DateOnly),
	}
}

// standingWord says in a word how a sheet stands.
func standingWord(sheet store.Line) string {
	switch {
	case sheet.Voided:
		return "void"
	case sheet.SupersededBy != "" && sheet.FinishAllowed:
		return "replaced, may be finished"
	case sheet.SupersededBy != "":
		return "replaced"
	case sheet.Closed:
		return "closed"
	case sheet.Bends > 0 && sheet.Done >= sheet.Bends:
		return "all in"
	case sheet.Readings == 0:
		return "not begun"
	}
	return "running"
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
	return share(good, n)
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

// share words a part of n, always with n.
func share(part, n int) string {
	if n == 0 {
		return "none yet"
	}
	return fmt.Sprintf("%d of %d", part, n)
}

// when words a moment in the time of the shop; nothing for none.
func (s *Server) when(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	now := s.now()
	t = t.In(now.Location())
	if t.Year() == now.Year() && t.YearDay() == now.YearDay() {
		return "today " + t.Format("15:04")
	}
	return t.Format("2 Jan 2006 15:04")
}
