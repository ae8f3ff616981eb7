package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// plansKept bounds the decoded snapshots held in memory.
const plansKept = 256

// clock gives the time of a change; the zero time when the store was opened by
// View, where nothing can be changed.
func (s *Store) clock() time.Time {
	if s.now == nil {
		return time.Time{}
	}
	return s.now().UTC().Truncate(time.Second)
}

// KeepTraveler keeps an issued sheet for ever and marks the sheets it replaces,
// all or nothing.
//
// It refuses with fault.Missing an unknown job or an unknown sheet to replace,
// with fault.Conflict a code or a plan that was issued before, and with
// fault.Invalid a snapshot that is not the traveler's.
func (s *Store) KeepTraveler(ctx context.Context, issued Issued) error {
	t := issued.Traveler
	decoded, err := traveler.Decode(issued.Snapshot)
	if err != nil {
		return err
	}
	if decoded.Code != t.Code || decoded.Job != t.Job || len(t.Steps) == 0 {
		return fault.New(fault.Invalid, "", "The snapshot of sheet %s is not that of its traveler.", t.Code)
	}
	if _, err := timeOf(t.IssuedAt); err != nil || t.IssuedAt == "" {
		return fault.New(fault.Invalid, "issued_at", "The time of issue must be as in 2026-05-04T09:30:00Z.")
	}
	err = s.change(ctx, func(tx *sql.Tx) error {
		if err := refuseIssued(ctx, tx, t); err != nil {
			return err
		}
		if err := insertTraveler(ctx, tx, issued); err != nil {
			return err
		}
		if err := insertBasis(ctx, tx, issued); err != nil {
			return err
		}
		for _, old := range issued.Supersedes {
			superseded := Event{Code: old, Kind: standing.Replaced, Detail: traveler.TidyCode(t.Code), By: t.IssuedBy, At: s.clock()}
			if err := insertEvent(ctx, tx, superseded); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil {
		s.keepPlan(traveler.TidyCode(t.Code), decoded) // a sheet is used soon after it is issued
	}
	return err
}

func refuseIssued(ctx context.Context, tx *sql.Tx, t *traveler.Traveler) error {
	var jobs, sheets int
	err := tx.QueryRowContext(ctx, `
		SELECT (SELECT count(*) FROM job WHERE number = ?), (SELECT count(*) FROM traveler WHERE code = ?)`,
		t.Job, traveler.TidyCode(t.Code)).Scan(&jobs, &sheets)
	switch {
	case err != nil:
		return err
	case jobs == 0:
		return fault.New(fault.Missing, "job", "There is no job %s. Make the job first.", t.Job)
	case sheets > 0:
		return fault.New(fault.Conflict, "code", "Sheet %s was issued before. A new sheet needs a new code.", t.Code)
	}
	return nil
}

func insertTraveler(ctx context.Context, tx *sql.Tx, issued Issued) error {
	t := issued.Traveler
	_, err := tx.ExecContext(ctx, `
		INSERT INTO traveler (code, digest, job, part, revision, brake, quantity, steps, snapshot, pdf, issued_at)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		traveler.TidyCode(t.Code), traveler.Digest(issued.Snapshot), t.Job, t.Part.Number, t.Part.Revision, t.Brake.Name,
		t.Quantity, len(t.Steps), issued.Snapshot, issued.PDF, t.IssuedAt)
	return err
}

// TravelerByCode finds a sheet by its code, whatever its case and grouping;
// fault.Missing when there is none. The Traveler is shared: it must not be
// changed.
func (s *Store) TravelerByCode(ctx context.Context, code string) (Kept, error) {
	return s.standingNow(ctx, s.read, traveler.TidyCode(code))
}

// standingNow gives a sheet as it stands, from memory if nothing was changed
// since it was read.
func (s *Store) standingNow(ctx context.Context, q queryer, code string) (Kept, error) {
	changes := s.changes.Load()
	if k, known := s.keptSince(code, changes); known {
		return k, nil
	}
	k, err := s.kept(ctx, q, code)
	if err == nil {
		s.keep(code, keptAt{k, changes})
	}
	return k, err
}

// keep holds a sheet in memory, unless other programs may change it.
func (s *Store) keep(code string, k keptAt) {
	if s.write == nil {
		return
	}
	s.plansLock.Lock()
	defer s.plansLock.Unlock()
	if len(s.kepts) >= plansKept || s.kepts == nil {
		s.kepts = make(map[string]keptAt)
	}
	s.kepts[code] = k
}

// keptAt is a sheet as it stood after so many changes of the store.
type keptAt struct {
	kept    Kept
	changes int64
}

// keptSince gives a sheet from memory if nothing was changed since it was read.
func (s *Store) keptSince(code string, changes int64) (Kept, bool) {
	s.plansLock.Lock()
	defer s.plansLock.Unlock()
	k, known := s.kepts[code]
	return k.kept, known && k.changes == changes
}

func (s *Store) kept(ctx context.Context, q queryer, code string) (Kept, error) {
	var k Kept
	err := q.QueryRowContext(ctx, `SELECT digest FROM traveler WHERE code = ?`, code).Scan(&k.Digest)
	if errors.Is(err, sql.ErrNoRows) {
		return k, unknownSheet(code)
	}
	if err != nil {
		return k, worded(err)
	}
	if k.Traveler, err = s.plan(ctx, q, code); err != nil {
		return k, err
	}
	k.Standing, err = standingOf(ctx, q, code)
	return k, err
}

func unknownSheet(code string) error {
	return fault.New(fault.Missing, "code", "There is no sheet with the code %.40s.", code)
}

// plan gives the decoded snapshot of a sheet. It never changes, so that it is
// decoded once and kept in memory.
func (s *Store) plan(ctx context.Context, q queryer, code string) (*traveler.Traveler, error) {
	s.plansLock.Lock()
	t := s.plans[code]
	s.plansLock.Unlock()
	if t != nil {
		return t, nil
	}
	kept := sheet{code: code}
	err := q.QueryRowContext(ctx, `SELECT digest, job, snapshot FROM traveler WHERE code = ?`, code).
		Scan(&kept.digest, &kept.job, &kept.snapshot)
	if err != nil {
		return nil, worded(err)
	}
	t, what := kept.plan()
	if what != "" {
		return nil, unproven("sheet " + code + ": " + what)
	}
	s.keepPlan(code, t)
	return t, nil
}

func (s *Store) keepPlan(code string, t *traveler.Traveler) {
	s.plansLock.Lock()
	defer s.plansLock.Unlock()
	if len(s.plans) >= plansKept {
		clear(s.plans)
	}
	s.plans[code] = t
}

var pdfAt = sealedSheets.at("pdf")

// SheetPDF gives the printed sheet as issued: the same bytes every time. One that
// is damaged is refused with Damaged.
func (s *Store) SheetPDF(ctx context.Context, code string) ([]byte, error) {
	row, err := sealedSheets.proven(ctx, s.read, `code = ?`, traveler.TidyCode(code))
	if errors.Is(err, sql.ErrNoRows) {
		return nil, unknownSheet(code)
	}
	if err != nil {
		return nil, worded(err)
	}
	return row[pdfAt].([]byte), nil
}

// Progress gives a sheet with everything logged against it, as package progress
// works on it.
func (s *Store) Progress(ctx context.Context, code string) (progress.Job, error) {
	k, err := s.TravelerByCode(ctx, code)
	if err != nil {
		return progress.Job{}, err
	}
	readings, err := readingsOf(ctx, s.read, traveler.TidyCode(code))
	job := k.job(progress.Job{Readings: readings})
	if s.stops != nil && err == nil {
		job.Stops = s.stops.Newest(k.Traveler)
	}
	return job, err
}

// GoBy sets what tells where to stop the leaf. It is to be called before the
// store is used.
func (s *Store) GoBy(stops Stops) { s.stops = stops }

// Changes counts what was changed since the store was opened, readings left out:
// while it stays, so does all that is kept beside them.
func (s *Store) Changes() int64 { return s.changes.Load() }

// job is a job with its readings as the sheet now stands.
func (k Kept) job(logged progress.Job) progress.Job {
	logged.Traveler, logged.Standing = k.Traveler, k.Standing
	return logged
}

// AddEvent keeps what happened to a traveler; At is set by the store.
//
// It refuses with fault.Missing an unknown traveler, also one that is said to
// replace it, and what Standing.Admit refuses.
func (s *Store) AddEvent(ctx context.Context, e Event) error {
	e.At = s.clock()
	return s.change(ctx, func(tx *sql.Tx) error { return insertEvent(ctx, tx, e) })
}

func insertEvent(ctx context.Context, tx *sql.Tx, e Event) error {
	e.Code = traveler.TidyCode(e.Code)
	now, err := standingOf(ctx, tx, e.Code)
	if err != nil {
		return err
	}
	if e.Kind == standing.Replaced {
		e.Detail = traveler.TidyCode(e.Detail)
	}
	if err := now.Admit(e); err != nil {
		return err
	}
	if e.Kind == standing.Replaced {
		if _, err := standingOf(ctx, tx, e.Detail); err != nil {
			return err
		}
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO traveler_event (code, kind, piece, detail, by_whom, at_brake, at) VALUES (?, ?, ?, ?, ?, ?, ?)`,
		e.Code, e.Kind, e.Piece, e.Detail, e.By, e.AtBrake, stamp(e.At))
	return err
}

// standingOf gives the standing of a traveler; fault.Missing when there is none
// with that code.
func standingOf(ctx context.Context, q queryer, code string) (Standing, error) {
	var quantity int
	err := q.QueryRowContext(ctx, `SELECT quantity FROM traveler WHERE code = ?`, code).Scan(&quantity)
	if errors.Is(err, sql.ErrNoRows) {
		return Standing{}, unknownSheet(code)
	}
	if err != nil {
		return Standing{}, worded(err)
	}
	events, err := eventsOf(ctx, q, code)
	return standing.Fold(quantity, events), err
}

// Events lists what has happened to a sheet, oldest first.
func (s *Store) Events(ctx context.Context, code string) ([]Event, error) {
	return eventsOf(ctx, s.read, traveler.TidyCode(code))
}

func eventsOf(ctx context.Context, q queryer, code string) ([]Event, error) {
	rows, err := q.QueryContext(ctx, `
		SELECT code, kind, piece, detail, by_whom, at_brake, at FROM traveler_event WHERE code = +? ORDER BY seq`, code)
	return all(rows, err, scanEvent)
}

func scanEvent(rows *sql.Rows) (Event, error) {
	var e Event
	var at string
	err := rows.Scan(&e.Code, &e.Kind, &e.Piece, &e.Detail, &e.By, &e.AtBrake, &at)
	if err != nil {
		return e, err
	}
	e.At, err = timeOf(at)
	return e, err
}
