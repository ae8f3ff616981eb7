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
	return s.versions(ctx, `seq IN (SELECT max(seq) FROM revision WHERE shelf = ? GROUP BY name) ORDER BY name`, shelfNames[shelf])
}

// Find gives the newest version kept under a name; fault.Missing when there is
// none.
func (s *Store) Find(ctx context.Context, shelf Shelf, name string) (Revision, error) {
	history, err := s.History(ctx, shelf, name)
	return newestOf(history, err, fmt.Sprintf("There is no %s %s.", shelfNames[shelf], name))
}

// History lists the versions kept under a name, newest first.
func (s *Store) History(ctx context.Context, shelf Shelf, name string) ([]Revision, error) {
	return s.versions(ctx, `shelf = ? AND name = ? ORDER BY seq DESC`, shelfNames[shelf], name)
}

// PartRevision gives a part as last kept under one revision letter;
// fault.Missing when there is none.
func (s *Store) PartRevision(ctx context.Context, number, revision string) (Revision, error) {
	found, err := s.versions(ctx, `shelf = 'part' AND name = ? AND revision = ? ORDER BY seq DESC LIMIT 1`, number, revision)
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

// versions gives the versions that a condition finds, each held to its seal.
func (s *Store) versions(ctx context.Context, where string, values ...any) ([]Revision, error) {
	found, err := sealedVersions.provenAll(ctx, s.read, where, values...)
	if err != nil {
		return nil, worded(err)
	}
	var out []Revision
	for _, row := range found {
		r, err := revisionOf(row)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// revisionOf reads a row of sealedVersions.
func revisionOf(row []any) (Revision, error) {
	r := Revision{Seq: row[0].(int64), Name: row[2].(string), Revision: row[3].(string), Title: row[4].(string), JSON: row[5].([]byte)}
	var err error
	r.Created, err = timeOf(row[6].(string))
	return r, err
}
