package store

import (
	"context"
	"database/sql"
	"errors"

	"brakeside/calc/fault"
)

// AddJob keeps a new job; Created is set by the store. It refuses with
// fault.Conflict a number that exists and with fault.Invalid a job without a
// number or with nothing to make.
func (s *Store) AddJob(ctx context.Context, j Job) error {
	if j.Number == "" {
		return fault.New(fault.Invalid, "number", "A job has a number.")
	}
	if j.Quantity < 1 {
		return fault.New(fault.Invalid, "quantity", "The quantity must be 1 or more.")
	}
	created := s.clock()
	return s.change(ctx, func(tx *sql.Tx) error {
		kept, err := tx.ExecContext(ctx, `
			INSERT INTO job (number, part, revision, quantity, brake, due, created) VALUES (?, ?, ?, ?, ?, ?, ?)
			ON CONFLICT (number) DO NOTHING`,
			j.Number, j.Part, j.Revision, j.Quantity, j.Brake, j.Due, stamp(created))
		if err != nil {
			return err
		}
		if n, err := kept.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, fault.New(fault.Conflict, "number", "Job %s exists already. Give another number.", j.Number))
		}
		return nil
	})
}

// DetailJob keeps what is said of jobs, all or none. It refuses with fault.Missing a
// job that there is not.
func (s *Store) DetailJob(ctx context.Context, details ...JobDetail) error {
	at := stamp(s.clock())
	return s.change(ctx, func(tx *sql.Tx) error {
		for _, d := range details {
			kept, err := tx.ExecContext(ctx, `
				INSERT INTO job_detail (job, due, customer, note, turn, by_whom, at) SELECT number, ?, ?, ?, ?, ?, ? FROM job WHERE number = ?`,
				d.Due, d.Customer, d.Note, d.Turn, d.By, at, d.Job)
			if err != nil {
				return err
			}
			if n, err := kept.RowsAffected(); err != nil || n == 0 {
				return errors.Join(err, fault.New(fault.Missing, "", "There is no job %s.", d.Job))
			}
		}
		return nil
	})
}

// JobDetail is what is said of a job now; fault.Missing without that job.
func (s *Store) JobDetail(ctx context.Context, number string) (JobDetail, error) {
	d := JobDetail{Job: number}
	err := s.read.QueryRowContext(ctx, `
		SELECT coalesce(d.due, j.due), coalesce(d.customer, ''), coalesce(d.note, ''), coalesce(d.turn, 0), coalesce(d.by_whom, '')
		FROM job j LEFT JOIN job_detail d ON d.seq = (SELECT max(seq) FROM job_detail WHERE job = j.number)
		WHERE j.number = ?`, number).Scan(&d.Due, &d.Customer, &d.Note, &d.Turn, &d.By)
	if errors.Is(err, sql.ErrNoRows) {
		return d, fault.New(fault.Missing, "", "There is no job %s.", number)
	}
	return d, worded(err)
}

// Job finds a job by its number; fault.Missing when there is none.
func (s *Store) Job(ctx context.Context, number string) (Job, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT number, part, revision, quantity, brake, due, created FROM job WHERE number = ?`, number)
	found, err := all(rows, err, scanJob)
	if err != nil {
		return Job{}, err
	}
	if len(found) == 0 {
		return Job{}, fault.New(fault.Missing, "", "There is no job %s.", number)
	}
	return found[0], nil
}

// Jobs lists all jobs, newest first.
func (s *Store) Jobs(ctx context.Context) ([]Job, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT number, part, revision, quantity, brake, due, created FROM job ORDER BY created DESC, rowid DESC`)
	return all(rows, err, scanJob)
}

func scanJob(rows *sql.Rows) (Job, error) {
	var j Job
	var created string
	err := rows.Scan(&j.Number, &j.Part, &j.Revision, &j.Quantity, &j.Brake, &j.Due, &created)
	if err != nil {
		return j, err
	}
	j.Created, err = timeOf(created)
	return j, err
}
