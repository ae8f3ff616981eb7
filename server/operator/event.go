package operator

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/standing"
)

// askForm is something that the person at the brake may decide or ask for.
type askForm struct {
	Code, Kind, Heading, Label, Button string
	Piece                              int // that it is about; 0 when it is the whole traveler
}

// formOf words a kind of event about a bend.
func formOf(kind string, b bendRequest) askForm {
	words := standing.About(kind)
	form := askForm{Code: b.kept.Traveler.Code, Kind: kind, Heading: words.Heading, Label: words.Label, Button: words.Button}
	if kind == standing.Skipped || kind == standing.TakenUp {
		form.Piece = b.spot.Piece
	}
	if kind == standing.TakenUp {
		form.Label = "" // the piece is known
	}
	return form
}

// asksFor lists what the person at the brake can do about a stop of work: go on
// where that is theirs to say, and what the stop says to ask for.
func asksFor(halt *standing.Halt, b bendRequest) []askForm {
	var forms []askForm
	for _, kind := range []string{standing.Resumed, halt.Ask} {
		wanted := kind == halt.Ask && kind != "" || halt.Cause == standing.IsHeld && kind == standing.Resumed
		if wanted && b.kept.May(kind, true) == nil && !(kind == standing.ReleaseAsked && b.job.ReleaseAsked) {
			forms = append(forms, formOf(kind, b))
		}
	}
	return forms
}

// asksBeside lists what can be done beside a bend: leave the piece out, stop the
// run.
func asksBeside(b bendRequest) []askForm {
	var forms []askForm
	for _, kind := range []string{standing.Skipped, standing.Held} {
		if b.kept.May(kind, true) == nil && b.job.Halt(b.spot) == nil {
			forms = append(forms, formOf(kind, b))
		}
	}
	return forms
}

// AddEvent writes down what the person at the brake decided or asks for.
func (s *Section) AddEvent(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheetToAdd(r)
	if err != nil {
		return err
	}
	if err := web.PostedWithin(w, r, web.MostReading); err != nil {
		return err
	}
	event := store.Event{
		Code: kept.Traveler.Code, Kind: r.PostForm.Get("kind"), Detail: strings.TrimSpace(r.PostForm.Get("detail")), AtBrake: true,
		By: initials(cmp.Or(r.PostForm.Get("by"), web.Remembered(r, InitialsCookie))),
	}
	if !slices.Contains(standing.Kinds(true), event.Kind) {
		if err := standing.Decides(event.Kind); err != nil {
			return err
		}
	}
	if event.Kind == standing.Skipped || event.Kind == standing.TakenUp {
		event.Piece, _ = strconv.Atoi(r.PostForm.Get("piece")) // no number is piece 0, which is refused
	}
	if err := s.Store.AddEvent(r.Context(), event); err != nil {
		return err
	}
	s.News.Tell()
	http.Redirect(w, r, sheetAddress(kept.Traveler.Code), http.StatusSeeOther)
	return nil
}
