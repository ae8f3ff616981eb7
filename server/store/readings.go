package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// readingColumns are the columns of a reading in the order of scanReading.
const readingColumns = `r.seq, r.id, r.piece, r.step, r.measured, r.given_as, r.stop, r.place, r.by_whom, r.state, r.note,
	r.flags, r.leg, r.pack, r.gauged, r.setback_left, r.setback_right, r.tool, r.confirmed, r.at, coalesce(r.corrects, ''),
	r.error, r.received, r.stop_bend`

// Readings lists what was logged against a sheet, in the order it came in;
// fault.Missing for an unknown code.
func (s *Store) Readings(ctx context.Context, code string) ([]progress.Reading, error) {
	job, err := s.Progress(ctx, code)
	return job.Readings, err
}

func readingsOf(ctx context.Context, q queryer, code string) ([]progress.Reading, error) {
	rows, err := q.QueryContext(ctx, readingsQuery, code)
	return scanReadings(rows, err)
}

// ofSheet finds the readings of sheets, in their order.
const ofSheet = `sheet s CROSS JOIN sheet_reading l ON l.sheet = s.number CROSS JOIN reading r ON r.seq = l.reading`

// The plus before the code spares SQLite to prepare the statement anew for
// each: it takes a bare parameter for a hint how many rows there will be.
const readingsQuery = `SELECT ` + readingColumns + ` FROM ` + ofSheet + ` WHERE s.code = +? ORDER BY l.reading`

func scanReadings(rows *sql.Rows, err error) ([]progress.Reading, error) {
	return all(rows, err, func(rows *sql.Rows) (progress.Reading, error) { return scanReading(rows) })
}

// scanReading scans readingColumns and then whatever more is given.
func scanReading(rows *sql.Rows, more ...any) (progress.Reading, error) {
	var r progress.Reading
	var stop, leg, gauged, left, right sql.Null[int64]
	var flags string
	err := rows.Scan(append([]any{&r.Seq, &r.ID, &r.Piece, &r.Step, &r.Measured, &r.GivenAs, &stop, &r.Place, &r.By, &r.State, &r.Note,
		&flags, &leg, &r.Pack, &gauged, &left, &right, &r.Tool, &r.Confirmed, &r.At,
		&r.Corrects, &r.Error, &r.Received, &r.StopBend}, more...)...)
	r.Stop = known[unit.CentiDeg](stop)
	r.Leg, r.Thickness = known[unit.Micron](leg), known[unit.Micron](gauged)
	r.NoseSetback = [2]*unit.Micron{known[unit.Micron](left), known[unit.Micron](right)}
	if flags != "" {
		r.Flags = strings.Split(flags, ",")
	}
	return r, err
}

// known gives nil for what is not known.
func known[T ~int64](v sql.Null[int64]) *T {
	if !v.Valid {
		return nil
	}
	value := T(v.V)
	return &value
}

// orNull gives what the database keeps for a value that may not be known.
func orNull[T ~int64](v *T) any {
	if v == nil {
		return nil
	}
	return int64(*v)
}

// textOrNull gives what the database keeps for a text that may be missing.
func textOrNull(text string) any {
	if text == "" {
		return nil
	}
	return text
}

// readingKept is all that is kept of a reading beside its number.
const readingKept = `id, code, piece, step, measured, given_as, stop, place, by_whom, state, note, flags, leg, pack,
	gauged, setback_left, setback_right, tool, confirmed, at, corrects, error, received,
	material, thickness, bar, brake, target, tolerance, stop_bend, in_tolerance, teaches, body, answer`

const insertReading = `
	INSERT INTO reading (seq, ` + readingKept + `, seal)
	VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`

// fileReadings files the readings after one under the numbers of their sheets.
const fileReadings = `
	INSERT INTO sheet_reading (sheet, reading)
	SELECT s.number, r.seq FROM reading r CROSS JOIN sheet s ON s.code = r.code WHERE r.seq > ?`

// readingValues gives the values of insertReading without the seal: the reading, the context of
// the plan, what was sent and what is answered.
func readingValues(p Posted, v progress.Verdict, t *traveler.Traveler) ([]any, error) {
	r := v.Reading
	step, found := progress.StepOf(t, r.Step)
	if !found {
		return nil, fmt.Errorf("reading %s was let through for step %d, which sheet %s does not have", r.ID, r.Step, t.Code)
	}
	answer, err := v.MarshalJSON()
	if err != nil {
		return nil, fmt.Errorf("answer to reading %s: %w", r.ID, err)
	}
	return []any{r.Seq, r.ID, p.Code, r.Piece, r.Step, r.Measured, r.GivenAs, orNull(r.Stop), r.Place, r.By, r.State, r.Note,
		strings.Join(r.Flags, ","), orNull(r.Leg), r.Pack, orNull(r.Thickness), orNull(r.NoseSetback[0]), orNull(r.NoseSetback[1]),
		r.Tool, r.Confirmed, r.At, textOrNull(r.Corrects), r.Error, r.Received,
		t.Part.MaterialID, t.Part.Thickness, step.Bar, t.Brake.Name, step.Target, step.Tolerance,
		progress.StopUsed(t, r), v.InTolerance, r.Teaches(), p.Body, answer}, nil
}
