package lessons

import (
	"context"
	"math"
	"reflect"
	"sync"
	"time"

	"brakeside/calc/figures"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler"
)

// mostLessons is how many of the newest readings the book goes by: in a shop of
// a hundred bends a day most of a year.
const mostLessons = 20_000

// atOnce is how many readings are read at once, and atATime how many while others
// may wait.
const (
	atOnce  = 2000
	atATime = 25
	leisure = 5 * time.Millisecond // between two times, so that those who log have the machine
)

// Book is what the log has taught so far. It looks at the log when it is asked
// and takes in what is new; several may ask at once.
type Book struct {
	from    *store.Store
	figures Figures

	lock   sync.Mutex
	kept   kept // what the store holds beside the log, as last read
	model  *learn.Model
	seen   store.LogState // as far as the model knows
	begun  basics         // what it began with
	heard  int            // statements taken in
	taken  []int64        // seq of each reading taken in
	cells  map[store.CellKey]*cell
	order  []store.CellKey // as first seen
	alarms []Alarm
	quiet  map[string]int // by brake: so many alarms that were answered
}

// cell is what is known of one cell beside the model.
type cell struct {
	angles map[unit.CentiDeg]int // readings by target
	last   int64                 // seq of the newest reading
}

// usual is the angle most readings of the cell were of, the larger of equals.
func (c *cell) usual() unit.CentiDeg {
	var best unit.CentiDeg
	for angle, n := range c.angles {
		if most := c.angles[best]; n > most || n == most && angle > best {
			best = angle
		}
	}
	return best
}

// Alarm is a brake whose scale has moved, as far as its bends tell.
type Alarm struct {
	Brake    string
	More     bool     // they spring back more than expected: the bends come out too flat
	By       unit.Deg // how much the scale has moved: what the stops are to be set higher by
	Since    int64    // seq of the reading since which it seems to have moved
	Seq      int64    // of the reading that told
	Received string   // its time
}

// Open makes the book of a shop that has not looked at its log yet.
func Open(from *store.Store) *Book {
	return NewBook(from, func(ctx context.Context) (figures.Shop, error) { return FiguresOf(ctx, from) })
}

// NewBook is Open with figures from elsewhere.
func NewBook(from *store.Store, figures Figures) *Book {
	return &Book{from: from, figures: figures}
}

// Warm reads the log, so that the first who asks need not wait.
func (b *Book) Warm(ctx context.Context) error {
	return b.with(ctx, func(*desk) error { return nil })
}

// CatchUp takes in what is new a little at a time, so that others who ask
// meanwhile need not wait long. What is logged while it does waits for the next: one
// that ran after a log that grows would never end, and always be reading.
func (b *Book) CatchUp(ctx context.Context) error {
	until, err := b.from.LogState(ctx)
	for before := int64(-1); err == nil && b.upTo() < until.Last && b.upTo() != before; {
		before = b.upTo()
		err = b.look(ctx, atATime, func(*desk) error { return nil })
		time.Sleep(leisure)
	}
	return err
}

func (b *Book) upTo() int64 {
	b.lock.Lock()
	defer b.lock.Unlock()
	return b.seen.Last
}

// with brings the book up to date and looks into it.
func (b *Book) with(ctx context.Context, look func(*desk) error) error {
	return b.look(ctx, math.MaxInt, look)
}

// look takes in so many new readings at the most, and looks into the book. After
// a failure the book begins anew.
func (b *Book) look(ctx context.Context, most int, look func(*desk) error) error {
	b.lock.Lock()
	defer b.lock.Unlock()
	d, err := b.desk(ctx)
	if err != nil {
		return err
	}
	if most > 0 || b.model == nil {
		if err := b.renew(ctx, d, most); err != nil {
			b.model = nil
			return err
		}
	}
	return look(d)
}

// kept is what the store holds beside the log.
type kept struct {
	at    int64 // the store's count of changes
	desk  desk
	begun basics
	said  []store.Statement
	past  history
}

// desk gives a desk for one look, and reads anew what was changed since the last.
func (b *Book) desk(ctx context.Context) (*desk, error) {
	if at := b.from.Changes(); b.model == nil || at != b.kept.at {
		now := kept{at: at}
		d, err := newDesk(ctx, b.from, b.figures)
		if err != nil {
			return nil, err
		}
		now.desk = *d
		if now.begun, err = d.basics(); err != nil {
			return nil, err
		}
		if now.said, err = b.from.Statements(ctx); err != nil {
			return nil, err
		}
		all, err := b.from.Decisions(ctx)
		if err != nil {
			return nil, err
		}
		now.past = historyOf(all)
		b.kept = now
	}
	d := b.kept.desk
	d.ctx, d.sheets = ctx, map[string]*traveler.Traveler{}
	return &d, nil
}

