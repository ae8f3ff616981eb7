package store

import (
	"context"
	"database/sql"
	"time"

	"brakeside/calc/unit"
)

// Choice narrows a review; empty fields mean any. Days are YYYY-MM-DD, both
// ends within.
type Choice struct {
	From, To  string
	Material  string
	Thickness unit.Micron
	Bar       string
	Brake     string
	Part      string
	Job       string
}

// values are the parameters of chosenRows, in its order.
func (c Choice) values(more ...any) []any {
	to := c.To
	if to == "" {
		to = "9999"
	}
	return append([]any{c.From, to, c.Material, c.Thickness, c.Bar, c.Brake, c.Part, c.Job}, more...)
}

// chosenRows is the condition of a Choice on the rows of tally.
const chosenRows = `day BETWEEN ?1 AND ?2 AND (?3 = '' OR material = ?3) AND (?4 = 0 OR thickness = ?4) AND (?5 = '' OR bar = ?5)
	AND (?6 = '' OR brake = ?6) AND (?7 = '' OR part = ?7) AND (?8 = '' OR job = ?8)`

// Totals is what all chosen readings add up to. Only readings that stand count.
type Totals struct {
	Readings, Reworked, Scrapped, Lifted, Opened, Torn, Noted int
	Sheets                                                    int // with at least one reading
}

// Totals adds up.
func (s *Store) Totals(ctx context.Context, c Choice) (Totals, error) {
	var t Totals
	err := s.read.QueryRowContext(ctx, `
		SELECT coalesce(sum(readings), 0), coalesce(sum(reworked), 0), coalesce(sum(scrapped), 0), coalesce(sum(lifted), 0),
		       coalesce(sum(opened), 0), coalesce(sum(torn), 0), coalesce(sum(noted), 0), count(DISTINCT code)
		FROM tally WHERE readings > 0 AND `+chosenRows, c.values()...).
		Scan(&t.Readings, &t.Reworked, &t.Scrapped, &t.Lifted, &t.Opened, &t.Torn, &t.Noted, &t.Sheets)
	return t, worded(err)
}

// Cells adds up the readings that teach, one cell for each material, thickness,
// bar and brake, in that order. Worst is not known here.
func (s *Store) Cells(ctx context.Context, c Choice) ([]Cell, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT material, thickness, bar, brake, sum(taught), sum(good), sum(total), sum(squares)
		FROM tally WHERE taught > 0 AND `+chosenRows+`
		GROUP BY material, thickness, bar, brake ORDER BY material, thickness, bar, brake`, c.values()...)
	return all(rows, err, func(rows *sql.Rows) (Cell, error) {
		var cell Cell
		var sum, squares int64
		err := rows.Scan(&cell.Material, &cell.Thickness, &cell.Bar, &cell.Brake, &cell.N, &cell.InTolerance, &sum, &squares)
		cell.Mean, cell.Spread = meanAndSpread(cell.N, sum, squares)
		return cell, err
	})
}

// Span is the accuracy of a stretch of days.
type Span struct {
	Begins         string // day, YYYY-MM-DD
	N, InTolerance int
	Mean, Spread   unit.Deg // error
}

// Weeks adds up the readings that teach week by week, oldest first; a week
// begins on Monday. Weeks without readings are left out.
func (s *Store) Weeks(ctx context.Context, c Choice) ([]Span, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT date(day, '-6 days', 'weekday 1') AS week, sum(taught), sum(good), sum(total), sum(squares)
		FROM (SELECT day, sum(taught) AS taught, sum(good) AS good, sum(total) AS total, sum(squares) AS squares
		      FROM tally WHERE taught > 0 AND `+chosenRows+` GROUP BY day)
		GROUP BY week ORDER BY week`, c.values()...)
	return all(rows, err, func(rows *sql.Rows) (Span, error) {
		var x Span
		var sum, squares int64
		err := rows.Scan(&x.Begins, &x.N, &x.InTolerance, &sum, &squares)
		x.Mean, x.Spread = meanAndSpread(x.N, sum, squares)
		return x, err
	})
}

// FirstPiece is how the first piece of a sheet came out.
type FirstPiece struct {
	Code, Job, Part, Brake, Day string // Day of its first reading
	Passed                      bool   // all its bends in tolerance at the first go
	Cause                       string // as the owner sees it; empty when not said
}

