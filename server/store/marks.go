package store

import "context"

// marks say how far the log, the sheets and what the owner decided and said have come:
// the number of the newest of each, 0 for none.
type marks struct{ reading, sheet, event, detail int64 }

func (m marks) values() []any { return []any{m.reading, m.sheet, m.event, m.detail} }

// marksNow looks how far they have come.
func (s *Store) marksNow(ctx context.Context) (marks, error) {
	var m marks
	err := s.read.QueryRowContext(ctx, `
		SELECT (SELECT coalesce(max(seq), 0) FROM reading),
		       (SELECT coalesce(max(rowid), 0) FROM traveler),
		       (SELECT coalesce(max(seq), 0) FROM traveler_event),
		       (SELECT coalesce(max(seq), 0) FROM job_detail)`).
		Scan(&m.reading, &m.sheet, &m.event, &m.detail)
	return m, worded(err)
}
