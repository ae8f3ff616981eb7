package store

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/mattn/go-sqlite3"

	"brakeside/calc/fault"
	"brakeside/traveler/progress"
)

// batch is one transaction of readings.
type batch struct {
	desk     *desk
	tx       *sql.Tx
	jobs     map[string]*progress.Job // each job is read once
	last     int64                    // the number of the last reading
	received string
	sealed   digest // the seal of the last reading
}

// run adds all entries. Its context is not one caller's, for the transaction is
// everybody's.
func (b *batch) run(tx *sql.Tx, entries []*entry) error {
	ctx := context.Background()
	b.tx = tx
	if err := tx.QueryRowContext(ctx, `SELECT coalesce(max(seq), 0) FROM reading`).Scan(&b.last); err != nil {
		return err
	}
	before := b.last
	if err := b.lastSeal(ctx); err != nil {
		return err
	}
	for _, e := range entries {
		e.answer, e.err = b.add(ctx, e.posted, e.judge)
		if e.err != nil && fatal(e.err) {
			return e.err
		}
	}
	if b.last == before {
		return nil
	}
	if _, err := tx.ExecContext(ctx, fileReadings, before); err != nil {
		return err
	}
	b.desk.sealed = &b.sealed // forgotten if the transaction fails
	return nil
}

// lastSeal looks for the seal of the last reading, where it is not known.
func (b *batch) lastSeal(ctx context.Context) error {
	if b.desk.sealed != nil {
		b.sealed = *b.desk.sealed
		return nil
	}
	var carried []byte
	err := b.tx.QueryRowContext(ctx, `SELECT seal FROM reading WHERE seq = ?`, b.last).Scan(&carried)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	if copy(b.sealed[:], carried) > 0 {
		return nil
	}
	last, err := sealedReadings.lastSeal(ctx, b.tx)
	b.sealed = last.digest
	return err
}

// add keeps a reading. Whether it is kept already is asked only when it cannot
// be: nearly all are new, and the database takes no id twice.
func (b *batch) add(ctx context.Context, p Posted, judge Judge) (Answer, error) {
	answer, err := b.addNew(ctx, p, judge)
	if err == nil || fatal(err) {
		return answer, err
	}
	if before, stored, failed := b.stored(ctx, p); stored || failed != nil {
		return before, failed
	}
	if fault.KindOf(err) == fault.Unsure {
		if failed := b.ask(ctx, p, err); failed != nil {
			return Answer{}, failed
		}
	}
	return Answer{}, err
}

func (b *batch) addNew(ctx context.Context, p Posted, judge Judge) (Answer, error) {
	job, err := b.job(ctx, p.Code)
	if err != nil {
		return Answer{}, err
	}
	r := p.Reading
	r.Seq, r.Received = b.last+1, b.received
	verdict, err := judged(judge, *job, r)
	if err != nil {
		return Answer{}, err
	}
	values, err := readingValues(p, verdict, job.Traveler)
	if err != nil {
		return Answer{}, err
	}
	answer, seal := values[len(values)-1].([]byte), b.desk.sealing.after(b.sealed, values)
	if _, err := b.tx.ExecContext(ctx, insertReading, append(values, seal[:])...); err != nil {
		return Answer{}, fmt.Errorf("store reading %s: %w", r.ID, err)
	}
	b.last, b.sealed = b.last+1, seal
	job.Add(verdict.Reading)
	return Answer{Body: answer}, nil
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
	err := b.tx.QueryRowContext(ctx, `SELECT code, body, answer FROM reading WHERE id = ?`, p.Reading.ID).Scan(&code, &body, &answer)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return Answer{}, false, nil
	case err != nil:
		return Answer{}, false, err
	case code != p.Code || !bytes.Equal(body, p.Body) && !b.answeredFor(ctx, p, body):
		return Answer{}, false, fault.New(fault.Conflict, "id",
			"Another reading is stored under the id %s. Give the new one its own id.", p.Reading.ID)
	}
	return Answer{Body: answer, Repeated: true}, true, nil
}

// job gives the job of a code as it stands within the batch.
func (b *batch) job(ctx context.Context, code string) (*progress.Job, error) {
	if job := b.jobs[code]; job != nil {
		return job, nil
	}
	k, err := b.desk.store.standingNow(ctx, b.tx, code)
	if err != nil {
		return nil, err
	}
	logged, known := b.desk.logs[code]
	if !known {
		if logged.Readings, err = readingsOf(ctx, b.tx, code); err != nil {
			return nil, err
		}
	}
	job := k.job(logged)
	if stops := b.desk.store.stops; stops != nil {
		job.Stops = stops.Of(k.Traveler)
	}
	b.jobs[code] = &job
	return &job, nil
}

// remember keeps the readings of the jobs for the next batch, but not what told their
// stops, which is asked for with each batch. After a failure nothing is sure any more
// but what the database says.
func (b *batch) remember(err error) {
	d := b.desk
	for code, job := range b.jobs {
		d.held += len(job.Readings) - len(d.logs[code].Readings)
		job.Stops = nil
		d.logs[code] = *job
	}
	if err != nil {
		d.sealed = nil
	}
	if err != nil || len(d.logs) > logsKept || d.held > readingsKept {
		clear(d.logs)
		d.held = 0
	}
}

// fatal reports whether an error may have undone the whole transaction.
func fatal(err error) bool {
	code := codeOf(err)
	return code != 0 && code != sqlite3.ErrConstraint
}
