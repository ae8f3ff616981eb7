package store

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// What one sheet gets, as in a small job, and how many people log at once.
const (
	benchEach   = 24
	benchPeople = 50
)

var load = flag.Bool("load", false, "measure how many readings a second become durable, against this disk's own rate")

// crowd is a store with people at it, each with sheets of their own.
type crowd struct {
	testing.TB
	store  *Store
	people int
	sheet  int // sheets used up
	made   int // readings made
}

// phoneID makes an id as a phone does: the time first, so that ids that come in
// together lie together on the disk, then what no other phone makes.
func (c *crowd) phoneID(n int) string {
	return fmt.Sprintf("%012x%012x", c.made+n, n*0x9E3779B97F4A%0xFFFFFFFFFFFF)
}

// prepare issues the sheets for so many readings of each person.
func (c *crowd) prepare(each int) (first int) {
	c.Helper()
	first = c.sheet
	for range c.people * ((each + benchEach - 1) / benchEach) {
		issue(c, c.store, plan(c.sheet, benchEach))
		if err := c.store.AddEvent(context.Background(), Event{Code: code(c.sheet), Kind: standing.Released, Detail: "seen"}); err != nil {
			c.Fatal(err)
		}
		c.sheet++
	}
	return first
}

// readings makes what each person will log, so many each, on prepared sheets.
// Reading what a phone sent is the service's work and done before the clock runs.
func (c *crowd) readings(first, each int) [][]Posted {
	c.Helper()
	sheets := (each + benchEach - 1) / benchEach
	made := make([][]Posted, c.people)
	for p := range made {
		for i := range each {
			text := fmt.Appendf(nil, `{"id":"%s","piece":%d,"step":1,"measured":90.3,"place":"middle","by":"AB","confirmed":true}`,
				c.phoneID(i*c.people+p), i%benchEach+1)
			r, err := progress.ReadReading(text)
			if err != nil {
				c.Fatal(err)
			}
			made[p] = append(made[p], Posted{Code: code(first + p*sheets + i/benchEach), Reading: r, Body: text})
		}
	}
	c.made += each * c.people
	return made
}

// log lets everybody log at once what was made for them, and gives how many
// readings a second became durable.
func (c *crowd) log(made [][]Posted) (perSecond float64) {
	c.Helper()
	count := 0
	start := time.Now()
	var wait sync.WaitGroup
	for _, own := range made {
		count += len(own)
		wait.Go(func() {
			for _, posted := range own {
				if _, err := c.store.AddReading(context.Background(), posted, progress.Judge); err != nil {
					c.Error(err)
					return
				}
			}
		})
	}
	wait.Wait()
	return float64(count) / time.Since(start).Seconds()
}

// BenchmarkAddReading logs readings from 50 people at once and from one alone.
// "x-fsync" is their rate over the rate at which this disk makes single appends
// of a page durable, measured before and after in the same run.
func BenchmarkAddReading(b *testing.B) {
	for _, people := range []int{benchPeople, 1} {
		b.Run(fmt.Sprintf("people=%d", people), func(b *testing.B) {
			c := &crowd{TB: b, store: openStore(b, b.TempDir()), people: people}
			each := (b.N + people - 1) / people
			made := c.readings(c.prepare(each), each)
			before := fsyncRate(b, 1000)
			b.ResetTimer()
			rate := c.log(made)
			b.StopTimer()
			fsync := (before + fsyncRate(b, 1000)) / 2
			b.ReportMetric(rate, "readings/s")
			b.ReportMetric(fsync, "fsync/s")
			b.ReportMetric(rate/fsync, "x-fsync")
			b.ReportMetric(float64(middleBatch(c.store.Batches())), "readings/sync")
		})
	}
}

// TestLoad is the promise about the store alone: with 50 people at once at least
// five times the readings that single appends would make durable on this disk,
// and at least 20 in the middle sync. The two are measured in turns, since other
// work on the machine changes the rate of a disk within seconds; the middle of
// the turns counts.
func TestLoad(t *testing.T) {
	if !*load {
		t.Skip("measuring takes the disk for itself: give -load")
	}
	c := &crowd{TB: t, store: openStore(t, t.TempDir()), people: benchPeople}
	const turns, each = 9, 3 * benchEach
	var ratios []float64
	before := fsyncRate(t, 500)
	for range turns {
		made := c.readings(c.prepare(each), each)
		rate := c.log(made)
		after := fsyncRate(t, 500)
		fsync := (before + after) / 2
		t.Logf("%6.0f readings/s, %6.0f single appends/s: %.1f times", rate, fsync, rate/fsync)
		ratios, before = append(ratios, rate/fsync), after
	}
	slices.Sort(ratios)
	middle, batch := ratios[turns/2], middleBatch(c.store.Batches())
	t.Logf("middle of %d turns: %.1f times the appends, %d readings to a sync", turns, middle, batch)
	if middle < 5 {
		t.Errorf("%.1f times the single appends, want at least 5", middle)
	}
	if batch < 20 {
		t.Errorf("%d readings in the middle sync, want at least 20", batch)
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
func fsyncRate(tb testing.TB, count int) float64 {
	tb.Helper()
	f, err := os.Create(filepath.Join(tb.TempDir(), "raw"))
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	start := time.Now()
	for range count {
		if _, err := f.Write(page); err != nil {
			tb.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			tb.Fatal(err)
		}
	}
	return float64(count) / time.Since(start).Seconds()
}
