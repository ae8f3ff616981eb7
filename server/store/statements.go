package store

import (
	"context"
	"database/sql"
	"time"

	"brakeside/calc/unit"
)

// The kinds of Statement.
const (
	ScaleSet     = "scale-set"     // the scale of the brake was set again by hand
	ScaleStays   = "scale-stays"   // it stays where it has moved to
	ShowsOpening = "shows-opening" // the protractor shows the opening, which was logged as the bend angle
	ShowsBend    = "shows-bend"    // it shows the bend angle, as it was logged
	Corner       = "corner"        // it was held against a known corner
	Offcut       = "offcut"        // a step was tried on an offcut of a new pack
)

// Statement is what somebody said beside the readings.
type Statement struct {
	Seq          int64
	Kind         string
	Brake        string        // of ScaleSet and ScaleStays
	Person, Tool string        // whose readings it is about, and with what
	Corner       unit.CentiDeg // of Corner: the bend angle that it has
	Shown        unit.CentiDeg // of Corner and Offcut: what was shown, as a bend angle
	Code         string        // of Offcut: the traveler
	Step         int
	Stop         unit.CentiDeg // as a bend angle
	After        int64         // seq of the newest reading before it
	By           string
	At           time.Time
}

// Say keeps a statement together with the decisions that follow from it, all or
// none; Seq, After and At are set by the store. A statement says something of all
// readings so far.
func (s *Store) Say(ctx context.Context, x Statement, with ...Decision) error {
	now := stamp(s.clock())
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			INSERT INTO statement (kind, brake, person, tool, corner, shown, code, step, stop, after, by_whom, at)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, (SELECT coalesce(max(seq), 0) FROM reading), ?, ?)`,
			x.Kind, x.Brake, x.Person, x.Tool, x.Corner, x.Shown, x.Code, x.Step, x.Stop, x.By, now)
		for _, d := range with {
			if err == nil {
				err = insertDecision(ctx, tx, d, now)
			}
		}
		return err
	})
}

// Statements lists what was said, oldest first.
func (s *Store) Statements(ctx context.Context) ([]Statement, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, kind, brake, person, tool, corner, shown, code, step, stop, after, by_whom, at FROM statement ORDER BY seq`)
	return all(rows, err, func(rows *sql.Rows) (Statement, error) {
		var x Statement
		var at string
		err := rows.Scan(&x.Seq, &x.Kind, &x.Brake, &x.Person, &x.Tool, &x.Corner, &x.Shown, &x.Code, &x.Step, &x.Stop, &x.After, &x.By, &at)
		if err == nil {
			x.At, err = timeOf(at)
		}
		return x, err
	})
}
