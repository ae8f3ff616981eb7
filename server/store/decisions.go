package store

import (
	"context"
	"database/sql"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
	"brakeside/traveler"
)

// The kinds of Decision.
const (
	DecisionAccepted = "accepted" // as proposed
	DecisionEdited   = "edited"   // with another springback than proposed
	DecisionRefused  = "refused"
	DecisionReturned = "returned" // to what was printed before
)

// CellKey names what a stop is learned for.
type CellKey struct {
	Material          string // id
	Thickness, Radius unit.Micron
	Brake, Bar        string
}

// Printed is the springback that sheets are printed with: what the brake's zero
// adds at every angle, and what the metal springs back at 90 degrees, in
// proportion at others.
type Printed struct{ Zero, At90, Spread unit.CentiDeg }

// Decision is what the owner decided about the stop of a cell.
type Decision struct {
	Seq     int64
	Kind    string
	Cell    CellKey
	Angle   unit.CentiDeg // bend angle it was looked at for
	Was     unit.CentiDeg // springback printed before, at that angle
	Offered unit.CentiDeg // proposed, at that angle
	Printed *Printed      // from now on; nil: as before a refusal, or practice after a return
	N       int           // readings behind the proposal
	Words   string        // printed beside the stop
	UpTo    int64         // seq of the last reading considered
	By      string
	At      time.Time
}

// AddDecision keeps a decision; Seq and At are set by the store.
func (s *Store) AddDecision(ctx context.Context, d Decision) error {
	if (d.Kind == DecisionAccepted || d.Kind == DecisionEdited) && d.Printed == nil {
		return fault.New(fault.Invalid, "springback", "A change of the stop needs the figure to print.")
	}
	now := stamp(s.clock())
	return s.change(ctx, func(tx *sql.Tx) error { return insertDecision(ctx, tx, d, now) })
}

func insertDecision(ctx context.Context, tx *sql.Tx, d Decision, at string) error {
	var zero, at90, spread *unit.CentiDeg
	if d.Printed != nil {
		zero, at90, spread = &d.Printed.Zero, &d.Printed.At90, &d.Printed.Spread
	}
	_, err := tx.ExecContext(ctx, `
		INSERT INTO figure (kind, material, thickness, radius, brake, bar, angle, was, offered,
		                    zero, at90, spread, readings, words, upto, by_whom, at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		d.Kind, d.Cell.Material, d.Cell.Thickness, d.Cell.Radius, d.Cell.Brake, d.Cell.Bar, d.Angle, d.Was, d.Offered,
		orNull(zero), orNull(at90), orNull(spread), d.N, d.Words, d.UpTo, d.By, at)
	return err
}

// Decisions lists all decisions, oldest first.
func (s *Store) Decisions(ctx context.Context) ([]Decision, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT seq, kind, material, thickness, radius, brake, bar, angle, was, offered, zero, at90, spread, readings, words, upto, by_whom, at
		FROM figure ORDER BY seq`)
	return all(rows, err, func(rows *sql.Rows) (Decision, error) {
		var d Decision
		var zero, at90, spread sql.Null[int64]
		var at string
		c := &d.Cell
		err := rows.Scan(&d.Seq, &d.Kind, &c.Material, &c.Thickness, &c.Radius, &c.Brake, &c.Bar, &d.Angle, &d.Was, &d.Offered,
			&zero, &at90, &spread, &d.N, &d.Words, &d.UpTo, &d.By, &at)
		if err != nil {
			return d, err
		}
		if zero.Valid {
			d.Printed = &Printed{unit.CentiDeg(zero.V), unit.CentiDeg(at90.V), unit.CentiDeg(spread.V)}
		}
		d.At, err = timeOf(at)
		return d, err
	})
}

// scanAgain is how long a further scan of the same replaced sheet is the same
// scan.
const scanAgain = 10 * time.Minute

