package store

import (
	"context"
	"database/sql"
	"runtime"
	"sync"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// What is held in memory of the sheets in use: so many sheets, with so many
// readings between them.
const (
	logsKept     = 256
	readingsKept = 20_000
)

// mostAtOnce bounds the readings of one transaction, so that nobody waits long
// for the others.
const mostAtOnce = 256

// desk takes in readings. One goroutine stores all that are waiting in one
// transaction: the costly part is to make a transaction durable, and this way
// it is paid once for all of them.
type desk struct {
	store   *Store
	waiting chan *entry
	closing chan struct{}
	closed  chan struct{}
	once    sync.Once
	// logs holds the sheets in use with their readings, so that they are not read
	// again for every new one. Nobody else adds any: the folder is locked.
	logs map[string]progress.Job
	held int // readings in logs
	// sealed is the last seal of the readings; nil where it must be looked for.
	sealed  *digest
	sealing *sealing
	sizes   batchSizes
}

// entry is one reading on the desk.
type entry struct {
	posted Posted
	judge  Judge
	answer Answer
	err    error
	done   chan struct{}
}

func newDesk(s *Store) *desk {
	d := &desk{store: s, waiting: make(chan *entry, mostAtOnce), closing: make(chan struct{}), closed: make(chan struct{}),
		logs: make(map[string]progress.Job), sealing: newSealing()}
	go d.run()
	return d
}

// close stores what is waiting and stops.
func (d *desk) close() {
	d.once.Do(func() { close(d.closing) })
	<-d.closed
}

// AddReading judges a reading against its sheet and keeps it, in one
// transaction. It returns after the reading is durable on the disk. A reading
// whose id is stored already with the same body is not stored again: the answer
// is the one first given, marked Repeated, whatever became of the sheet since.
//
// It refuses what judge refuses; with fault.Missing an unknown code; with
// fault.Conflict another body under a stored id. One that judge is unsure about
// is kept as a question, see Questions.
func (s *Store) AddReading(ctx context.Context, posted Posted, judge Judge) (Answer, error) {
	if s.desk == nil {
		return Answer{}, fault.New(fault.Denied, "", "The store was opened for reading only.")
	}
	posted.Code = traveler.TidyCode(posted.Code)
	// The sheet, and what is known for it, is read here, where callers work side by side, so that it need
	// not be at the desk, where they wait for each other. What is wrong with it
	// the desk will tell.
	if k, err := s.TravelerByCode(ctx, posted.Code); err == nil && s.stops != nil {
		s.stops.Of(k.Traveler)
	}
	return s.desk.take(ctx, &entry{posted: posted, judge: judge, done: make(chan struct{})})
}

func (d *desk) take(ctx context.Context, e *entry) (Answer, error) {
	stopped := fault.New(fault.Busy, "", "The service is stopping. Try again in a moment.")
	select {
	case <-d.closing:
		return Answer{}, stopped
	case <-ctx.Done():
		return Answer{}, ctx.Err()
	case d.waiting <- e:
	}
	select {
	case <-e.done:
		return e.answer, e.err
	case <-ctx.Done(): // it may still be stored: sending it again is safe
		return Answer{}, ctx.Err()
	case <-d.closed:
	}
	select {
	case <-e.done:
		return e.answer, e.err
	default:
		return Answer{}, stopped
	}
}

func (d *desk) run() {
	defer close(d.closed)
	for {
		select {
		case e := <-d.waiting:
			d.keep(d.gather(e))
		case <-d.closing:
			for {
				select {
				case e := <-d.waiting:
					d.keep(d.gather(e))
				default:
					return
				}
			}
		}
	}
}

// gather takes all that are waiting. While more come as fast as others get their
// turn on the processor, it lets them: each sync then serves more of them. It
// never waits for one that is not on its way.
func (d *desk) gather(first *entry) []*entry {
	entries := []*entry{first}
	for n := -1; n < len(d.waiting) && len(d.waiting) < cap(d.waiting); runtime.Gosched() {
		n = len(d.waiting)
	}
	for len(entries) < mostAtOnce {
		select {
		case e := <-d.waiting:
			entries = append(entries, e)
		default:
			return entries
		}
	}
	return entries
}

// keep stores the entries in one transaction. A refused one leaves the others
// alone: it has not written anything, for the only statement that writes is the
// last thing done for an entry and takes effect whole or not at all. Any other
// error fails them all.
func (d *desk) keep(entries []*entry) {
	b := batch{desk: d, jobs: make(map[string]*progress.Job), received: stamp(d.store.now())}
	err := transact(context.Background(), d.store.write, func(tx *sql.Tx) error { return b.run(tx, entries) })
	err = d.store.footing.wrote(err)
	b.remember(err)
	for _, e := range entries {
		if err != nil {
			e.answer, e.err = Answer{}, err
		}
	}
	d.sizes.note(entries)
	for _, e := range entries {
		close(e.done)
	}
}
