package store

import (
	"context"
	"database/sql"

	"brakeside/traveler/progress"
)

// Travelers lists all sheets with how far they are, newest first.
func (s *Store) Travelers(ctx context.Context) ([]Line, error) {
	events, err := s.eventsByCode(ctx)
	if err != nil {
		return nil, err
	}
	pieces, err := s.piecesByCode(ctx)
	if err != nil {
		return nil, err
	}
	rows, err := s.read.QueryContext(ctx, `
		WITH logged AS (
		  SELECT s.code, count(*) AS readings, max(l.reading) AS last
		  FROM sheet_reading l JOIN sheet s ON s.number = l.sheet GROUP BY l.sheet
		)
		SELECT t.code, t.job, t.part, t.revision, t.brake, t.quantity, t.steps, t.issued_at, j.due,
		       coalesce(l.readings, 0), coalesce(r.received, '')
		FROM traveler t
		JOIN job j ON j.number = t.job
		LEFT JOIN logged l ON l.code = t.code
		LEFT JOIN reading r ON r.seq = l.last
		ORDER BY t.issued_at DESC, t.rowid DESC`)
	return all(rows, err, func(rows *sql.Rows) (Line, error) {
		l, err := scanLine(rows, events)
		l.count(pieces[l.Code])
		return l, err
	})
}

func scanLine(rows *sql.Rows, events map[string][]Event) (Line, error) {
	var l Line
	var quantity int
	var issued, last string
	err := rows.Scan(&l.Code, &l.Job, &l.Part, &l.Revision, &l.Brake, &quantity, &l.Steps, &issued, &l.Due, &l.Readings, &last)
	if err != nil {
		return l, err
	}
	l.Standing = standing(quantity, events[l.Code])
	if l.IssuedAt, err = timeOf(issued); err != nil {
		return l, err
	}
	l.LastReading, err = timeOf(last)
	return l, err
}

// loggedPiece is what was logged of one piece.
type loggedPiece struct {
	code         string
	piece, bends int
	scrapped     bool
}

// count fills in how far a sheet is from what was logged of its pieces.
func (l *Line) count(pieces []loggedPiece) {
	scrapped, bends := make(map[int]bool), make(map[int]int)
	for _, p := range pieces {
		bends[p.piece] = p.bends
		if p.scrapped {
			scrapped[p.piece] = true
		}
	}
	l.Scrapped = len(scrapped)
	for _, piece := range progress.SamplePieces(l.Quantity, l.Every, scrapped) {
		l.Bends += l.Steps
		l.Done += bends[piece]
	}
}

// piecesByCode sums up the readings that count, as progress.Counted has them.
func (s *Store) piecesByCode(ctx context.Context) (map[string][]loggedPiece, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT code, piece, count(DISTINCT CASE WHEN state <> 'scrapped' THEN step END), max(state = 'scrapped')
		FROM reading r
		WHERE NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)
		  AND instr(flags, 'withdrawn') = 0
		GROUP BY code, piece`)
	pieces, err := all(rows, err, func(rows *sql.Rows) (loggedPiece, error) {
		var p loggedPiece
		err := rows.Scan(&p.code, &p.piece, &p.bends, &p.scrapped)
		return p, err
	})
	byCode := make(map[string][]loggedPiece)
	for _, p := range pieces {
		byCode[p.code] = append(byCode[p.code], p)
	}
	return byCode, err
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
