package main

import (
	"context"
	"net"
	"syscall"
	"testing"
	"time"

	"brakeside/server/lessons"
	"brakeside/server/store"
)

// The demo opens on four months of an invented shop, so that every page has something
// to show; what it made is sound, and the log has taught what is true of its metal.
func TestDemoHasAPast(t *testing.T) {
	dir := t.TempDir()
	began := time.Now()
	r := starts(t, "demo", "-addr", net.JoinHostPort(ownAddress(t), "0"), "-data", dir)
	g := r.greeting()
	t.Logf("made in %v", time.Since(began))
	if len(g.codes) != len(demoJobs) {
		t.Errorf("%d codes of open jobs are printed, want %d", len(g.codes), len(demoJobs))
	}
	r.stop(syscall.SIGTERM)
	if o := runs(t, "check", "-data", dir); o.code != exitFine {
		t.Fatalf("check finds %s%s", o.out, o.err)
	}
	s, err := store.View(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ctx := context.Background()
	totals, err := s.Totals(ctx, store.Choice{})
	if err != nil || totals.Readings < 80 || totals.Sheets < 12 {
		t.Errorf("the past has %+v, %v", totals, err)
	}
	first, err := s.FirstPieces(ctx, store.Choice{})
	passed := 0
	for _, p := range first {
		if p.Passed {
			passed++
		}
	}
	if err != nil || passed == 0 || passed == len(first) {
		t.Errorf("%d of %d first pieces passed, %v: want some of either", passed, len(first), err)
	}
	waiting, err := s.UnloggedSheets(ctx, store.Choice{}, time.Now().Add(-lessons.Untouched))
	if err != nil || len(waiting) == 0 {
		t.Errorf("no sheet waits for its first reading: %v", err)
	}
	replaced, papers := 0, 0
	lines, err := s.Travelers(ctx)
	for _, l := range lines {
		if l.SupersededBy != "" {
			replaced++
		}
		if l.IssuedAt.Before(time.Now().AddDate(0, 0, -110)) {
			papers++
		}
	}
	if err != nil || replaced != 1 || papers == 0 {
		t.Errorf("%d sheets are replaced and %d are older than 110 days, %v", replaced, papers, err)
	}
	replayed, err := lessons.Open(s).Replay(ctx, store.Choice{})
	if err != nil || replayed.All.Learned >= replayed.All.Table {
		t.Errorf("what was learned is off by %v, the table by %v, %v: want the log to teach", replayed.All.Learned, replayed.All.Table, err)
	}
}
