package progress

import (
	"fmt"
	"testing"

	"brakeside/traveler/standing"
)

// BenchmarkJudge judges a reading of a sheet with so many before it.
func BenchmarkJudge(b *testing.B) {
	for _, before := range []int{12, 500} {
		job := Job{Traveler: sheet(2 * before), Standing: standing.Standing{Override: true}}
		for i := range before {
			r := reading(i+1, 1, 9030)
			r.ID = fmt.Sprint(i)
			job.Add(r)
		}
		next := reading(before+1, 1, 9030)
		next.Confirmed = true
		b.Run(fmt.Sprint(before), func(b *testing.B) {
			for b.Loop() {
				if _, err := Judge(job, next); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
