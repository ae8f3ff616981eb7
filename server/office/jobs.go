package office

import (
	"net/http"

	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

type jobsView struct {
	Frame      web.Frame
	Search     string
	Open, Past []shelf.JobLine
}

// JobsPage lists the open sheets and the last of the others.
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
	for _, sheet := range sheets {
		if !shelf.Found(view.Search, sheet.Job, sheet.Part, sheet.Revision, sheet.Brake, shelf.Standing(sheet)) {
			continue
		}
		line := s.JobLine(sheet)
		if shelf.Open(sheet) {
			line.Share = say.Share(sheet.InTolerance, sheet.Measured)
			view.Open = append(view.Open, line)
		} else if len(view.Past) < shelf.MostPast {
			view.Past = append(view.Past, line)
		}
	}
	return s.Show(w, web.Page{Name: "owner/jobs", View: view})
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
