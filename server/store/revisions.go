package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"brakeside/calc/fault"
	"brakeside/traveler/standing"
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
	err := s.change(ctx, func(tx *sql.Tx) error { return keepVersion(ctx, tx, shelf, &r) })
	return r, err
}

// keepVersion adds a version and fills in its number.
func keepVersion(ctx context.Context, tx *sql.Tx, shelf Shelf, r *Revision) error {
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
}

// Rename keeps a draft of a part under another number or revision, in place of what
// was kept under the old ones. It refuses what Keep and DropDraft refuse, and with
// fault.Conflict a number and revision under which another part is kept.
func (s *Store) Rename(ctx context.Context, old, r Revision) (Revision, error) {
	if r.Name == "" || len(r.JSON) == 0 {
		return r, fault.New(fault.Invalid, "number", "A part is kept under a number and with its content.")
	}
	r.Created = s.clock()
	err := s.change(ctx, func(tx *sql.Tx) error {
		var there int
		err := tx.QueryRowContext(ctx, `SELECT count(*) FROM revision WHERE shelf = 'part' AND name = ? AND revision = ? AND `+inUse,
			r.Name, r.Revision).Scan(&there)
		if err != nil {
			return err
		}
		if there > 0 {
			return fault.New(fault.Conflict, "number",
				"Another part is kept as %s revision %s. Take another number, or remove that draft first.", r.Name, r.Revision)
		}
		if err := dropDraft(ctx, tx, old, stamp(r.Created)); err != nil {
			return err
		}
		return keepVersion(ctx, tx, Parts, &r)
	})
	return r, err
}

// DropDraft takes all versions of a draft out of the lists; they stay in the store.
// It refuses with fault.Conflict a revision that is or was ready, and with
// fault.Missing one that is not kept.
func (s *Store) DropDraft(ctx context.Context, r Revision) error {
	return s.change(ctx, func(tx *sql.Tx) error { return dropDraft(ctx, tx, r, stamp(s.clock())) })
}

func dropDraft(ctx context.Context, tx *sql.Tx, r Revision, at string) error {
	parts, err := partsOf(ctx, tx)
	if err != nil {
		return err
	}
	if state := parts.Of(r.Name, r.Revision); state != standing.Draft {
		return fault.New(fault.Conflict, "",
			"Revision %s of %s is %s: travelers are or were issued from it. It stays.", r.Revision, r.Name, state)
	}
	dropped, err := tx.ExecContext(ctx, `
		INSERT INTO dropped_draft (number, revision, upto, by_whom, at)
		SELECT name, revision, max(seq), 'owner', ? FROM revision WHERE shelf = 'part' AND name = ? AND revision = ? AND `+inUse+`
		GROUP BY name, revision`, at, r.Name, r.Revision)
	if err != nil {
		return err
	}
	if n, err := dropped.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, fault.New(fault.Missing, "", "There is no draft of part %s with revision %s.", r.Name, r.Revision))
	}
	return nil
}

// inUse says that a version was not dropped.
const inUse = `NOT EXISTS (SELECT 1 FROM dropped_draft d WHERE revision.shelf = 'part' AND d.number = revision.name
	AND d.revision = revision.revision AND revision.seq <= d.upto)`

// Newest lists the newest version of everything on a shelf, by name.
func (s *Store) Newest(ctx context.Context, shelf Shelf) ([]Revision, error) {
	return s.versions(ctx, `
		seq IN (SELECT max(seq) FROM revision WHERE shelf = ? AND `+inUse+` GROUP BY name) ORDER BY name`, shelfNames[shelf])
}

// Find gives the newest version kept under a name; fault.Missing when there is
// none.
func (s *Store) Find(ctx context.Context, shelf Shelf, name string) (Revision, error) {
	history, err := s.History(ctx, shelf, name)
	return newestOf(history, err, fmt.Sprintf("There is no %s %s.", shelfNames[shelf], name))
}

// History lists the versions kept under a name, newest first.
func (s *Store) History(ctx context.Context, shelf Shelf, name string) ([]Revision, error) {
	return s.versions(ctx, `shelf = ? AND name = ? AND `+inUse+` ORDER BY seq DESC`, shelfNames[shelf], name)
}

// PartRevision gives a part as last kept under one revision letter;
// fault.Missing when there is none.
func (s *Store) PartRevision(ctx context.Context, number, revision string) (Revision, error) {
	found, err := s.versions(ctx, `shelf = 'part' AND name = ? AND revision = ? AND `+inUse+` ORDER BY seq DESC LIMIT 1`, number, revision)
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
