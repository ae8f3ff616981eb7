package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// remadeForm is the Detail of EventRemade: the new piece, and the scrapped one
// it replaces.
const remadeForm = "%d for %d"

func remade(detail string) (piece, scrapped int, ok bool) {
	n, err := fmt.Sscanf(detail, remadeForm, &piece, &scrapped)
	return piece, scrapped, err == nil && n == 2 && detail == fmt.Sprintf(remadeForm, piece, scrapped)
}

// Remake adds a piece to a sheet in place of a scrapped one and gives its
// number, which is one past those that were to be made. A scrapped piece is
// replaced once: asking again gives the same number.
//
// It refuses with fault.Missing an unknown sheet and with fault.Conflict a piece
// that is not scrapped, and a sheet that takes no more readings, as AddReading
// does.
func (s *Store) Remake(ctx context.Context, code string, scrapped int, by string) (piece int, err error) {
	code = traveler.TidyCode(code)
	err = s.change(ctx, func(tx *sql.Tx) error {
		k, err := s.kept(ctx, tx, code)
		if err != nil {
			return err
		}
		if piece, err = replacement(ctx, tx, code, scrapped); err != nil || piece > 0 && piece <= k.Quantity {
			return err
		}
		if err := k.Standing.refuse(); err != nil {
			return err
		}
		readings, err := readingsOf(ctx, tx, code)
		if err != nil {
			return err
		}
		if !slices.Contains(progress.Scrapped(k.job(progress.Job{Readings: readings})), scrapped) {
			return fault.New(fault.Conflict, "piece", "Piece %d is not scrapped: there is nothing to make again.", scrapped)
		}
		piece = k.Quantity + 1
		return insertEvent(ctx, tx, Event{Code: code, Kind: EventRemade, Detail: fmt.Sprintf(remadeForm, piece, scrapped), By: by, At: s.clock()})
	})
	return piece, err
}

// Replacements gives, for each scrapped piece that is made again, the piece that
// replaces it.
func Replacements(events []Event) map[int]int {
	found := make(map[int]int)
	for _, e := range events {
		if piece, scrapped, ok := remade(e.Detail); ok && e.Kind == EventRemade {
			found[scrapped] = piece
		}
	}
	return found
}

func replacement(ctx context.Context, q queryer, code string, scrapped int) (int, error) {
	events, err := eventsOf(ctx, q, code)
	return Replacements(events)[scrapped], err
}
