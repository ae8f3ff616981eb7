package server

import (
	"net/http"
	"slices"

	"brakeside/calc/fault"
	"brakeside/server/store"
)

// causes are why a first piece fails, with the words for them. Common practice,
// no source.
var causes = []struct{ cause, words string }{
	{"angle", "angle: stop or springback"}, {"allowance", "allowance: the blank"}, {"in-out", "inside and outside sizes mixed up"}, {"mirror", "mirrored"},
	{"order", "order of bends"}, {"bar", "wrong bar, or it lifted"}, {"revision", "wrong revision"}, {"material", "wrong or odd material"}, {"reading", "misread"},
}

// causeWords words a cause; one that nobody gave is not said.
func causeWords(cause string) string {
	for _, c := range causes {
		if c.cause == cause {
			return c.words
		}
	}
	return "not said"
}

type firstPiecesView struct {
	Frame  frameView
	Choice filterView
	Passed string
	Lines  []firstPieceLine
	More   int
}

type firstPieceLine struct {
	Code, Job, Part, Brake, Day, Result, Address string
	Causes                                       []optionView // of a failed one
}

// mostFirstPieces is how many first pieces the page lists.
const mostFirstPieces = 200

// firstPiecesPage lists the first pieces and lets the owner say why one failed.
func (s *Server) firstPiecesPage(w http.ResponseWriter, r *http.Request) error {
	choice, shown, err := s.chooses(r, "/review/first-pieces")
	if err != nil {
		return err
	}
	pieces, err := s.store.FirstPieces(r.Context(), choice)
	if err != nil {
		return err
	}
	view := firstPiecesView{Frame: s.frame(r, "review"), Choice: shown, Passed: passRate(pieces), More: max(0, len(pieces)-mostFirstPieces)}
	for _, p := range pieces[:min(len(pieces), mostFirstPieces)] {
		line := firstPieceLine{Code: p.Code, Job: p.Job, Part: p.Part, Brake: p.Brake, Day: p.Day, Result: "passed", Address: jobAddress(p.Code)}
		if !p.Passed {
			line.Result = "failed"
			line.Causes = []optionView{{"", "not said", p.Cause == ""}}
			for _, c := range causes {
				line.Causes = append(line.Causes, optionView{c.cause, c.words, c.cause == p.Cause})
			}
		}
		view.Lines = append(view.Lines, line)
	}
	return s.show(w, page{0, "owner/first-pieces", view})
}

// sayCause keeps why a first piece failed.
func (s *Server) sayCause(w http.ResponseWriter, r *http.Request) error {
	form, err := s.readOffice(w, r)
	if err != nil {
		return err
	}
	cause := form.Get("cause")
	if cause != "" && !slices.ContainsFunc(causes, func(c struct{ cause, words string }) bool { return c.cause == cause }) {
		return fault.New(fault.Invalid, "cause", "There is no such cause in the list.")
	}
	kept, err := s.store.TravelerByCode(r.Context(), variable(r, "code"))
	if err != nil {
		return err
	}
	if err := s.store.SayCause(r.Context(), kept.Traveler.Code, cause, s.ownerName(r)); err != nil {
		return err
	}
	http.Redirect(w, r, "/review/first-pieces", http.StatusSeeOther)
	return nil
}

type unloggedView struct {
	Frame  frameView
	Choice filterView
	Lines  []sheetLine
	Scans  []sheetLine
}

// unloggedPage lists all sheets that were printed and not logged, and all
// replaced ones that were scanned.
func (s *Server) unloggedPage(w http.ResponseWriter, r *http.Request) error {
	choice, shown, err := s.chooses(r, "/review/unlogged")
	if err != nil {
		return err
	}
	view := unloggedView{Frame: s.frame(r, "review"), Choice: shown}
	if view.Lines, err = s.unlogged(r, choice); err != nil {
		return err
	}
	if view.Scans, err = s.oldScans(r, choice); err != nil {
		return err
	}
	return s.show(w, page{0, "owner/unlogged", view})
}

func (s *Server) unlogged(r *http.Request, c store.Choice) (out []sheetLine, err error) {
	sheets, err := s.store.UnloggedSheets(r.Context(), c, s.now().Add(-untouched))
	for _, u := range sheets {
		out = append(out, sheetLine{u.Code, u.Job, u.Part, u.Brake, s.when(u.IssuedAt), counted(u.Quantity, "piece"), jobAddress(u.Code)})
	}
	return out, err
}

func (s *Server) oldScans(r *http.Request, c store.Choice) (out []sheetLine, err error) {
	scans, err := s.store.OldScans(r.Context(), c)
	for _, o := range scans {
		out = append(out, sheetLine{o.Code, o.Job, o.Part + " rev " + o.Revision, "", s.when(o.Last), counted(o.Times, "time"), jobAddress(o.Code)})
	}
	return out, err
}