// NoteOldScan keeps that a replaced sheet was scanned.
func (s *Store) NoteOldScan(ctx context.Context, code string) error {
	now := s.clock()
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			INSERT INTO old_scan (code, at) SELECT ?1, ?2
			WHERE NOT EXISTS (SELECT 1 FROM old_scan WHERE code = ?1 AND at > ?3)`,
			traveler.TidyCode(code), stamp(now), stamp(now.Add(-scanAgain)))
		return err
	})
}

// OldScan is a replaced sheet that was scanned.
type OldScan struct {
	Code, Job, Part, Revision string
	Times                     int
	Last                      time.Time
}

// OldScans lists the replaced sheets that were scanned within a choice of days,
// brake, part and job, the latest first.
func (s *Store) OldScans(ctx context.Context, c Choice) ([]OldScan, error) {
	to := c.To
	if to == "" {
		to = "9999"
	}
	rows, err := s.read.QueryContext(ctx, `
		SELECT t.code, t.job, t.part, t.revision, count(*), max(o.at)
		FROM old_scan o CROSS JOIN traveler t ON t.code = o.code -- few scans, many sheets
		WHERE substr(o.at, 1, 10) BETWEEN ?1 AND ?2 AND (?3 = '' OR t.brake = ?3) AND (?4 = '' OR t.part = ?4) AND (?5 = '' OR t.job = ?5)
		GROUP BY t.code ORDER BY max(o.at) DESC, t.code`, c.From, to, c.Brake, c.Part, c.Job)
	return all(rows, err, func(rows *sql.Rows) (OldScan, error) {
		var o OldScan
		var last string
		err := rows.Scan(&o.Code, &o.Job, &o.Part, &o.Revision, &o.Times, &last)
		if err != nil {
			return o, err
		}
		o.Last, err = timeOf(last)
		return o, err
	})
}

// SayCause keeps why the first piece of a sheet failed.
func (s *Store) SayCause(ctx context.Context, code, cause, by string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO first_piece_cause (code, cause, by_whom, at) VALUES (?, ?, ?, ?)`,
			traveler.TidyCode(code), cause, by, stamp(s.clock()))
		return err
	})
}

// Study is one gauge study.
type Study struct {
	Seq      int64
	Tool     string
	At       time.Time
	People   []string            // in order
	Readings [][][]unit.CentiDeg // by person, bend and turn
}

// AddStudy keeps a gauge study; Seq and At are set by the store.
func (s *Store) AddStudy(ctx context.Context, study Study) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, `INSERT INTO gauge_study (tool, at) VALUES (?, ?)`, study.Tool, stamp(s.clock()))
		if err != nil {
			return err
		}
		seq, err := result.LastInsertId()
		if err != nil {
			return err
		}
		for i, person := range study.People {
			for j, turns := range study.Readings[i] {
				for k, v := range turns {
					if _, err := tx.ExecContext(ctx, `INSERT INTO gauge_reading (study, person, bend, turn, measured) VALUES (?, ?, ?, ?, ?)`,
						seq, person, j+1, k+1, v); err != nil {
						return err
					}
				}
			}
		}
		return nil
	})
}

// Studies lists the gauge studies, newest first.
func (s *Store) Studies(ctx context.Context) ([]Study, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT g.seq, g.tool, g.at, r.person, r.bend, r.turn, r.measured
		FROM gauge_study g JOIN gauge_reading r ON r.study = g.seq
		ORDER BY g.seq DESC, r.person, r.bend, r.turn`)
	if err != nil {
		return nil, worded(err)
	}
	defer rows.Close()
	var out []Study
	for rows.Next() {
		if out, err = scanStudy(rows, out); err != nil {
			return nil, worded(err)
		}
	}
	return out, worded(rows.Err())
}

// scanStudy adds a row to the study it belongs to.
func scanStudy(rows *sql.Rows, out []Study) ([]Study, error) {
	var seq int64
	var tool, at, person string
	var bend, turn int
	var measured unit.CentiDeg
	if err := rows.Scan(&seq, &tool, &at, &person, &bend, &turn, &measured); err != nil {
		return nil, err
	}
	if len(out) == 0 || out[len(out)-1].Seq != seq {
		when, err := timeOf(at)
		if err != nil {
			return nil, err
		}
		out = append(out, Study{Seq: seq, Tool: tool, At: when})
	}
	s := &out[len(out)-1]
	if n := len(s.People); n == 0 || s.People[n-1] != person {
		s.People, s.Readings = append(s.People, person), append(s.Readings, nil)
	}
	bends := &s.Readings[len(s.Readings)-1]
	if len(*bends) < bend {
		*bends = append(*bends, nil)
	}
	last := &(*bends)[len(*bends)-1]
	*last = append(*last, measured)
	return out, nil
}

// LastDecision is the number of the newest decision, 0 for none: plans made
// after another one may be others.
func (s *Store) LastDecision(ctx context.Context) (int64, error) {
	var seq int64
	err := s.read.QueryRowContext(ctx, `SELECT coalesce(max(seq), 0) FROM figure`).Scan(&seq)
	return seq, worded(err)
}
