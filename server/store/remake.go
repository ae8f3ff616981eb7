package store

import (
	"context"
	"database/sql"
	"slices"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// Remake adds a piece to a traveler in place of a scrapped one and gives its
// number, which is one past those that were to be made. A scrapped piece is
// replaced once: asking again gives the same number.
//
// It refuses with fault.Missing an unknown traveler, with fault.Conflict a piece
// that is not scrapped, and what Standing.Admit refuses.
func (s *Store) Remake(ctx context.Context, code string, scrapped int, by string) (piece int, err error) {
	code = traveler.TidyCode(code)
	err = s.change(ctx, func(tx *sql.Tx) error {
		k, err := s.kept(ctx, tx, code)
		if err != nil {
			return err
		}
		if piece = k.Replacement(scrapped); piece > 0 {
			return nil
		}
		readings, err := readingsOf(ctx, tx, code)
		if err != nil {
			return err
		}
		if !slices.Contains(progress.Scrapped(k.job(progress.Job{Readings: readings})), scrapped) {
			return fault.New(fault.Conflict, "piece", "Piece %d is not scrapped: there is nothing to make again.", scrapped)
		}
		piece = k.Quantity + 1
		again := standing.Replacement{Piece: piece, For: scrapped}
		return insertEvent(ctx, tx, Event{Code: code, Kind: standing.Remade, Detail: again.Detail(), By: by, AtBrake: true, At: s.clock()})
	})
	return piece, err
}

// Replacements gives, for each scrapped piece that is made again, the piece that
// replaces it.
func Replacements(events []Event) map[int]int {
	found := make(map[int]int)
	for _, r := range standing.Fold(0, events).Remade {
		found[r.For] = r.Piece
	}
	return found
}
