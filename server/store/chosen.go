package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"slices"
)

// stands is the condition that a reading counts: nothing corrects it and it
// does not only take another back.
const stands = `instr(r.flags, 'withdrawn') = 0 AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)`

// pickedReadings reads the readings of picked rows of the tally, given as a JSON
// list of code, bar and day. A day is the beginning of the time of receipt.
const pickedReadings = `
	SELECT ` + sampleColumns + `
	FROM json_each(?1) p CROSS JOIN ` + ofSheet + ` JOIN traveler t ON t.code = r.code
	WHERE s.code = p.value ->> 0 AND r.bar = p.value ->> 1 AND substr(r.received, 1, 10) = p.value ->> 2 AND `

// touched lists the rows of a choice that hold something of what is counted,
// those touched last first.
func (b *books) touched(c Choice, count func(*tallyRow) int) []*tallyRow {
	var rows []*tallyRow
	for r := range b.chosen(c) {
		if count(r) > 0 {
			rows = append(rows, r)
		}
	}
	slices.SortFunc(rows, func(a, b *tallyRow) int { return cmp.Compare(b.last, a.last) })
	return rows
}

// Chosen lists the newest readings of a choice that teach, oldest first, at most
// so many: the points of a chart.
func (s *Store) Chosen(ctx context.Context, c Choice, most int) ([]Sample, error) {
	samples, err := s.picked(ctx, c, most, looked{func(r *tallyRow) int { return r.taught }, `r.teaches = 1`})
	slices.Reverse(samples)
	return samples, err
}

// noted is the condition that something was written or ticked at the brake.
const noted = `(r.note <> '' OR instr(r.flags, 'bar-lifted') OR instr(r.flags, 'setback-opened') OR instr(r.flags, 'corner-torn'))`

// Noted lists the newest readings of a choice that stand and to which something
// was written or ticked at the brake, newest first, at most so many.
func (s *Store) Noted(ctx context.Context, c Choice, most int) ([]Sample, error) {
	newest := func(r *tallyRow) int { return max(r.noted, r.lifted, r.opened, r.torn) }
	return s.picked(ctx, c, most, looked{newest, noted})
}

// Aside lists the newest readings of a choice that stand and teach nothing:
// flagged, reworked, scrapped, or so far off that another angle was probably
// read. Newest first, at most so many.
func (s *Store) Aside(ctx context.Context, c Choice, most int) ([]Sample, error) {
	return s.picked(ctx, c, most, looked{func(r *tallyRow) int { return r.readings - r.taught }, `r.teaches = 0`})
}

// looked says what is looked for: how many of it a row of the tally holds, and
// the condition on a reading.
type looked struct {
	count func(*tallyRow) int
	where string
}

// picked reads the newest readings that are looked for, newest first. Rows are
// taken by when they were touched last until they hold enough; then once more
// with every row that was touched after the last reading found, for jobs that
// are made side by side.
func (s *Store) picked(ctx context.Context, c Choice, most int, what looked) ([]Sample, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return nil, err
	}
	rows := b.touched(c, what.count)
	enough := 0
	for held := 0; enough < len(rows) && held < most; enough++ {
		held += what.count(rows[enough])
	}
	found, err := s.readPicked(ctx, rows[:enough], most, what.where)
	if err != nil || len(found) < most {
		return found, err
	}
	oldest := found[len(found)-1].Reading.Seq
	later := 0
	for later < len(rows) && rows[later].last > oldest {
		later++
	}
	if later <= enough {
		return found, nil
	}
	return s.readPicked(ctx, rows[:later], most, what.where)
}

func (s *Store) readPicked(ctx context.Context, rows []*tallyRow, most int, where string) ([]Sample, error) {
	keys := make([][3]string, len(rows))
	for i, r := range rows {
		keys[i] = [3]string{r.code, r.bar, r.day}
	}
	list, err := json.Marshal(keys)
	if err != nil {
		return nil, err
	}
	found, err := s.read.QueryContext(ctx, pickedReadings+where+` AND `+stands+` ORDER BY r.seq DESC LIMIT ?2`, string(list), most)
	return all(found, err, scanSample)
}

// SheetsOf lists the sheets with readings within a choice, the last used first,
// at most so many.
func (s *Store) SheetsOf(ctx context.Context, c Choice, most int) ([]string, error) {
	b, err := s.booksNow(ctx)
	if err != nil {
		return nil, err
	}
	last := map[string]int64{}
	for r := range b.chosen(c) {
		if r.readings > 0 {
			last[r.code] = max(last[r.code], r.last)
		}
	}
	var codes []string
	for code := range last {
		codes = append(codes, code)
	}
	slices.SortFunc(codes, func(a, b string) int { return cmp.Compare(last[b], last[a]) })
	return codes[:min(len(codes), most)], nil
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

// logState has the corrections looked up in their index by its plus: without it the log
// is read from its end until one is found.
const logState = `
	SELECT (SELECT coalesce(max(seq), 0) FROM reading), (SELECT coalesce(max(+seq), 0) FROM reading WHERE corrects IS NOT NULL)`

// LogState looks at the log.
func (s *Store) LogState(ctx context.Context) (LogState, error) {
	var l LogState
	err := s.read.QueryRowContext(ctx, logState).Scan(&l.Last, &l.LastChanged)
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
		FROM `+ofSheet+` JOIN traveler t ON t.code = r.code
		WHERE s.code = +?1 ORDER BY l.reading`, code)
	return all(rows, err, scanSample)
}
