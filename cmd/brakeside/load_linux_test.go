package main

import (
	"flag"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"
)

var load = flag.Bool("load", false, "measure the service with 50 phones at it, against this disk's own rate")

// crowdSize is how many phones log at once, and crowdEach how many readings each
// of them in one turn.
const (
	crowdSize  = 50
	crowdEach  = 60
	crowdTurns = 7
)

// TestCrowd is the promise about the whole service: 50 phones that log as fast
// as they are answered make at least 1.5 times as many readings durable as
// single appends would on this disk; 99 of 100 answers come within 50 ms; and
// the service needs less than 80 MiB. Rate and disk are measured in turns, and
// the middle of the turns counts.
func TestCrowd(t *testing.T) {
	if !*load {
		t.Skip("measuring takes the machine for itself: give -load")
	}
	data := filepath.Join(t.TempDir(), "shop")
	codes := crowdSheets(t, data, crowdSize*crowdTurns)
	r := starts(t, "serve", "-addr", "127.0.0.1:0", "-data", data)
	base := r.says("brakeside is at ")
	var ratios []float64
	var waits []time.Duration
	before := appendRate(t, data)
	for turn := range crowdTurns {
		rate, took := crowdTurn(t, base, codes[turn*crowdSize:(turn+1)*crowdSize])
		after := appendRate(t, data)
		alone := (before + after) / 2
		slices.Sort(took)
		t.Logf("%6.0f readings/s, %6.0f single appends/s: %.1f times; middle %v, 99 of 100 within %v",
			rate, alone, rate/alone, took[len(took)/2], took[len(took)*99/100])
		ratios, before, waits = append(ratios, rate/alone), after, append(waits, took...)
	}
	memory := peakMemory(t, r.command.Process.Pid)
	r.kill()
	slices.Sort(ratios)
	slices.Sort(waits)
	ratio, late := ratios[len(ratios)/2], waits[len(waits)*99/100]
	t.Logf("middle of %d turns: %.1f times the single appends; %d answers, 99 of 100 within %v; %.0f MiB", crowdTurns, ratio, len(waits), late, memory)
	if ratio < 1.5 {
		t.Errorf("%.1f times the single appends, want at least 1.5", ratio)
	}
	if late > 50*time.Millisecond {
		t.Errorf("99 of 100 answers came within %v, want 50 ms", late)
	}
	if memory > 80 {
		t.Errorf("the service had %.0f MiB, want less than 80", memory)
	}
}

// crowdTurn lets each phone log on a sheet of its own, and gives how many
// readings a second were answered and how long each answer took.
func crowdTurn(t *testing.T, base string, codes []string) (perSecond float64, took []time.Duration) {
	t.Helper()
	lines := make([]*line, len(codes))
	for i := range lines {
		var err error
		if lines[i], err = dial(base); err != nil {
			t.Fatal(err)
		}
		defer lines[i].close()
	}
	waits := make([][]time.Duration, len(codes))
	var wait sync.WaitGroup
	began := time.Now()
	for i, l := range lines {
		wait.Go(func() {
			for n := range crowdEach {
				asked := time.Now()
				status, body, err := l.post(codes[i], newPosted(i, n))
				if err != nil || status != http.StatusCreated {
					t.Errorf("phone %d: %d %s %v", i, status, body, err)
					return
				}
				waits[i] = append(waits[i], time.Since(asked))
			}
		})
	}
	wait.Wait()
	perSecond = float64(len(codes)*crowdEach) / time.Since(began).Seconds()
	return perSecond, slices.Concat(waits...)
}

// appendRate gives how many single appends of a page this disk makes durable in
// a second.
func appendRate(t *testing.T, folder string) float64 {
	t.Helper()
	f, err := os.Create(filepath.Join(folder, "raw"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	const count = 400
	began := time.Now()
	for range count {
		if _, err := f.Write(page); err != nil {
			t.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			t.Fatal(err)
		}
	}
	return count / time.Since(began).Seconds()
}
