package store

import (
	"context"
	"database/sql"
	"fmt"

	"brakeside/calc/fault"
)

// shelfNames are the words for the shelves in the database.
var shelfNames = map[Shelf]string{Parts: "part", Brakes: "brake", Materials: "material"}

// Keep adds a version to a shelf and gives it back with its number and time.
// Earlier versions stay. It refuses with fault.Invalid a version without a name
// or without content, and with fault.Conflict one of a part's revision that is or
// was ready.
func (s *Store) Keep(ctx context.Context, shelf Shelf, r Revision) (Revision, error) {
	if r.Name == "" || len(r.JSON) == 0 {
		return r, fault.New(fault.Invalid, "number", "A %s is kept under a name and with its content.", shelfNames[shelf])
	}
	r.Created = s.clock()
	err := s.change(ctx, func(tx *sql.Tx) error {
		if shelf == Parts {
			parts, err := partsOf(ctx, tx)
			if err != nil {
				return err
			}
			if err := parts.MayChange(r.Name, r.Revision); err != nil {
				return err
			}
		}
		kept, err := tx.ExecContext(ctx, `
			INSERT INTO revision (shelf, name, revision, title, json, created) VALUES (?, ?, ?, ?, ?, ?)`,
			shelfNames[shelf], r.Name, r.Revision, r.Title, r.JSON, stamp(r.Created))
		if err != nil {
			return err
		}
		r.Seq, err = kept.LastInsertId()
		return err
	})
	return r, err
}

// Newest lists the newest version of everything on a shelf, by name.
func (s *Store) Newest(ctx context.Context, shelf Shelf) ([]Revision, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, name, revision, title, json, created FROM revision
		WHERE seq IN (SELECT max(seq) FROM revision WHERE shelf = ? GROUP BY name)
		ORDER BY name`, shelfNames[shelf])
	return all(rows, err, scanRevision)
}

// Find gives the newest version kept under a name; fault.Missing when there is
// none.
func (s *Store) Find(ctx context.Context, shelf Shelf, name string) (Revision, error) {
	history, err := s.History(ctx, shelf, name)
	return newestOf(history, err, fmt.Sprintf("There is no %s %s.", shelfNames[shelf], name))
}

// History lists the versions kept under a name, newest first.
func (s *Store) History(ctx context.Context, shelf Shelf, name string) ([]Revision, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, name, revision, title, json, created FROM revision
		WHERE shelf = ? AND name = ? ORDER BY seq DESC`, shelfNames[shelf], name)
	return all(rows, err, scanRevision)
}

// PartRevision gives a part as last kept under one revision letter;
// fault.Missing when there is none.
func (s *Store) PartRevision(ctx context.Context, number, revision string) (Revision, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, name, revision, title, json, created FROM revision
		WHERE shelf = 'part' AND name = ? AND revision = ? ORDER BY seq DESC LIMIT 1`, number, revision)
	found, err := all(rows, err, scanRevision)
	return newestOf(found, err, fmt.Sprintf("There is no part %s with revision %s.", number, revision))
}

func newestOf(newestFirst []Revision, err error, missing string) (Revision, error) {
	if err != nil {
		return Revision{}, err
	}
	if len(newestFirst) == 0 {
		return Revision{}, fault.New(fault.Missing, "", "%s", missing)
	}
	return newestFirst[0], nil
}

func scanRevision(rows *sql.Rows) (Revision, error) {
	var r Revision
	var created string
	err := rows.Scan(&r.Seq, &r.Name, &r.Revision, &r.Title, &r.JSON, &created)
	if err != nil {
		return r, err
	}
	r.Created, err = timeOf(created)
	return r, err
}
