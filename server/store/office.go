package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Version gives one kept version by its number; fault.Missing when there is
// none on that shelf.
func (s *Store) Version(ctx context.Context, shelf Shelf, seq int64) (Revision, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, name, revision, title, json, created FROM revision WHERE shelf = ? AND seq = ?`, shelfNames[shelf], seq)
	found, err := all(rows, err, scanRevision)
	return newestOf(found, err, fmt.Sprintf("There is no %s kept under the number %d.", shelfNames[shelf], seq))
}

// Mark is what the owner said about a part.
type Mark struct {
	Number   string
	Revision string // of MarkReady; empty for the others
	Kind     string
	By       string
	At       time.Time
}

// The kinds of Mark.
const (
	MarkReady    = "ready"    // sheets may be issued from this revision
	MarkArchived = "archived" // the part is put away
	MarkRestored = "restored" // the part is taken out again
)

// AddMark keeps a mark; At is set by the store.
func (s *Store) AddMark(ctx context.Context, m Mark) error {
	switch m.Kind {
	case MarkReady, MarkArchived, MarkRestored:
	default:
		return fault.New(fault.Invalid, "kind", "There is no such mark of a part: %.40s.", m.Kind)
	}
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO part_mark (number, revision, kind, by_whom, at) VALUES (?, ?, ?, ?, ?)`,
			m.Number, m.Revision, m.Kind, m.By, stamp(s.clock()))
		return err
	})
}

// Marks lists all marks of all parts, oldest first.
func (s *Store) Marks(ctx context.Context) ([]Mark, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT number, revision, kind, by_whom, at FROM part_mark ORDER BY seq`)
	return all(rows, err, func(rows *sql.Rows) (Mark, error) {
		var m Mark
		var at string
		err := rows.Scan(&m.Number, &m.Revision, &m.Kind, &m.By, &at)
		if err != nil {
			return m, err
		}
		m.At, err = timeOf(at)
		return m, err
	})
}

// Basis is what a sheet was made from: the numbers of the kept versions of part
// and brake, 0 where it was made from none, and why it took the place of another
// sheet.
type Basis struct {
	Part, Brake int64
	Reason      string
}

func insertBasis(ctx context.Context, tx *sql.Tx, issued Issued) error {
	b := issued.Basis
	_, err := tx.ExecContext(ctx, `INSERT INTO traveler_basis (code, part, brake, reason) VALUES (?, ?, ?, ?)`,
		traveler.TidyCode(issued.Traveler.Code), b.Part, b.Brake, b.Reason)
	return err
}

// Basis gives what a sheet was made from; the zero Basis where nothing is known.
func (s *Store) Basis(ctx context.Context, code string) (Basis, error) {
	var b Basis
	err := s.read.QueryRowContext(ctx, `SELECT part, brake, reason FROM traveler_basis WHERE code = ?`, traveler.TidyCode(code)).
		Scan(&b.Part, &b.Brake, &b.Reason)
	if errors.Is(err, sql.ErrNoRows) {
		return b, nil
	}
	return b, worded(err)
}

// Pack is one pack of sheet in the rack.
type Pack struct {
	Name      string
	Material  string      // id
	Thickness unit.Micron // as ordered
	Measured  unit.Micron // 0 when nobody measured it
	Heat      string      // heat or coil number
	Note      string
	UsedUp    bool
	At        time.Time
}

// KeepPack keeps a pack in place of what was kept under its name before.
func (s *Store) KeepPack(ctx context.Context, p Pack) error {
	if p.Name == "" || p.Material == "" || p.Thickness <= 0 {
		return fault.New(fault.Invalid, "name", "A pack needs a name, a material and a thickness.")
	}
	var measured *unit.Micron
	if p.Measured > 0 {
		measured = &p.Measured
	}
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			INSERT INTO pack (name, material, thickness, measured, heat, note, used_up, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
			p.Name, p.Material, p.Thickness, measured, p.Heat, p.Note, p.UsedUp, stamp(s.clock()))
		return err
	})
}

// Packs lists the packs as they stand now, by material, thickness and name.
func (s *Store) Packs(ctx context.Context) ([]Pack, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT name, material, thickness, coalesce(measured, 0), heat, note, used_up, at FROM pack
		WHERE seq IN (SELECT max(seq) FROM pack GROUP BY name)
		ORDER BY used_up, material, thickness, name`)
	return all(rows, err, func(rows *sql.Rows) (Pack, error) {
		var p Pack
		var at string
		err := rows.Scan(&p.Name, &p.Material, &p.Thickness, &p.Measured, &p.Heat, &p.Note, &p.UsedUp, &at)
		if err != nil {
			return p, err
		}
		p.At, err = timeOf(at)
		return p, err
	})
}

// Trial is one trial strip as it was measured.
type Trial struct {
	Material        string // id
	Thickness       unit.Micron
	Pack, Bar       string
	Strip           unit.Micron    // length it was cut to
	Legs            [2]unit.Micron // outside
	Angle, StopBend unit.CentiDeg  // measured, and where the leaf was stopped
	Radius          unit.Micron    // inside, as made
	By              string
	At              time.Time
}

// AddTrial keeps a trial strip; At is set by the store.
func (s *Store) AddTrial(ctx context.Context, t Trial) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			INSERT INTO trial (material, thickness, pack, bar, strip, leg_one, leg_two, angle, stop_bend, radius, by_whom, at)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			t.Material, t.Thickness, t.Pack, t.Bar, t.Strip, t.Legs[0], t.Legs[1], t.Angle, t.StopBend, t.Radius, t.By, stamp(s.clock()))
		return err
	})
}

// Trials lists all trial strips, newest first.
func (s *Store) Trials(ctx context.Context) ([]Trial, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT material, thickness, pack, bar, strip, leg_one, leg_two, angle, stop_bend, radius, by_whom, at
		FROM trial ORDER BY seq DESC`)
	return all(rows, err, func(rows *sql.Rows) (Trial, error) {
		var t Trial
		var at string
		err := rows.Scan(&t.Material, &t.Thickness, &t.Pack, &t.Bar, &t.Strip, &t.Legs[0], &t.Legs[1],
			&t.Angle, &t.StopBend, &t.Radius, &t.By, &at)
		if err != nil {
			return t, err
		}
		t.At, err = timeOf(at)
		return t, err
	})
}