// FirstPieces lists the first pieces of which every bend is logged, or one bend
// failed already, newest first.
func (s *Store) FirstPieces(ctx context.Context, c Choice) ([]FirstPiece, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT y.code, y.job, y.part, y.brake, y.day, y.bad = 0,
		       coalesce((SELECT cause FROM first_piece_cause c WHERE c.code = y.code ORDER BY c.seq DESC LIMIT 1), '')
		FROM (SELECT code, job, part, brake, min(day) AS day, sum(first) AS first, sum(first_bad) AS bad
		      FROM tally WHERE first > 0 AND `+chosenRows+` GROUP BY code) y
		JOIN traveler t ON t.code = y.code
		WHERE y.bad > 0 OR y.first >= t.steps
		ORDER BY y.day DESC, y.code`, c.values()...)
	return all(rows, err, func(rows *sql.Rows) (FirstPiece, error) {
		var f FirstPiece
		err := rows.Scan(&f.Code, &f.Job, &f.Part, &f.Brake, &f.Day, &f.Passed, &f.Cause)
		return f, err
	})
}

// Unlogged is a sheet that was printed and against which nothing was logged.
type Unlogged struct {
	Code, Job, Part, Brake string
	Quantity               int
	IssuedAt               time.Time
}

// UnloggedSheets lists the sheets issued before a time that have no reading and
// were neither closed, voided nor replaced, oldest first.
func (s *Store) UnloggedSheets(ctx context.Context, c Choice, before time.Time) ([]Unlogged, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT t.code, t.job, t.part, t.brake, t.quantity, t.issued_at
		FROM traveler t
		WHERE NOT EXISTS (SELECT 1 FROM tally y WHERE y.code = t.code AND y.readings > 0)
		  AND NOT EXISTS (SELECT 1 FROM traveler_event e WHERE e.code = t.code AND e.kind IN ('closed', 'voided', 'superseded'))
		  AND t.issued_at < ?9 AND substr(t.issued_at, 1, 10) BETWEEN ?1 AND ?2
		  AND (?3 = '' OR json_extract(t.snapshot, '$.part.material_id') = ?3) AND (?4 = 0 OR json_extract(t.snapshot, '$.part.thickness') = ?4)
		  AND (?5 = '' OR ?5 IN (SELECT json_extract(value, '$.bar') FROM json_each(t.snapshot, '$.steps')))
		  AND (?6 = '' OR t.brake = ?6) AND (?7 = '' OR t.part = ?7) AND (?8 = '' OR t.job = ?8)
		ORDER BY t.issued_at, t.code`, c.values(stamp(before))...)
	return all(rows, err, func(rows *sql.Rows) (Unlogged, error) {
		var u Unlogged
		var issued string
		err := rows.Scan(&u.Code, &u.Job, &u.Part, &u.Brake, &u.Quantity, &issued)
		if err != nil {
			return u, err
		}
		u.IssuedAt, err = timeOf(issued)
		return u, err
	})
}

// Lists are the values that can be chosen, each once, in order.
type Lists struct {
	Materials, Bars, Brakes, Parts []string
	Thicknesses                    []unit.Micron
}

// Lists gives the values of all readings, whatever is chosen.
func (s *Store) Lists(ctx context.Context) (Lists, error) {
	var l Lists
	for _, list := range []struct {
		column string
		to     *[]string
	}{{"material", &l.Materials}, {"bar", &l.Bars}, {"brake", &l.Brakes}, {"part", &l.Parts}} {
		rows, err := s.read.QueryContext(ctx, `SELECT DISTINCT `+list.column+` FROM tally ORDER BY 1`)
		if *list.to, err = all(rows, err, scanOne[string]); err != nil {
			return l, err
		}
	}
	rows, err := s.read.QueryContext(ctx, `SELECT DISTINCT thickness FROM tally ORDER BY 1`)
	l.Thicknesses, err = all(rows, err, scanOne[unit.Micron])
	return l, err
}

func scanOne[T any](rows *sql.Rows) (T, error) {
	var v T
	err := rows.Scan(&v)
	return v, err
}
