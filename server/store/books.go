package store

import (
	"context"
	"database/sql"
	"maps"
	"slices"
	"sync"
	"time"

	"brakeside/calc/unit"
)

// tallyRow is one row of tally: what the readings of a sheet under one bar on
// one day add up to.
type tallyRow struct {
	code, bar, day, part, job, material, brake                string
	thickness                                                 unit.Micron
	readings, taught                                          int
	good                                                      int // bends as made in tolerance, see made
	total, squares                                            int64
	first, firstBad, reworked, scrapped, lifted, opened, torn int
	noted                                                     int
	last                                                      int64 // seq of the newest reading that touched the row
}

// made is how many bends were measured as they were made, before rework: those
// that are flagged and teach nothing too.
func (r *tallyRow) made() int { return r.readings - r.reworked }

// issuedSheet is what a review needs of a sheet.
type issuedSheet struct {
	job, part, brake string
	quantity, steps  int
	issued           time.Time
}

// books is the tally and the sheets as they stand, in memory: a review of
// twenty years adds up some ten thousand rows in a few milliseconds, which the
// database would take a hundred for. Books are never changed: what is new makes
// new books.
type books struct {
	rows   []tallyRow
	places map[[3]string]int // of a row, by code, bar and day
	lists  Lists
	sheets map[string]issuedSheet
	ended  map[string]bool // closed, voided or replaced
	logged map[string]bool

	read marks

	narrowed narrowed
	waiting  func() []string // codes of the sheets that wait for a first reading
}

// narrowed is the choice asked for last and its rows: a page asks for the same
// one several times over.
type narrowed struct {
	lock   sync.Mutex
	choice Choice
	rows   []*tallyRow
}

// of gives the rows of a choice that narrows.
func (n *narrowed) of(c Choice, all []tallyRow) []*tallyRow {
	n.lock.Lock()
	defer n.lock.Unlock()
	if n.choice != c {
		n.choice, n.rows = c, nil
		for i := range all {
			if c.holds(&all[i]) {
				n.rows = append(n.rows, &all[i])
			}
		}
	}
	return n.rows
}

// shelfOfBooks holds the newest books.
type shelfOfBooks struct {
	lock   sync.Mutex
	newest *books
}

// booksNow gives the books as they stand now.
func (s *Store) booksNow(ctx context.Context) (*books, error) {
	s.books.lock.Lock()
	defer s.books.lock.Unlock()
	b := s.books.newest
	if b == nil {
		b = &books{places: map[[3]string]int{}}
	}
	now, err := s.marksNow(ctx)
	if err != nil {
		return nil, err
	}
	if b == s.books.newest && now == b.read {
		return b, nil
	}
	next, err := s.renewed(ctx, b, now)
	if err != nil {
		return nil, err
	}
	s.books.newest = next
	return next, nil
}

// renewed makes new books of old ones and of what came since, up to now.
func (s *Store) renewed(ctx context.Context, old *books, now marks) (*books, error) {
	next := &books{
		read: now, rows: slices.Clone(old.rows), places: maps.Clone(old.places),
		sheets: maps.Clone(old.sheets), ended: maps.Clone(old.ended), logged: map[string]bool{},
	}
	from := old.read.reading
	if from == 0 {
		kept, upTo, err := s.tallyUpTo(ctx)
		if err != nil {
			return nil, err
		}
		next.enter(kept)
		from = upTo
	}
	changes, err := s.folded(ctx, from, now.reading)
	if err != nil {
		return nil, err
	}
	next.enter(changes)
	next.read.reading = max(from, now.reading)
	for i := range next.rows {
		if next.rows[i].readings > 0 {
			next.logged[next.rows[i].code] = true
		}
	}
	next.lists = listsOf(next.rows)
	next.waiting = sync.OnceValue(next.unlogged)
	if err := s.readSheets(ctx, next, old.read.sheet); err != nil {
		return nil, err
	}
	return next, s.readEnds(ctx, next, old.read.event)
}

// enter adds changes to the rows.
func (b *books) enter(changes []tallyRow) {
	for _, c := range changes {
		k := [3]string{c.code, c.bar, c.day}
		if i, known := b.places[k]; known {
			b.rows[i].add(c)
			continue
		}
		b.places[k] = len(b.rows)
		b.rows = append(b.rows, c)
	}
}

func (s *Store) readSheets(ctx context.Context, b *books, after int64) error {
	if b.sheets == nil {
		b.sheets = map[string]issuedSheet{}
	}
	rows, err := s.read.QueryContext(ctx, `SELECT code, job, part, brake, quantity, steps, issued_at FROM traveler WHERE rowid > ?`, after)
	err = each(rows, err, func(rows *sql.Rows) error {
		var code, issued string
		var sheet issuedSheet
		err := rows.Scan(&code, &sheet.job, &sheet.part, &sheet.brake, &sheet.quantity, &sheet.steps, &issued)
		if err == nil {
			sheet.issued, err = timeOf(issued)
		}
		b.sheets[code] = sheet
		return err
	})
	return err
}

func (s *Store) readEnds(ctx context.Context, b *books, after int64) error {
	if b.ended == nil {
		b.ended = map[string]bool{}
	}
	rows, err := s.read.QueryContext(ctx, `
		SELECT code, kind = 'reopened' FROM traveler_event WHERE seq > ? AND kind IN ('closed', 'voided', 'superseded', 'reopened')
		ORDER BY seq`, after)
	return each(rows, err, func(rows *sql.Rows) error {
		var code string
		var again bool
		err := rows.Scan(&code, &again)
		b.ended[code] = !again
		return err
	})
}

// unlogged lists the codes of the sheets that wait for a first reading.
func (b *books) unlogged() []string {
	var out []string
	for code := range b.sheets {
		if !b.logged[code] && !b.ended[code] {
			out = append(out, code)
		}
	}
	slices.Sort(out)
	return out
}
