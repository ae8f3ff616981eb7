package store

import (
	"context"
	"database/sql"
	"math"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler/progress"
)

// sinceText gives the lower limit of a filter on the received time.
func (f Filter) sinceText() string {
	if f.Since.IsZero() {
		return ""
	}
	return stamp(f.Since)
}

// most gives the limit of a filter; -1 is none.
func (f Filter) most() int {
	if f.Limit <= 0 {
		return -1
	}
	return f.Limit
}

// ReviewCells adds up the readings that teach, one cell for each material,
// thickness, bar and brake, in that order. A corrected reading does not count,
// its correction does.
func (s *Store) ReviewCells(ctx context.Context, f Filter) ([]Cell, error) {
	rows, err := s.read.QueryContext(ctx, reviewQuery, f.Material, f.Thickness, f.Bar, f.Brake, f.sinceText(), f.most())
	return all(rows, err, scanCell)
}

const reviewQuery = `
	SELECT material, thickness, bar, brake, count(*), sum(in_tolerance), sum(error), sum(error * error), min(error), max(error)
	FROM reading r INDEXED BY reading_review
	WHERE teaches = 1
	  AND (?1 = '' OR material = ?1) AND (?2 = 0 OR thickness = ?2) AND (?3 = '' OR bar = ?3) AND (?4 = '' OR brake = ?4)
	  AND received >= ?5
	  AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)
	GROUP BY material, thickness, bar, brake
	ORDER BY material, thickness, bar, brake
	LIMIT ?6`

func scanCell(rows *sql.Rows) (Cell, error) {
	var c Cell
	var sum, squares int64
	var least, most unit.CentiDeg
	err := rows.Scan(&c.Material, &c.Thickness, &c.Bar, &c.Brake, &c.N, &c.InTolerance, &sum, &squares, &least, &most)
	c.Mean, c.Spread = meanAndSpread(c.N, sum, squares)
	c.Worst = most
	if -least > most {
		c.Worst = least
	}
	return c, err
}

// meanAndSpread gives the mean and the sample standard deviation in degrees
// from whole hundredths. The sums are whole numbers, so that n times the sum of
// squares less the square of the sum is exact and cannot come out negative.
func meanAndSpread(n int, sum, squares int64) (mean, spread unit.Deg) {
	if n == 0 {
		return 0, 0
	}
	mean = unit.Deg(float64(sum) / float64(n) / 100)
	if n == 1 {
		return mean, 0
	}
	scatter := float64(int64(n)*squares - sum*sum)
	return mean, unit.Deg(math.Sqrt(scatter/float64(n)/float64(n-1)) / 100)
}

const sampleColumns = readingColumns + `,
	t.code, t.job, t.part, t.revision, r.material, r.thickness, r.bar, r.brake, r.target, r.tolerance, r.stop_bend,
	r.in_tolerance, r.teaches, EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)`

func scanSample(rows *sql.Rows) (Sample, error) {
	var x Sample
	r, err := scanReading(rows, &x.Code, &x.Job, &x.Part, &x.Revision, &x.Material, &x.Thickness, &x.Bar, &x.Brake,
		&x.Target, &x.Tolerance, &x.StopBend, &x.InTolerance, &x.Teaches, &x.Corrected)
	x.Reading = r
	return x, err
}

// Recent lists the last readings that teach, oldest first, as many as the
// filter's Limit: the points of a run chart.
func (s *Store) Recent(ctx context.Context, f Filter) ([]Sample, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+sampleColumns+`
		FROM reading r JOIN traveler t ON t.code = r.code
		WHERE r.teaches = 1
		  AND (?1 = '' OR r.material = ?1) AND (?2 = 0 OR r.thickness = ?2) AND (?3 = '' OR r.bar = ?3) AND (?4 = '' OR r.brake = ?4)
		  AND r.received >= ?5
		  AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)
		ORDER BY r.seq DESC
		LIMIT ?6`, f.Material, f.Thickness, f.Bar, f.Brake, f.sinceText(), f.most())
	samples, err := all(rows, err, scanSample)
	slices.Reverse(samples)
	return samples, err
}

// Export gives every reading with its context to each, in the order they came
// in. An error of each ends it and is returned.
func (s *Store) Export(ctx context.Context, each func(Sample) error) error {
	rows, err := s.read.QueryContext(ctx, `
		SELECT `+sampleColumns+`
		FROM reading r JOIN traveler t ON t.code = r.code
		ORDER BY r.seq`)
	if err != nil {
		return worded(err)
	}
	defer rows.Close()
	for rows.Next() {
		sample, err := scanSample(rows)
		if err != nil {
			return worded(err)
		}
		if err := each(sample); err != nil {
			return err
		}
	}
	return worded(rows.Err())
}

// Bend gives what was measured as a bend angle.
func (x Sample) Bend() unit.CentiDeg { return x.Reading.Bend() }

// Springback gives how far the metal came back from the stop it was bent at.
func (x Sample) Springback() unit.CentiDeg { return x.StopBend - x.Bend() }

var _ Judge = progress.Judge
