package store

import (
	"context"
	"database/sql"
	"slices"
)

// stands is the condition that a reading counts: nothing corrects it and it
// does not only take another back.
const stands = `instr(r.flags, 'withdrawn') = 0 AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)`

// enough picks the sheets and bars with the newest readings of a choice, as many
// as hold the wanted number of readings. So a choice that few readings meet is
// answered without a look at all the others.
const enough = `
	SELECT code, bar, day FROM (
	  SELECT code, bar, day, sum(taught) OVER (ORDER BY last DESC) - taught AS before
	  FROM tally WHERE taught > 0 AND ` + chosenRows + `)
	WHERE before < ?9`

// Chosen lists the newest readings of a choice that teach, oldest first, at most
// so many: the points of a chart.
func (s *Store) Chosen(ctx context.Context, c Choice, most int) ([]Sample, error) {
	rows, err := s.read.QueryContext(ctx, `
		WITH picked AS (`+enough+`)
		SELECT `+sampleColumns+`
		FROM picked p CROSS JOIN reading r INDEXED BY reading_by_code ON r.code = p.code AND r.bar = p.bar AND substr(r.received, 1, 10) = p.day
		JOIN traveler t ON t.code = r.code
		WHERE r.teaches = 1 AND `+stands+`
		ORDER BY r.seq DESC LIMIT ?9`, c.values(most)...)
	samples, err := all(rows, err, scanSample)
	slices.Reverse(samples)
	return samples, err
}

// Noted lists the newest readings of a choice with a flag or a note that stand,
// newest first, at most so many.
func (s *Store) Noted(ctx context.Context, c Choice, most int) ([]Sample, error) {
	rows, err := s.read.QueryContext(ctx, `
		WITH picked AS (
		  SELECT code, bar, day FROM tally WHERE (noted > 0 OR lifted > 0 OR opened > 0 OR torn > 0) AND `+chosenRows+`
		  ORDER BY last DESC LIMIT ?9)
		SELECT `+sampleColumns+`
		FROM picked p CROSS JOIN reading r INDEXED BY reading_by_code ON r.code = p.code AND r.bar = p.bar AND substr(r.received, 1, 10) = p.day
		JOIN traveler t ON t.code = r.code
		WHERE (r.note <> '' OR r.flags <> '') AND `+stands+`
		ORDER BY r.seq DESC LIMIT ?9`, c.values(most)...)
	return all(rows, err, scanSample)
}

// LessonsAfter lists the readings that teach and came in after one, in their
// order, at most so many. A corrected reading is not among them.
func (s *Store) LessonsAfter(ctx context.Context, seq int64, most int) ([]Sample, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+sampleColumns+`
		FROM reading r JOIN traveler t ON t.code = r.code
		WHERE r.seq > ?1 AND r.teaches = 1 AND `+stands+`
		ORDER BY r.seq LIMIT ?2`, seq, most)
	return all(rows, err, scanSample)
}

// LogState says how far the log has come.
type LogState struct {
	Last        int64 // seq of the newest reading
	LastChanged int64 // seq of the newest that corrects another
}

// LogState looks at the log.
func (s *Store) LogState(ctx context.Context) (LogState, error) {
	var l LogState
	err := s.read.QueryRowContext(ctx, `
		SELECT (SELECT coalesce(max(seq), 0) FROM reading), (SELECT coalesce(max(seq), 0) FROM reading WHERE corrects IS NOT NULL)`).
		Scan(&l.Last, &l.LastChanged)
	return l, worded(err)
}

// LessonsFrom gives the seq after which there are about so many readings that
// teach; 0 when there are fewer.
func (s *Store) LessonsFrom(ctx context.Context, count int) (int64, error) {
	var seq int64
	err := s.read.QueryRowContext(ctx, `SELECT seq FROM reading WHERE teaches = 1 ORDER BY seq DESC LIMIT 1 OFFSET ?1`, count).Scan(&seq)
	if err == sql.ErrNoRows {
		return 0, nil
	}
	return seq, worded(err)
}

// OfSheet lists all readings of a sheet with their context, oldest first.
func (s *Store) OfSheet(ctx context.Context, code string) ([]Sample, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+sampleColumns+`
		FROM reading r JOIN traveler t ON t.code = r.code
		WHERE r.code = ?1 ORDER BY r.seq`, code)
	return all(rows, err, scanSample)
}

// Aside lists the newest readings of a choice that stand and teach nothing:
// flagged, reworked, scrapped, or so far off that another angle was probably
// read. Newest first, at most so many.
func (s *Store) Aside(ctx context.Context, c Choice, most int) ([]Sample, error) {
	rows, err := s.read.QueryContext(ctx, `
		WITH picked AS (
		  SELECT code, bar, day FROM tally WHERE readings > taught AND `+chosenRows+`
		  ORDER BY last DESC LIMIT ?9)
		SELECT `+sampleColumns+`
		FROM picked p CROSS JOIN reading r INDEXED BY reading_by_code ON r.code = p.code AND r.bar = p.bar AND substr(r.received, 1, 10) = p.day
		JOIN traveler t ON t.code = r.code
		WHERE r.teaches = 0 AND `+stands+`
		ORDER BY r.seq DESC LIMIT ?9`, c.values(most)...)
	return all(rows, err, scanSample)
}

// SheetsOf lists the sheets with readings within a choice, the last used first,
// at most so many.
func (s *Store) SheetsOf(ctx context.Context, c Choice, most int) ([]string, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT code FROM tally WHERE readings > 0 AND `+chosenRows+`
		GROUP BY code ORDER BY max(last) DESC LIMIT ?9`, c.values(most)...)
	return all(rows, err, scanOne[string])
}