// renew takes in what came since, so many readings at the most. A correction of a reading that was taken in
// cannot be undone, nor what the model began with: then everything is read again.
func (b *Book) renew(ctx context.Context, d *desk, most int) error {
	now, err := b.from.LogState(ctx)
	if err != nil {
		return err
	}
	begun, said := b.kept.begun, b.kept.said
	after, anew := b.seen.Last, b.model == nil || now.LastChanged != b.seen.LastChanged || !reflect.DeepEqual(begun, b.begun) || b.late(said)
	if anew {
		most = math.MaxInt
		b.begin(begun)
		if after, err = b.from.LessonsFrom(ctx, mostLessons); err != nil {
			return err
		}
	}
	for more := anew || now != b.seen; more; {
		count := min(atOnce, most)
		lessons, err := b.from.LessonsAfter(ctx, after, count)
		if err != nil {
			return err
		}
		for _, x := range lessons {
			b.hear(d, said, x.Reading.Seq)
			if err := b.take(d, x); err != nil {
				return err
			}
			after = x.Reading.Seq
		}
		more, most = len(lessons) == count, most-len(lessons)
		if more && most == 0 {
			b.seen = store.LogState{Last: after, LastChanged: now.LastChanged}
			return nil
		}
	}
	b.seen = now
	b.seen.Last = max(now.Last, after)
	b.hear(d, said, math.MaxInt64)
	return nil
}

// late reports whether a statement is new that belongs before readings which were
// taken in already.
func (b *Book) late(said []store.Statement) bool {
	for _, x := range said[min(b.heard, len(said)):] {
		if n := len(b.taken); n > 0 && x.After < b.taken[n-1] {
			return true
		}
	}
	return false
}

// hear takes in the statements that came before a reading.
func (b *Book) hear(d *desk, said []store.Statement, before int64) {
	for b.heard < len(said) && said[b.heard].After < before {
		x := said[b.heard]
		switch who := (learn.Reader{Person: x.Person, Tool: x.Tool}); x.Kind {
		case store.ScaleSet:
			b.model.PutRight(x.Brake)
			b.quiet[x.Brake] = len(b.alarms)
		case store.ScaleStays:
			b.model.LeftAsItIs(x.Brake)
			b.quiet[x.Brake] = len(b.alarms)
		case store.ShowsOpening, store.ShowsBend:
			b.model.Answered(who, x.Kind == store.ShowsOpening)
		case store.Corner:
			b.model.Corner(who, (x.Shown - x.Corner).Deg())
		case store.Offcut:
			if r, known := d.offcut(x); known {
				b.model.Observe(r)
			}
		}
		b.heard++
	}
}

// begin forgets the log.
func (b *Book) begin(with basics) {
	b.model, b.begun, b.heard, b.taken = learn.New(learn.Usual), with, 0, nil
	b.cells, b.order, b.alarms, b.quiet = map[store.CellKey]*cell{}, nil, nil, map[string]int{}
	for _, s := range with.studies {
		b.model.Studied(s.tool, s.result)
	}
}

// take learns from one reading; a trial strip of its cell comes before the first.
func (b *Book) take(d *desk, x store.Sample) error {
	r, key, known, err := d.reading(x)
	if err != nil || !known {
		return err
	}
	if b.cells[key] == nil {
		b.cells[key] = &cell{angles: map[unit.CentiDeg]int{}}
		b.order = append(b.order, key)
		d.strip(b.model, r.Bend)
	}
	b.cells[key].angles[x.Target]++
	b.cells[key].last = x.Reading.Seq
	b.taken = append(b.taken, x.Reading.Seq)
	if s := b.model.Observe(r); s.Moved != 0 {
		since := b.taken[max(0, len(b.taken)-1-s.Ago)]
		b.alarms = append(b.alarms, Alarm{x.Brake, s.Moved > 0, s.By, since, x.Reading.Seq, x.Reading.Received})
	}
	return nil
}

// about is a model that knows what this one does of some bends, with the trial
// strips of those that nothing was read of. It may be kept and observe.
func (b *Book) about(d *desk, bends ...learn.Bend) *learn.Model {
	small := b.model.For(bends...)
	for _, bend := range bends {
		if b.model.Readings(bend) == 0 {
			d.strip(small, bend)
		}
	}
	return small
}

// Next advises on the stop of a bend at an angle, of a named pack or of any.
// False when the shop does not know the material.
func (b *Book) Next(ctx context.Context, ask Ask) (a learn.Advice, known bool, err error) {
	err = b.with(ctx, func(d *desk) error {
		var bend learn.Bend
		if bend, known = d.bend(ask.Cell, ask.Angle.Deg(), ask.Pack); known {
			a = b.about(d, bend).Next(bend)
		}
		return nil
	})
	return a, known, err
}

// Ask is a bend that advice is wanted for.
type Ask struct {
	Cell  store.CellKey
	Angle unit.CentiDeg
	Pack  string // empty: any pack
}

// Explain takes the advice of Next apart.
func (b *Book) Explain(ctx context.Context, ask Ask) (parts []learn.Part, err error) {
	err = b.with(ctx, func(d *desk) error {
		if bend, known := d.bend(ask.Cell, ask.Angle.Deg(), ask.Pack); known {
			parts = b.about(d, bend).Parts(bend)
		}
		return nil
	})
	return parts, err
}

// Alarms lists the brakes that moved, the newest last, as far as the book goes.
func (b *Book) Alarms(ctx context.Context) (out []Alarm, err error) {
	err = b.with(ctx, func(*desk) error {
		out = append(out, b.alarms...)
		return nil
	})
	return out, err
}
