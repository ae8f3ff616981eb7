package store

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// benchEach is how many readings a sheet gets, as in a small job.
const benchEach = 24

// BenchmarkAddReading logs readings from 50 people at once, each with a sheet
// of their own, and from one alone. "x-fsync" is their rate over the rate at
// which this disk makes single appends of a page durable, measured before and
// after in the same run.
func BenchmarkAddReading(b *testing.B) {
	for _, people := range []int{50, 1} {
		b.Run(fmt.Sprintf("people=%d", people), func(b *testing.B) {
			s := openStore(b, b.TempDir())
			each := (b.N + people - 1) / people
			sheets := (each + benchEach - 1) / benchEach
			for n := range people * sheets {
				issue(b, s, plan(n, benchEach))
				if err := s.AddEvent(context.Background(), Event{Code: code(n), Kind: EventOverride}); err != nil {
					b.Fatal(err)
				}
			}
			before := fsyncRate(b)
			b.ResetTimer()
			start := time.Now()
			var wait sync.WaitGroup
			for p := range people {
				wait.Go(func() {
					for i := range each {
						text := fmt.Sprintf(`{"id":"p%d-%d","piece":%d,"step":1,"measured":90,"confirmed":true}`, p, i, i%benchEach+1)
						mustPost(b, s, code(p*sheets+i/benchEach), text)
					}
				})
			}
			wait.Wait()
			rate := float64(each*people) / time.Since(start).Seconds()
			b.StopTimer()
			fsync := (before + fsyncRate(b)) / 2
			b.ReportMetric(rate, "readings/s")
			b.ReportMetric(fsync, "fsync/s")
			b.ReportMetric(rate/fsync, "x-fsync")
			b.ReportMetric(float64(middleBatch(s.Batches())), "readings/sync")
		})
	}
}

// middleBatch is the median of how many readings one sync made durable.
func middleBatch(batches []int64) int {
	var syncs, passed int64
	for _, n := range batches {
		syncs += n
	}
	for size, n := range batches {
		if passed += n; passed > 0 && 2*passed >= syncs {
			return size
		}
	}
	return 0
}

// fsyncRate appends pages of 4 kB to a file, each made durable by itself, and
// gives how many a second.
func fsyncRate(b *testing.B) float64 {
	b.Helper()
	f, err := os.Create(filepath.Join(b.TempDir(), "raw"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	const count = 1000
	start := time.Now()
	for range count {
		if _, err := f.Write(page); err != nil {
			b.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			b.Fatal(err)
		}
	}
	return count / time.Since(start).Seconds()
}
