package server

import (
	"fmt"
	"net/http"

	"brakeside/server/lessons"
)

type timeView struct {
	Frame     frameView
	Choice    filterView
	Lines     []paceLine
	Handlings []handlingView
}

type paceLine struct {
	Job, Part, Brake, Planned, Actual, Ratio string
	Bends, Pauses                            int
	Address                                  string
}

type handlingView struct {
	Brake, Words string
	Lines        []minuteLine
}

type minuteLine struct{ What, Now, Proposed string }

// timePage compares planned minutes with those that the times of the readings
// tell, and proposes handling minutes.
func (s *Server) timePage(w http.ResponseWriter, r *http.Request) error {
	choice, shown, err := s.chooses(r, "/review/time")
	if err != nil {
		return err
	}
	paces, err := s.book.Paces(r.Context(), choice)
	if err != nil {
		return err
	}
	view := timeView{Frame: s.frame(r, "review"), Choice: shown}
	for _, p := range paces {
		view.Lines = append(view.Lines, paceLine{
			Job: p.Job, Part: p.Part, Brake: p.Brake, Planned: fmt.Sprintf("%.1f", p.Planned), Actual: fmt.Sprintf("%.1f", p.Actual), Ratio: fmt.Sprintf("%.2f", p.Ratio()),
			Bends: p.Bends, Pauses: p.Pauses, Address: jobAddress(p.Code),
		})
	}
	handlings, err := s.book.Handlings(r.Context(), paces)
	if err != nil {
		return err
	}
	for _, h := range handlings {
		view.Handlings = append(view.Handlings, handlingOf(h))
	}
	return s.show(w, page{0, "owner/time", view})
}

func handlingOf(h lessons.Handling) handlingView {
	v := handlingView{Brake: h.Brake, Words: fmt.Sprintf("The middle one of %s took %.2f times as long as planned, measuring and logging in it.", counted(h.Sheets, "job"), h.Ratio)}
	if !h.Known {
		return v
	}
	for _, m := range []struct {
		what string
		now  float64
	}{
		{"bend", h.Now.Bend}, {"turn over", h.Now.TurnOver}, {"rotate by 90°", h.Now.RotatePer90}, {"change the bar", h.Now.BarChange}, {"place a finger", h.Now.PerFinger},
		{"change the stop", h.Now.StopChange}, {"leaf extension on or off", h.Now.LeafChange}, {"slide the bar out", h.Now.SlideBarOut}, {"packing strip", h.Now.PackingStrip},
	} {
		v.Lines = append(v.Lines, minuteLine{m.what, fmt.Sprintf("%.2f", m.now), fmt.Sprintf("%.2f", h.Proposed(m.now))})
	}
	return v
}
