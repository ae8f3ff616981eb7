package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"github.com/mattn/go-sqlite3"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// Replaced refuses a reading for a sheet that a newer one has replaced:
// errors.As finds it. Its kind is fault.Conflict.
type Replaced struct {
	By      string // the code of the newer sheet
	refusal *fault.Refusal
}

// Error gives the sentence.
func (r *Replaced) Error() string { return r.refusal.Error() }

// Unwrap gives the refusal.
func (r *Replaced) Unwrap() error { return r.refusal }

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
	last    *sql.Stmt
	log     *sql.Stmt
	find    *sql.Stmt
	insert  *sql.Stmt
	// logs holds the readings of the sheets in use, so that they are not read
	// again for every new one. Nobody else adds any: the folder is locked.
	logs  map[string][]progress.Reading
	held  int // readings in logs
	sizes batchSizes
}

// entry is one reading on the desk.
type entry struct {
	posted Posted
	judge  Judge
	answer Answer
	err    error
	done   chan struct{}
}

func newDesk(s *Store) (*desk, error) {
	d := &desk{store: s, waiting: make(chan *entry, mostAtOnce), closing: make(chan struct{}), closed: make(chan struct{}),
		logs: make(map[string][]progress.Reading)}
	for to, query := range map[**sql.Stmt]string{
		&d.last:   `SELECT coalesce(max(seq), 0) FROM reading`,
		&d.log:    readingsQuery,
		&d.find:   `SELECT code, body, answer FROM reading WHERE id = ?`,
		&d.insert: insertReading,
	} {
		var err error
		if *to, err = s.write.Prepare(query); err != nil {
			return nil, worded(err)
		}
	}
	go d.run()
	return d, nil
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
// fault.Conflict another body under a stored id and a sheet that is closed or
// voided; with Replaced a sheet that has been superseded and may not be
// finished.
func (s *Store) AddReading(ctx context.Context, posted Posted, judge Judge) (Answer, error) {
	if s.desk == nil {
		return Answer{}, fault.New(fault.Denied, "", "The store was opened for reading only.")
	}
	posted.Code = traveler.TidyCode(posted.Code)
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
	b := batch{desk: d, jobs: make(map[string]*openJob), received: stamp(d.store.now())}
	err := transact(context.Background(), d.store.write, func(tx *sql.Tx) error { return b.run(tx, entries) })
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

// fatal reports whether an error may have undone the whole transaction.
func fatal(err error) bool {
	code := codeOf(err)
	return code != 0 && code != sqlite3.ErrConstraint
}

// batch is one transaction of readings.
type batch struct {
	desk     *desk
	tx       *sql.Tx
	find     *sql.Stmt
	insert   *sql.Stmt
	jobs     map[string]*openJob // each job is read once
	last     int64               // the number of the last reading
	received string
}

type openJob struct {
	progress.Job
	standing Standing
}

// run adds all entries. Its context is not one caller's, for the transaction is
// everybody's.
func (b *batch) run(tx *sql.Tx, entries []*entry) error {
	ctx := context.Background()
	b.tx, b.find, b.insert = tx, tx.StmtContext(ctx, b.desk.find), tx.StmtContext(ctx, b.desk.insert)
	if err := tx.StmtContext(ctx, b.desk.last).QueryRowContext(ctx).Scan(&b.last); err != nil {
		return err
	}
	for _, e := range entries {
		e.answer, e.err = b.add(ctx, e)
		if e.err != nil && fatal(e.err) {
			return e.err
		}
	}
	return nil
}

// remember keeps the readings of the jobs for the next batch. After a failure
// nothing is sure any more but what the database says.
func (b *batch) remember(err error) {
	d := b.desk
	for code, job := range b.jobs {
		d.held += len(job.Readings) - len(d.logs[code])
		d.logs[code] = job.Readings
	}
	if err != nil || len(d.logs) > logsKept || d.held > readingsKept {
		clear(d.logs)
		d.held = 0
	}
}

func (b *batch) add(ctx context.Context, e *entry) (answer Answer, err error) {
	answer, stored, err := b.stored(ctx, e.posted)
	if stored || err != nil {
		return answer, err
	}
	job, err := b.job(ctx, e.posted.Code)
	if err != nil {
		return Answer{}, err
	}
	r := e.posted.Reading
	r.Seq, r.Received = b.last+1, b.received
	verdict, err := judged(e.judge, job.Job, r)
	if err != nil {
		return Answer{}, err
	}
	values, err := readingValues(e.posted, verdict, job.Traveler)
	if err != nil {
		return Answer{}, err
	}
	if _, err := b.insert.ExecContext(ctx, values...); err != nil {
		return Answer{}, fmt.Errorf("store reading %s: %w", r.ID, err)
	}
	b.last++
	job.Readings = append(job.Readings, verdict.Reading)
	return Answer{Body: values[len(values)-1].([]byte)}, nil
}

// judged runs a judge; its panic is the mistake of one reading and must not
// take the others with it.
func judged(judge Judge, job progress.Job, r progress.Reading) (v progress.Verdict, err error) {
	defer func() {
		if cause := recover(); cause != nil {
			err = fmt.Errorf("judge reading %s: %v", r.ID, cause)
		}
	}()
	return judge(job, r)
}

// stored looks for a reading with the same id.
func (b *batch) stored(ctx context.Context, p Posted) (Answer, bool, error) {
	var code string
	var body, answer []byte
	err := b.find.QueryRowContext(ctx, p.Reading.ID).Scan(&code, &body, &answer)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return Answer{}, false, nil
	case err != nil:
		return Answer{}, false, err
	case code != p.Code || !bytes.Equal(body, p.Body):
		return Answer{}, false, fault.New(fault.Conflict, "id", "Another reading is stored under the id %s. Give the new one its own id.", p.Reading.ID)
	}
	return Answer{Body: answer, Repeated: true}, true, nil
}

// job gives the job of a code as it stands within the batch, and refuses one
// that takes no more readings.
func (b *batch) job(ctx context.Context, code string) (*openJob, error) {
	job := b.jobs[code]
	if job == nil {
		k, err := b.kept(ctx, code)
		if err != nil {
			return nil, err
		}
		readings, known := b.desk.logs[code]
		if !known {
			rows, err := b.tx.StmtContext(ctx, b.desk.log).QueryContext(ctx, code)
			if readings, err = scanReadings(rows, err); err != nil {
				return nil, err
			}
		}
		job = &openJob{k.job(readings), k.Standing}
		b.jobs[code] = job
	}
	return job, job.standing.refuse()
}

// kept gives a sheet as it stands.
func (b *batch) kept(ctx context.Context, code string) (Kept, error) {
	s := b.desk.store
	changes := s.changes.Load() // there is none while this transaction lasts
	if k, known := s.keptSince(code, changes); known {
		return k, nil
	}
	k, err := s.kept(ctx, b.tx, code)
	if err == nil {
		s.keep(code, keptAt{k, changes})
	}
	return k, err
}

// refuse says why a sheet takes no more readings, if so.
func (s Standing) refuse() error {
	switch {
	case s.Voided:
		return fault.New(fault.Conflict, "", "This sheet was voided by the owner: nothing may be made from it.")
	case s.Closed:
		return fault.New(fault.Conflict, "", "This job is closed. Ask the owner to issue a new sheet.")
	case s.SupersededBy != "" && !s.FinishAllowed:
		return &Replaced{s.SupersededBy, fault.New(fault.Conflict, "", "Stop: this sheet has been replaced by a newer one. Get the new sheet before going on.")}
	}
	return nil
}
