package store

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"testing"

	"brakeside/calc/fault"
	"brakeside/traveler/progress"
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
	for i, text := range []string{
		body("r1", 1, 1, 88.5), `{"id":"r2","piece":1,"step":1,"measured":90,"state":"reworked","stop":93.5,"thickness":1.49}`,
		body("r3", 1, 2, 46.5), body("r4", 2, 1, 90), `{"id":"r5","piece":1,"step":2,"measured":45,"corrects":"r3"}`, body("r6", 2, 1, 90.2),
	} {
		posted := newEntry(t, text, nil).posted
		_, err := s.AddReading(context.Background(), posted, watching)
		if gate := errors.Is(err, progress.Gate); gate != (i == 3) || err != nil && !gate {
			t.Fatalf("AddReading(%s) = %v, want the gate for r4 only", text, err)
		}
	}
	v, err := View(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer v.Close()
	stored, err := v.Readings(context.Background(), code(1))
	if err != nil || len(stored) != 5 {
		t.Fatalf("Readings() = %d, %v, want 5", len(stored), err)
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
	_, err := post(s, code(1), body("r2", 2, 1, 90))
	if !errors.Is(err, progress.Gate) {
		t.Errorf("AddReading(second piece) = %v, want the gate", err)
	}
	steps := []struct {
		event Event
		body  string
		want  fault.Kind
	}{
		{Event{Kind: EventOverride}, `{"id":"r2","piece":2,"step":1,"measured":90,"confirmed":true}`, 0},
		{Event{Kind: EventQuantity, Detail: "3"}, `{"id":"r3","piece":3,"step":1,"measured":90,"confirmed":true}`, 0},
		{Event{Kind: EventQuantity, Detail: "2"}, `{"id":"r4","piece":3,"step":2,"measured":45,"confirmed":true}`, fault.Invalid},
		{Event{Kind: EventVoided}, body("r5", 1, 2, 45), fault.Conflict},
	}
	for _, x := range steps {
		x.event.Code = code(1)
		if err := s.AddEvent(ctx, x.event); err != nil {
			t.Fatal(err)
		}
		_, err := post(s, code(1), x.body)
		if x.want != 0 {
			refused(t, err, x.want, "AddReading after "+x.event.Kind)
		} else if err != nil {
			t.Errorf("AddReading after %s = %v, want it taken", x.event.Kind, err)
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
