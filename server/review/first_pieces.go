package review

import (
	"fmt"
	"net/http"
	"slices"

	"brakeside/calc/fault"
	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

type firstPiecesView struct {
	Frame  web.Frame
	Choice filterView
	Passed string
	Lines  []firstPieceLine
	More   int
}

type firstPieceLine struct {
	Code, Job, Part, Brake, Day, Result, Address string
	Causes                                       []web.Option // of a failed one
}

// mostFirstPieces is how many first pieces the page lists.
const mostFirstPieces = 200

type sheetLine struct{ Code, Job, Part, Brake, When, Words, Address string }

// FirstPiecesPage lists the first pieces and lets the owner say why one failed.
func (s *Section) FirstPiecesPage(w http.ResponseWriter, r *http.Request) error {
	choice, shown, err := s.chooses(r, "/review/first-pieces")
	if err != nil {
		return err
	}
	pieces, err := s.Store.FirstPieces(r.Context(), choice)
	if err != nil {
		return err
	}
	view := firstPiecesView{Frame: s.Frame(r, "review"), Choice: shown, Passed: passRate(pieces), More: max(0, len(pieces)-mostFirstPieces)}
	for _, p := range pieces[:min(len(pieces), mostFirstPieces)] {
		line := firstPieceLine{
			Code: p.Code, Job: p.Job, Part: p.Part, Brake: p.Brake, Day: p.Day,
			Result: "passed", Address: shelf.JobAddress(p.Code),
		}
		if !p.Passed {
			line.Result = "failed"
			line.Causes = []web.Option{{Words: "not said", Chosen: p.Cause == ""}}
			for _, c := range lessons.Causes {
				line.Causes = append(line.Causes, web.Option{Value: c.Cause, Words: c.Words, Chosen: c.Cause == p.Cause})
			}
		}
		view.Lines = append(view.Lines, line)
	}
	return s.Show(w, web.Page{Name: "owner/first-pieces", View: view})
}

// SayCause keeps why a first piece failed.
func (s *Section) SayCause(w http.ResponseWriter, r *http.Request) error {
	form, err := s.ReadOffice(w, r)
	if err != nil {
		return err
	}
	cause := form.Get("cause")
	if cause != "" && !slices.ContainsFunc(lessons.Causes, func(c struct{ Cause, Words string }) bool { return c.Cause == cause }) {
		return fault.New(fault.Invalid, "cause", "There is no such cause in the list.")
	}
	kept, err := s.Store.TravelerByCode(r.Context(), web.Variable(r, "code"))
	if err != nil {
		return err
	}
	if err := s.Store.SayCause(r.Context(), kept.Traveler.Code, cause, s.ownerName(r)); err != nil {
		return err
	}
	return web.GoOn(w, r, "/review/first-pieces", web.SaidCause)
}

type unloggedView struct {
	Frame  web.Frame
	Choice filterView
	Lines  []sheetLine
	Scans  []sheetLine
}

// UnloggedPage lists all sheets that were printed and not logged, and all
// replaced ones that were scanned.
func (s *Section) UnloggedPage(w http.ResponseWriter, r *http.Request) error {
	choice, shown, err := s.chooses(r, "/review/unlogged")
	if err != nil {
		return err
	}
	view := unloggedView{Frame: s.Frame(r, "review"), Choice: shown}
	if view.Lines, err = s.unlogged(r, choice); err != nil {
		return err
	}
	if view.Scans, err = s.oldScans(r, choice); err != nil {
		return err
	}
	return s.Show(w, web.Page{Name: "owner/unlogged", View: view})
}

func (s *Section) unlogged(r *http.Request, c store.Choice) (out []sheetLine, err error) {
	sheets, err := s.Store.UnloggedSheets(r.Context(), c, s.Now().Add(-lessons.Untouched))
	for _, u := range sheets {
		pieces := say.Counted(u.Quantity, "piece")
		out = append(out, sheetLine{u.Code, u.Job, u.Part, u.Brake, s.When(u.IssuedAt), pieces, shelf.JobAddress(u.Code)})
	}
	return out, err
}

func (s *Section) oldScans(r *http.Request, c store.Choice) (out []sheetLine, err error) {
	scans, err := s.Store.OldScans(r.Context(), c)
	for _, o := range scans {
		part, times := o.Part+" rev "+o.Revision, say.Counted(o.Times, "time")
		out = append(out, sheetLine{o.Code, o.Job, part, "", s.When(o.Last), times, shelf.JobAddress(o.Code)})
	}
	return out, err
}

func passRate(pieces []store.FirstPiece) string {
	passed := 0
	for _, p := range pieces {
		if p.Passed {
			passed++
		}
	}
	return rate(passed, len(pieces))
}

// rate words a share with its percentage, which is left out while n is too
// small for one.
func rate(part, n int) string {
	if n < lessons.LeastToJudge {
		return say.Share(part, n)
	}
	return fmt.Sprintf("%s (%.0f %%)", say.Share(part, n), 100*float64(part)/float64(n))
}
