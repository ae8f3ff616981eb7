package store

import (
	"context"
	"database/sql"
	"time"
)

// The subjects of a Settlement.
const (
	SubjectK       = "k"       // a K-factor
	SubjectMinutes = "minutes" // the handling minutes of a brake, as a factor on those before
)

// Settlement is what the owner decided about a figure that was proposed from
// measurements. Its kinds are those of Decision.
type Settlement struct {
	Seq           int64
	Subject, Name string // Name: of the cell of a K-factor, or of the brake
	Kind          string
	Was           float64 // gone by before
	Offered       float64 // what the measurements ask for
	Becomes       float64 // gone by from then on
	Upon          int64   // seq of the Revision it was made upon, 0 for none
	N             int     // measurements behind the proposal
	By            string
	At            time.Time
}

// Shelved is a version that a settlement makes.
type Shelved struct {
	Shelf Shelf
	Revision
}

// Settle keeps a decision together with the version that it makes, both or
// neither; a refusal makes none. Seq and At are set by the store.
func (s *Store) Settle(ctx context.Context, x Settlement, makes *Shelved) error {
	now := stamp(s.clock())
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			INSERT INTO settlement (subject, name, kind, was, offered, becomes, upon, readings, by_whom, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			x.Subject, x.Name, x.Kind, x.Was, x.Offered, x.Becomes, x.Upon, x.N, x.By, now)
		if err != nil || makes == nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `
			INSERT INTO revision (shelf, name, revision, title, json, created) VALUES (?, ?, ?, ?, ?, ?)`,
			shelfNames[makes.Shelf], makes.Name, makes.Revision.Revision, makes.Title, makes.JSON, now)
		return err
	})
}

// Settlements lists the decisions of a subject, oldest first.
func (s *Store) Settlements(ctx context.Context, subject string) ([]Settlement, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, subject, name, kind, was, offered, becomes, upon, readings, by_whom, at
		FROM settlement WHERE subject = ? ORDER BY seq`, subject)
	return all(rows, err, func(rows *sql.Rows) (Settlement, error) {
		var x Settlement
		var at string
		err := rows.Scan(&x.Seq, &x.Subject, &x.Name, &x.Kind, &x.Was, &x.Offered, &x.Becomes, &x.Upon, &x.N, &x.By, &at)
		if err != nil {
			return x, err
		}
		x.At, err = timeOf(at)
		return x, err
	})
}
