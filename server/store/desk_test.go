package store

import (
	"context"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// The desk holds readings in memory; what it judges by must be what a store
// opened afresh reads from the file.
func TestLogInMemoryIsTheStoredOne(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	issue(t, s, plan(1, 9))
	var seen progress.Job
	watching := func(job progress.Job, r progress.Reading) (progress.Verdict, error) {
		seen = job
		return progress.Judge(job, r)
	}
	for _, text := range []string{
		body("r1", 1, 1, 88.5), `{"id":"r2","piece":1,"step":1,"measured":90,"state":"reworked","stop":93.5,"thickness":1.49}`,
		body("r3", 1, 2, 46.5), body("r4", 2, 1, 90), `{"id":"r5","piece":1,"step":2,"measured":45,"corrects":"r3"}`, body("r6", 2, 1, 90.2),
	} {
		posted := newEntry(t, text, nil).posted
		if _, err := s.AddReading(context.Background(), posted, watching); err != nil {
			t.Fatalf("AddReading(%s) = %v", text, err)
		}
	}
	v, err := View(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer v.Close()
	stored, err := v.Readings(context.Background(), code(1))
	if err != nil || len(stored) != 6 {
		t.Fatalf("Readings() = %d, %v, want 6", len(stored), err)
	}
	if got := seen.Readings; !reflect.DeepEqual(got, stored[:len(stored)-1]) {
		t.Errorf("the last reading was judged by\n%+v\nwant what is stored before it:\n%+v", got, stored[:len(stored)-1])
	}
}

// A decision of the owner counts from the next reading on, also for a sheet
// whose log is held in memory.
func TestEventsCountAtOnce(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	steps := []struct {
		event Event
		body  string
		want  string // flagged
	}{
		{Event{Kind: standing.Requantified, Detail: "2"}, body("r2", 2, 1, 90), progress.FlagBeforeFirstPiece},
		{Event{Kind: standing.Released, Detail: "seen"}, body("r3", 2, 1, 90), progress.FlagTwice},
		{Event{Kind: standing.Requantified, Detail: "3"}, body("r4", 3, 2, 45), progress.FlagOutOfOrder},
		{Event{Kind: standing.Requantified, Detail: "2"}, body("r5", 3, 1, 90), progress.FlagOutOfOrder},
		{Event{Kind: standing.Held, Detail: "seen"}, body("r6", 1, 2, 45), progress.FlagRunHeld},
		{Event{Kind: standing.Voided, Detail: "seen"}, body("r7", 2, 2, 45), progress.FlagSheetClosed + "," + progress.FlagRunHeld},
	}
	for _, x := range steps {
		x.event.Code = code(1)
		if err := s.AddEvent(ctx, x.event); err != nil {
			t.Fatal(err)
		}
		mustPost(t, s, code(1), x.body)
		readings, err := s.Readings(ctx, code(1))
		if got := strings.Join(readings[len(readings)-1].Flags, ","); err != nil || got != x.want {
			t.Errorf("a reading after %s %s is flagged %q, %v, want %q", x.event.Kind, x.event.Detail, got, err, x.want)
		}
	}
}

// More sheets than are held in memory, in turn: none is mixed up with another.
func TestMoreSheetsThanMemory(t *testing.T) {
	s := openStore(t, t.TempDir())
	count := logsKept + 5
	for n := range count {
		issue(t, s, plan(n, 2))
	}
	for i, angle := range []float64{90, 45} {
		step := i + 1
		for n := range count {
			mustPost(t, s, code(n), fmt.Sprintf(`{"id":"s%d-%d","piece":1,"step":%d,"measured":%g,"confirmed":true}`, n, step, step, angle))
		}
	}
	for n := range count {
		job, err := s.Progress(context.Background(), code(n))
		if err != nil || len(job.Readings) != 2 || !progress.FirstPieceAccepted(job) {
			t.Errorf("Progress(sheet %d) = %d readings, %v, want 2 and the first piece accepted", n, len(job.Readings), err)
		}
	}
	if len(s.desk.logs) > logsKept {
		t.Errorf("%d logs in memory, want at most %d", len(s.desk.logs), logsKept)
	}
}

// After a failed transaction nothing held in memory is trusted.
func TestFailedBatchIsForgotten(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 2))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	if len(s.desk.logs[code(1)].Readings) != 1 {
		t.Fatalf("log in memory = %v, want r1", s.desk.logs)
	}
	exec(t, s, `PRAGMA max_page_count = 1`) // as small as what is there: it cannot grow
	taken := 1 + fillReadings(t, s)
	if len(s.desk.logs) != 0 {
		t.Errorf("logs in memory after a full disk = %d, want none", len(s.desk.logs))
	}
	exec(t, s, `PRAGMA max_page_count = 1000000`)
	mustPost(t, s, code(1), body("r2", 1, 2, 45))
	if got, err := s.Readings(context.Background(), code(1)); err != nil || len(got) != taken+1 {
		t.Errorf("Readings() = %d, %v, want %d", len(got), err, taken+1)
	}
}

// A transaction takes so many at once and no more.
func TestGather(t *testing.T) {
	d := &desk{waiting: make(chan *entry, mostAtOnce+10)}
	for range mostAtOnce + 10 {
		d.waiting <- &entry{}
	}
	if got := len(d.gather(<-d.waiting)); got != mostAtOnce {
		t.Errorf("gather(%d waiting) = %d, want %d", mostAtOnce+10, got, mostAtOnce)
	}
	if got := len(d.gather(<-d.waiting)); got != 10 {
		t.Errorf("gather(10 waiting) = %d, want 10", got)
	}
}
