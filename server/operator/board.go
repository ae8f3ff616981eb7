package operator

import (
	"cmp"
	"net/http"
	"slices"

	"brakeside/calc/unit"
	"brakeside/server/web"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// boardView is the page on the wall: what is due, to be read at three metres, with
// how the last reading came out.
type boardView struct {
	stepView
	Code          string
	Head          headView
	Piece, Steps  int
	Due           string
	Done          bool
	Halt          *standing.Halt
	Last          *boardLast // nil before the first reading
	ID, State, By string
	Ranges        []rangeView
}

// boardLast is how the last reading came out.
type boardLast struct {
	Side, Words string
	Piece, Step int
	Measured    string
}

// rangeView is a side of the tolerance, with the angles that are offered on it.
type rangeView struct {
	Side, Words string
	Angles      []string
}

// boardSteps are how far apart the angles of the board lie, as tenths of the
// tolerance, below the target, about it and above it: what can be told at a glance
// from a protractor on the wall.
var boardSteps = []struct {
	side, words string
	tenths      []int
}{
	{"under", "under", []int{-50, -30, -20, -15}},
	{"right", "OK", []int{-10, -5, 0, 5, 10}},
	{"over", "over", []int{15, 20, 30, 50}},
}

// BoardPage shows the wall page of a traveler.
func (s *Section) BoardPage(w http.ResponseWriter, r *http.Request) error {
	kept, job, err := s.opened(r)
	if err != nil {
		return err
	}
	t := kept.Traveler
	spot, more := progress.Next(job)
	if !more {
		spot = progress.Spot{Piece: 1, Step: t.Steps[0].Number}
	}
	step, _ := progress.StepOf(t, spot.Step)
	due := progress.DueAt(job, spot)
	view := boardView{
		Code: t.Code, Head: headOf(kept), Piece: spot.Piece, Steps: len(t.Steps), Done: !more, Halt: job.Halt(spot), Last: boardLastOf(job),
		State: progress.StateAsBent, By: s.who(r).By,
	}
	if view.stepView, err = s.step(r, kept, step); err != nil {
		return err
	}
	view.Stop = due.Stop.Text(1)
	if due.Do != progress.DoBend {
		view.Due, view.State = due.Words, progress.StateReworked
	}
	view.setRanges(cmp.Or(convention(r), progress.GivenBend), step.Target, step.Tolerance)
	if view.ID, err = s.NewID(); err != nil {
		return err
	}
	return s.Show(w, web.Page{Name: "operator/board", View: view})
}

func (v *boardView) setRanges(shows string, target, tolerance unit.CentiDeg) {
	v.PadAs = shows
	for _, side := range boardSteps {
		view := rangeView{Side: side.side, Words: side.words}
		for _, tenths := range side.tenths {
			angle := target + tolerance*unit.CentiDeg(tenths)/10
			if shows == progress.GivenOpening {
				angle = opening(angle)
			}
			view.Angles = append(view.Angles, angle.Text(1))
		}
		v.Ranges = append(v.Ranges, view)
	}
}

// boardLastOf words the last reading that counts.
func boardLastOf(job progress.Job) *boardLast {
	counted := progress.Counted(job)
	if len(counted) == 0 {
		return nil
	}
	r := counted[len(counted)-1]
	side, words := wordsFor(plainVerdict(job.Traveler, r))
	return &boardLast{side, words, r.Piece, r.Step, r.Bend().Text(1) + "°"}
}

// toBoard reports whether a form was sent from the board, to which it goes back.
func toBoard(form map[string][]string) bool { return slices.Contains(form["from"], "board") }
