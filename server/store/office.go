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
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// Version gives one kept version by its number; fault.Missing when there is
// none on that shelf.
func (s *Store) Version(ctx context.Context, shelf Shelf, seq int64) (Revision, error) {
	found, err := s.versions(ctx, `shelf = ? AND seq = ?`, shelfNames[shelf], seq)
	return newestOf(found, err, fmt.Sprintf("There is no %s kept under the number %d.", shelfNames[shelf], seq))
}

// Mark is what was said about a part.
type Mark = standing.Mark

// The kinds of Mark.
const (
	MarkReady    = standing.Ready
	MarkArchived = standing.Archived
	MarkRestored = standing.Restored
)

// AddMark keeps a mark; At is set by the store. A revision that becomes ready is
// told to every traveler of an earlier one from which bends are still to be made:
// each then waits for a decision (see standing.AboutNewRevision).
//
// It refuses what Parts.Admit refuses.
func (s *Store) AddMark(ctx context.Context, m Mark) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		parts, err := partsOf(ctx, tx)
		if err != nil {
			return err
		}
		if err := parts.Admit(m); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO part_mark (number, revision, kind, by_whom, at) VALUES (?, ?, ?, ?, ?)`,
			m.Number, m.Revision, m.Kind, m.By, stamp(s.clock()))
		if err != nil || m.Kind != standing.Ready {
			return err
		}
		return s.tellOpen(ctx, tx, m)
	})
}

// tellOpen tells the open travelers of a part that another revision is ready.
func (s *Store) tellOpen(ctx context.Context, tx *sql.Tx, m Mark) error {
	rows, err := tx.QueryContext(ctx, `SELECT code FROM traveler WHERE part = ? AND revision <> ? ORDER BY rowid`, m.Number, m.Revision)
	codes, err := all(rows, err, func(rows *sql.Rows) (code string, err error) { return code, rows.Scan(&code) })
	if err != nil {
		return err
	}
	for _, code := range codes {
		open, err := s.unfinished(ctx, tx, code)
		if err != nil {
			return err
		}
		if !open {
			continue
		}
		told := Event{Code: code, Kind: standing.NewRevision, Detail: m.Revision, By: m.By, At: s.clock()}
		if err := insertEvent(ctx, tx, told); err != nil {
			return err
		}
	}
	return nil
}

// unfinished reports whether bends are still to be made from a traveler that none has
// replaced.
func (s *Store) unfinished(ctx context.Context, tx *sql.Tx, code string) (bool, error) {
	k, err := s.kept(ctx, tx, code)
	if err != nil || k.SupersededBy != "" || k.May(standing.NewRevision, false) != nil {
		return false, err
	}
	readings, err := readingsOf(ctx, tx, code)
	if err != nil {
		return false, err
	}
	_, more := progress.Next(k.job(progress.Job{Readings: readings}))
	return more, nil
}

// Marks lists all marks of all parts, oldest first.
func (s *Store) Marks(ctx context.Context) ([]Mark, error) { return marksOf(ctx, s.read) }

// PartStandings tells how all parts stand.
func (s *Store) PartStandings(ctx context.Context) (standing.Parts, error) {
	return partsOf(ctx, s.read)
}

func partsOf(ctx context.Context, q queryer) (standing.Parts, error) {
	marks, err := marksOf(ctx, q)
	return standing.FoldMarks(marks), err
}

func marksOf(ctx context.Context, q queryer) ([]Mark, error) {
	rows, err := q.QueryContext(ctx, `SELECT number, revision, kind, by_whom, at FROM part_mark ORDER BY seq`)
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
		return fault.New(fault.Invalid, "name", "A lot needs a name, a material and a thickness.")
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
