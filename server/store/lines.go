package store

import (
	"context"
	"database/sql"
	"slices"
	"sync"

	"brakeside/traveler/standing"
)

// shelfOfLines holds the list of sheets as it was read last, so that not all
// readings are added up for every page. A sheet that something happened to is
// read again as a whole. What is listed never changes: what is new makes a new
// list.
type shelfOfLines struct {
	lock   sync.Mutex
	read   marks
	lines  []Line         // newest first
	places map[string]int // of a line, by code
}

// Travelers lists all sheets with how far they are, newest first. The list is
// shared: it must not be changed.
func (s *Store) Travelers(ctx context.Context) ([]Line, error) {
	l := &s.lines
	l.lock.Lock()
	defer l.lock.Unlock()
	now, err := s.marksNow(ctx)
	if err != nil {
		return nil, err
	}
	if now == l.read {
		return l.lines, nil
	}
	after := l.read
	if after.sheet == 0 {
		after.reading, after.event, after.detail = now.reading, now.event, now.detail // every sheet is new
	}
	changed, err := s.linesAfter(ctx, after)
	if err != nil {
		return nil, err
	}
	l.enter(changed)
	l.read = now
	return l.lines, nil
}

// enter puts changed lines in the place of what was, and new ones, which come
// newest first, before them.
func (l *shelfOfLines) enter(changed []Line) {
	lines := slices.Clone(l.lines)
	var added []Line
	for _, line := range changed {
		if at, known := l.places[line.Code]; known {
			lines[at] = line
		} else {
			added = append(added, line)
		}
	}
	l.lines = append(added, lines...)
	if len(added) == 0 {
		return
	}
	slices.SortStableFunc(l.lines, func(a, b Line) int { return b.IssuedAt.Compare(a.IssuedAt) })
	l.places = make(map[string]int, len(l.lines))
	for at, line := range l.lines {
		l.places[line.Code] = at
	}
}

// touched are the sheets to which something happened after the marks ?1 to ?4.
const touched = `
	WITH touched (code) AS (
	  SELECT code FROM reading WHERE seq > ?1 UNION
	  SELECT code FROM traveler WHERE rowid > ?2 UNION
	  SELECT code FROM traveler_event WHERE seq > ?3 UNION
	  SELECT t.code FROM job_detail d JOIN traveler t ON t.job = d.job WHERE d.seq > ?4
	)`

// linesAfter reads the lines of the sheets to which something happened, newest
// first.
func (s *Store) linesAfter(ctx context.Context, after marks) ([]Line, error) {
	events, err := s.eventsByCode(ctx, after)
	if err != nil {
		return nil, err
	}
	pieces, err := s.piecesByCode(ctx, after)
	if err != nil {
		return nil, err
	}
	rows, err := s.read.QueryContext(ctx, touched+`
		SELECT t.code, t.job, t.part, t.revision, t.brake, t.quantity, t.steps, t.issued_at,
		       coalesce(d.due, j.due), coalesce(d.customer, ''), coalesce(d.note, ''), coalesce(d.turn, 0),
		       f.title, f.material, f.thickness, f.minutes,
		       (SELECT count(*) FROM sheet_reading l WHERE l.sheet = s.number),
		       coalesce((SELECT r.received FROM reading r
		                 WHERE r.seq = (SELECT max(l.reading) FROM sheet_reading l WHERE l.sheet = s.number)), '')
		FROM touched CROSS JOIN traveler t ON t.code = touched.code
		JOIN sheet s ON s.code = t.code
		JOIN job j ON j.number = t.job
		LEFT JOIN job_detail d ON d.seq = (SELECT max(seq) FROM job_detail WHERE job = t.job)
		JOIN sheet_fact f ON f.number = s.number
		ORDER BY t.issued_at DESC, s.number DESC`, after.values()...)
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
	err := rows.Scan(&l.Code, &l.Job, &l.Part, &l.Revision, &l.Brake, &quantity, &l.Steps, &issued,
		&l.Due, &l.Customer, &l.Note, &l.Turn, &l.Title, &l.Material, &l.Thickness, &l.Minutes, &l.Readings, &last)
	if err != nil {
		return l, err
	}
	l.Standing = standing.Fold(quantity, events[l.Code])
	if l.IssuedAt, err = timeOf(issued); err != nil {
		return l, err
	}
	l.LastReading, err = timeOf(last)
	return l, err
}

// loggedPiece is what was logged of one piece.
type loggedPiece struct {
	piece, bends int
	scrapped     bool
	measured     int // readings that were not taken after rework
	good         int // of these, those in tolerance
}

// count fills in how far a sheet is from what was logged of its pieces.
func (l *Line) count(pieces []loggedPiece) {
	scrapped, bends := make(map[int]bool), make(map[int]int)
	for _, p := range pieces {
		bends[p.piece] = p.bends
		if p.scrapped {
			scrapped[p.piece] = true
		}
		l.Measured, l.InTolerance = l.Measured+p.measured, l.InTolerance+p.good
	}
	l.Scrapped = len(scrapped)
	for _, piece := range standing.Sample(l.Quantity, l.Every, func(piece int) bool { return scrapped[piece] || l.LeftOut(piece) }) {
		l.Bends += l.Steps
		l.Done += bends[piece]
	}
}

// piecesByCode sums up the readings that count, as progress.Counted has them.
func (s *Store) piecesByCode(ctx context.Context, after marks) (map[string][]loggedPiece, error) {
	rows, err := s.read.QueryContext(ctx, touched+`
		SELECT s.code, r.piece, count(DISTINCT CASE WHEN r.state <> 'scrapped' THEN r.step END), max(r.state = 'scrapped'),
		       sum(r.state <> 'reworked'), sum(r.state <> 'reworked' AND r.in_tolerance)
		FROM touched CROSS JOIN `+ofSheet+`
		WHERE s.code = touched.code AND `+stands+`
		GROUP BY l.sheet, r.piece`, after.values()...)
	byCode := make(map[string][]loggedPiece)
	err = each(rows, err, func(rows *sql.Rows) error {
		var code string
		var p loggedPiece
		err := rows.Scan(&code, &p.piece, &p.bends, &p.scrapped, &p.measured, &p.good)
		byCode[code] = append(byCode[code], p)
		return err
	})
	return byCode, err
}

func (s *Store) eventsByCode(ctx context.Context, after marks) (map[string][]Event, error) {
	rows, err := s.read.QueryContext(ctx, touched+`
		SELECT e.code, e.kind, e.piece, e.detail, e.by_whom, e.at_brake, e.at
		FROM touched CROSS JOIN traveler_event e ON e.code = touched.code ORDER BY e.seq`, after.values()...)
	byCode := make(map[string][]Event)
	err = each(rows, err, func(rows *sql.Rows) error {
		e, err := scanEvent(rows)
		byCode[e.Code] = append(byCode[e.Code], e)
		return err
	})
	return byCode, err
}
