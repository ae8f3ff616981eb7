package operator

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

// refuseSpot refuses a bend that the sheet does not have.
func refuseSpot(kept store.Kept, spot progress.Spot) error {
	quantity := kept.Pieces()
	if _, found := progress.StepOf(kept.Traveler, spot.Step); !found {
		return fault.New(fault.Invalid, "step", "This sheet has no step %d; it has %d.", spot.Step, len(kept.Traveler.Steps))
	}
	if spot.Piece < 1 || spot.Piece > quantity {
		return fault.New(fault.Invalid, "piece", "There is no piece %d: %d are to be made.", spot.Piece, quantity)
	}
	return nil
}

// lossView is a scrapped piece: what takes its place, or that one can be made.
type lossView struct {
	Piece int
	Again int    // the piece that replaces it, 0 if none yet
	Go    string // address of its first bend
}

// losses lists the scrapped pieces of a job.
func (s *Section) losses(r *http.Request, kept store.Kept, job progress.Job) ([]lossView, error) {
	scrapped := progress.Scrapped(job)
	if len(scrapped) == 0 {
		return nil, nil
	}
	events, err := s.Store.Events(r.Context(), kept.Traveler.Code)
	if err != nil {
		return nil, err
	}
	replaced := store.Replacements(events)
	var all []lossView
	for _, piece := range scrapped {
		loss := lossView{Piece: piece, Again: replaced[piece]}
		if loss.Again > kept.Pieces() {
			loss.Again = 0 // the owner has asked for fewer since
		}
		if loss.Again > 0 {
			loss.Go = spotAddress(kept.Traveler.Code, progress.Spot{Piece: loss.Again, Step: kept.Traveler.Steps[0].Number})
		}
		all = append(all, loss)
	}
	return all, nil
}

// RemakePiece adds a piece in place of a scrapped one.
func (s *Section) RemakePiece(w http.ResponseWriter, r *http.Request) error {
	kept, err := s.sheetToAdd(r)
	if err != nil {
		return err
	}
	if err := web.PostedWithin(w, r, 1<<10); err != nil {
		return err
	}
	scrapped, err := strconv.Atoi(r.PostForm.Get("instead_of"))
	if err != nil {
		return fault.New(fault.Invalid, "instead_of", "Say by its number which scrapped piece is made again.")
	}
	by := initials(cmp.Or(r.PostForm.Get("by"), web.Remembered(r, InitialsCookie)))
	piece, err := s.Store.Remake(r.Context(), kept.Traveler.Code, scrapped, by)
	if err != nil {
		return err
	}
	s.News.Tell()
	if web.WantsJSON(r) {
		return s.ShowJSON(w, http.StatusCreated, progress.Spot{Piece: piece, Step: kept.Traveler.Steps[0].Number})
	}
	http.Redirect(w, r, sheetAddress(kept.Traveler.Code), http.StatusSeeOther)
	return nil
}

// sampling words which pieces are measured, and what is bent without being
// measured before this one; nothing when every piece is measured.
func sampling(job progress.Job, piece int) string {
	if job.Every < 2 {
		return ""
	}
	words := fmt.Sprintf("Measured are the first piece, one in %d, and the last.", job.Every)
	sample := progress.Sample(job)
	at, found := slices.BinarySearch(sample, piece)
	if !found {
		return words + fmt.Sprintf(" Piece %d need not be measured.", piece)
	}
	if at == 0 {
		return words
	}
	return words + between(sample[at-1]+1, piece-1)
}

func between(from, to int) string {
	switch {
	case from > to:
		return ""
	case from == to:
		return fmt.Sprintf(" Bend piece %d too, without logging it.", from)
	}
	return fmt.Sprintf(" Bend pieces %d to %d too, without logging them.", from, to)
}

// pieceList names pieces: 1, 10, 20 and 25.
func pieceList(pieces []int) string {
	var words []string
	for _, p := range pieces {
		words = append(words, strconv.Itoa(p))
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
