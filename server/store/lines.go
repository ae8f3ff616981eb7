package store

import (
	"context"
	"database/sql"
)

// Travelers lists all sheets with how far they are, newest first.
func (s *Store) Travelers(ctx context.Context) ([]Line, error) {
	events, err := s.eventsByCode(ctx)
	if err != nil {
		return nil, err
	}
	rows, err := s.read.QueryContext(ctx, `
		WITH counted AS (
		  SELECT code, piece, step, state FROM reading r
		  WHERE NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)
		), scrapped AS (
		  SELECT DISTINCT code, piece FROM counted WHERE state = 'scrapped'
		), done AS (
		  SELECT DISTINCT code, piece, step FROM counted
		  WHERE (code, piece) NOT IN (SELECT code, piece FROM scrapped)
		), logged AS (
		  SELECT code, count(*) AS readings, max(seq) AS last FROM reading GROUP BY code
		), done_count AS (
		  SELECT code, count(*) AS bends FROM done GROUP BY code
		), scrapped_count AS (
		  SELECT code, count(*) AS pieces FROM scrapped GROUP BY code
		)
		SELECT t.code, t.job, t.part, t.revision, t.brake, t.quantity, t.steps, t.issued_at, j.due,
		       coalesce(d.bends, 0), coalesce(x.pieces, 0), coalesce(l.readings, 0), coalesce(r.received, '')
		FROM traveler t
		JOIN job j ON j.number = t.job
		LEFT JOIN done_count d ON d.code = t.code
		LEFT JOIN scrapped_count x ON x.code = t.code
		LEFT JOIN logged l ON l.code = t.code
		LEFT JOIN reading r ON r.seq = l.last
		ORDER BY t.issued_at DESC, t.rowid DESC`)
	return all(rows, err, func(rows *sql.Rows) (Line, error) { return scanLine(rows, events) })
}

func scanLine(rows *sql.Rows, events map[string][]Event) (Line, error) {
	var l Line
	var quantity int
	var issued, last string
	err := rows.Scan(&l.Code, &l.Job, &l.Part, &l.Revision, &l.Brake, &quantity, &l.Steps, &issued, &l.Due,
		&l.Done, &l.Scrapped, &l.Readings, &last)
	if err != nil {
		return l, err
	}
	l.Standing = standing(quantity, events[l.Code])
	l.Bends = l.Quantity * l.Steps
	if l.IssuedAt, err = timeOf(issued); err != nil {
		return l, err
	}
	l.LastReading, err = timeOf(last)
	return l, err
}

func (s *Store) eventsByCode(ctx context.Context) (map[string][]Event, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT code, kind, detail, by_whom, at FROM traveler_event ORDER BY seq`)
	events, err := all(rows, err, scanEvent)
	byCode := make(map[string][]Event)
	for _, e := range events {
		byCode[e.Code] = append(byCode[e.Code], e)
	}
	return byCode, err
}
