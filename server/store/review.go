package store

import (
	"context"
	"database/sql"
	"math"

	"brakeside/calc/unit"
	"brakeside/traveler/progress"
)

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
