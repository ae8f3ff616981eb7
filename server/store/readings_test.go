package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"reflect"
	"strings"
	"sync"
	"testing"

	"brakeside/calc/fault"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

func TestAddReading(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	full := `{"id":"r1","piece":1,"step":1,"measured":90.6,"given_as":"opening","stop":92.5,"place":"left","by":"AB","state":"as-bent",
		"note":"a 'quoted' \"note\"","flags":["bar-lifted","corner-torn"],"leg":33.5,"pack":"P1","thickness":1.48,"nose_setback":[1.5,null],
		"tool":"bevel","confirmed":true,"at":"2026-05-04T11:59:00Z"}`
	a := mustPost(t, s, strings.ToUpper(code(1)), full)
	var answer struct {
		Reading     json.RawMessage
		Error       float64
		InTolerance bool `json:"in_tolerance"`
		Next        progress.Spot
	}
	if err := json.Unmarshal(a.Body, &answer); err != nil {
		t.Fatal(err)
	}
	if a.Repeated || answer.Error != -0.6 || !answer.InTolerance || answer.Next != (progress.Spot{Piece: 1, Step: 2}) {
		t.Errorf("AddReading = %s, repeated %t, want error -0.6, in tolerance, next 1/2, not repeated", a.Body, a.Repeated)
	}
	mustPost(t, s, code(1), body("r2", 1, 2, 45.3))
	want, err := progress.ReadReading([]byte(full))
	if err != nil {
		t.Fatal(err)
	}
	want.Error, want.StopBend, want.Seq, want.Received = -60, 9250, 1, "2026-05-04T12:00:00Z"
	got, err := s.Readings(context.Background(), code(1))
	if err != nil || len(got) != 2 || !reflect.DeepEqual(got[0], want) {
		t.Fatalf("Readings() = %+v, %v, want %+v first of 2", got, err, want)
	}
	stored, err := got[0].MarshalJSON()
	if err != nil || !bytes.Equal(stored, answer.Reading) {
		t.Errorf("reading in the answer = %s, want as stored: %s", answer.Reading, stored)
	}
}

func TestRepeatedReading(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 3))
	issue(t, s, plan(2, 3))
	first := mustPost(t, s, code(1), body("r1", 1, 1, 90))
	mustPost(t, s, code(1), body("r2", 1, 2, 45))
	again, err := post(s, code(1), body("r1", 1, 1, 90))
	if err != nil || !again.Repeated || !bytes.Equal(again.Body, first.Body) {
		t.Errorf("AddReading(the same again) = %s, repeated %t, %v, want the first answer %s", again.Body, again.Repeated, err, first.Body)
	}
	_, err = post(s, code(1), body("r1", 1, 1, 90.1))
	refused(t, err, fault.Conflict, "AddReading(another body under a stored id)")
	_, err = post(s, code(1), body("r1", 1, 1, 90)+" ")
	refused(t, err, fault.Conflict, "AddReading(other bytes under a stored id)")
	_, err = post(s, code(2), body("r1", 1, 1, 90))
	refused(t, err, fault.Conflict, "AddReading(the id of another sheet)")
	for _, kind := range []string{standing.Closed, standing.Voided} {
		if err := s.AddEvent(ctx, Event{Code: code(1), Kind: kind, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	if again, err := post(s, code(1), body("r1", 1, 1, 90)); err != nil || !again.Repeated {
		t.Errorf("AddReading(the same, sheet voided since) = %v, want the first answer", err)
	}
	if got, err := s.Readings(ctx, code(1)); err != nil || len(got) != 2 {
		t.Errorf("Readings() = %d, %v, want 2", len(got), err)
	}
}

func TestAddReadingRefuses(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	cases := []struct {
		name, code, body string
		want             fault.Kind
	}{
		{"unknown sheet", "nosuchcode", body("x1", 1, 1, 90), fault.Missing},
		{"a question", code(1), body("x6", 1, 1, 70), fault.Unsure},
		{"not on the sheet", code(1), body("x7", 1, 7, 90), fault.Invalid},
		{"a piece that never was", code(1), body("x8", 4, 1, 90), fault.Invalid},
		{"scrapped without a note", code(1), `{"id":"x9","piece":1,"step":1,"measured":60,"state":"scrapped"}`, fault.Invalid},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := post(s, c.code, c.body)
			refused(t, err, c.want, "AddReading")
		})
	}
	var n int
	if err := s.read.QueryRow(`SELECT count(*) FROM reading`).Scan(&n); err != nil || n != 0 {
		t.Errorf("readings stored = %d, %v, want none: no refused one", n, err)
	}
}

// A fact is stored whatever the standing of its traveler, and says what was out
// of turn.
func TestFactsAreStored(t *testing.T) {
	s := openStore(t, t.TempDir())
	for n := 1; n <= 8; n++ {
		issue(t, s, plan(n, 3))
	}
	for _, e := range []Event{
		{Code: code(2), Kind: standing.Closed, Detail: "seen"}, {Code: code(3), Kind: standing.Voided, Detail: "seen"},
		{Code: code(4), Kind: standing.Replaced, Detail: code(1)},
		{Code: code(5), Kind: standing.Replaced, Detail: code(1)}, {Code: code(5), Kind: standing.FinishAllowed, Detail: "seen"},
		{Code: code(6), Kind: standing.Released, Detail: "seen"}, {Code: code(7), Kind: standing.Held, Detail: "bar cracked"},
		{Code: code(8), Kind: standing.Requantified, Detail: "2"},
	} {
		if err := s.AddEvent(context.Background(), e); err != nil {
			t.Fatal(err)
		}
	}
	cases := []struct {
		name         string
		sheet        int
		piece, step  int
		flags        string
		supersededBy string
		halt         string
		teaches      bool
	}{
		{"in turn", 1, 1, 1, "", "", "", true},
		{"closed", 2, 1, 1, "sheet-closed", "", standing.IsClosed, true},
		{"void", 3, 1, 1, "sheet-closed", "", standing.IsVoid, true},
		{"replaced", 4, 1, 1, "sheet-replaced", code(1), standing.IsReplaced, true},
		{"replaced, to be finished", 5, 1, 1, "", code(1), "", true},
		{"before the first piece", 1, 2, 1, "before-first-piece", "", "", true},
		{"out of order, the run being released", 6, 2, 2, "out-of-order", "", "", true},
		{"twice", 1, 1, 1, "twice", "", "", false},
		{"held", 7, 1, 1, "run-held", "", standing.IsHeld, false},
		{"a piece that is not wanted any more", 8, 3, 1, "before-first-piece", "", "", true},
		{"replaced and before the first piece", 4, 3, 2, "sheet-replaced,before-first-piece", code(1), standing.IsReplaced, true},
	}
	for i, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			id := fmt.Sprintf("f%d", i)
			a := mustPost(t, s, code(c.sheet), body(id, c.piece, c.step, []float64{90, 45}[c.step-1]))
			var answer struct {
				Reading      struct{ Flags []string }
				SupersededBy string `json:"superseded_by"`
				Halt         standing.Halt
			}
			if err := json.Unmarshal(a.Body, &answer); err != nil {
				t.Fatal(err)
			}
			if got := strings.Join(answer.Reading.Flags, ","); got != c.flags || answer.SupersededBy != c.supersededBy || answer.Halt.Cause != c.halt {
				t.Errorf("answer %s, want flags %q, superseded by %q, halt %q", a.Body, c.flags, c.supersededBy, c.halt)
			}
			var flags string
			var teaches bool
			err := s.read.QueryRow(`SELECT flags, teaches FROM reading WHERE id = ?`, id).Scan(&flags, &teaches)
			if err != nil || flags != c.flags || teaches != c.teaches {
				t.Errorf("stored with flags %q, teaches %t, %v, want %q, %t", flags, teaches, err, c.flags, c.teaches)
			}
		})
	}
}

// 20 goroutines with 50 readings each: every one is stored once, also when half
// of them are sent twice at the same time.
func TestManyAtOnce(t *testing.T) {
	const people, each = 20, 50
	s := openStore(t, t.TempDir())
	for n := range people {
		issue(t, s, plan(n, each))
		if err := s.AddEvent(context.Background(), Event{Code: code(n), Kind: standing.Released, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	var wait sync.WaitGroup
	var fresh, failed sync.Map
	send := func(n, i int) {
		id := fmt.Sprintf("p%d-%d", n, i)
		a, err := post(s, code(n), fmt.Sprintf(`{"id":%q,"piece":%d,"step":1,"measured":90,"confirmed":true}`, id, i+1))
		if err != nil {
			failed.Store(id, err)
		} else if !a.Repeated {
			if _, twice := fresh.LoadOrStore(id, true); twice {
				failed.Store(id, errors.New("stored twice"))
			}
		}
	}
	for n := range people {
		wait.Go(func() {
			for i := range each {
				send(n, i)
			}
		})
		if n%2 == 0 {
			wait.Go(func() {
				for i := range each {
					send(n, i)
				}
			})
		}
	}
	wait.Wait()
	failed.Range(func(id, err any) bool { t.Errorf("reading %v: %v", id, err); return true })
	for n := range people {
		got, err := s.Readings(context.Background(), code(n))
		if err != nil || len(got) != each {
			t.Errorf("Readings(sheet %d) = %d, %v, want %d", n, len(got), err, each)
		}
	}
	var first, last, count int
	err := s.read.QueryRow(`SELECT min(seq), max(seq), count(*) FROM reading`).Scan(&first, &last, &count)
	if err != nil || first != 1 || last != people*each || count != people*each {
		t.Errorf("numbers = %d to %d, %d rows, %v, want 1 to %d without a gap", first, last, count, err, people*each)
	}
}

// One transaction takes good and refused readings: the refused leave no trace,
// and later ones see what came before them in the same transaction.
func TestBatchOfGoodAndBad(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	boom := func(progress.Job, progress.Reading) (progress.Verdict, error) { panic("boom") }
	silly := func(progress.Job, progress.Reading) (progress.Verdict, error) { return progress.Verdict{}, nil }
	broken := func(_ progress.Job, r progress.Reading) (progress.Verdict, error) {
		r.State = "nonsense" // the table's CHECK refuses it
		return progress.Verdict{Reading: r}, nil
	}
	entries := []*entry{
		newEntry(t, body("r1", 1, 1, 90), progress.Judge),
		newEntry(t, body("r2", 1, 1, 70), progress.Judge), // far off: a question
		newEntry(t, body("r3", 1, 2, 45), boom),
		newEntry(t, body("r4", 1, 2, 45), silly),
		newEntry(t, body("r5", 1, 2, 45), broken),
		newEntry(t, body("r1", 1, 1, 90), progress.Judge), // sent twice at once
		newEntry(t, body("r6", 1, 2, 45), progress.Judge),
	}
	s.desk.keep(entries)
	for i, want := range []string{"", "Unsure", "boom", "does not have", "CHECK", "repeated", ""} {
		e := entries[i]
		<-e.done
		switch want {
		case "":
			if e.err != nil || e.answer.Repeated {
				t.Errorf("entry %d = %v, want it stored", i, e.err)
			}
		case "repeated":
			if e.err != nil || !e.answer.Repeated || !bytes.Equal(e.answer.Body, entries[0].answer.Body) {
				t.Errorf("entry %d = %v, repeated %t, want the first answer", i, e.err, e.answer.Repeated)
			}
		case "Unsure":
			refused(t, e.err, fault.Unsure, "far off in one batch")
		default:
			if e.err == nil || fault.KindOf(e.err) != fault.Internal || !strings.Contains(e.err.Error(), want) {
				t.Errorf("entry %d = %v, want a mistake with %q", i, e.err, want)
			}
		}
	}
	got, err := s.Readings(context.Background(), code(1))
	if err != nil || len(got) != 2 || got[0].ID != "r1" || got[1].ID != "r6" || got[1].Seq != 2 {
		t.Errorf("Readings() = %+v, %v, want r1 and r6", got, err)
	}
}

func newEntry(t *testing.T, text string, judge Judge) *entry {
	t.Helper()
	r, err := progress.ReadReading([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return &entry{posted: Posted{Code: code(1), Reading: r, Body: []byte(text)}, judge: judge, done: make(chan struct{})}
}

// What was answered is in the files at that moment: a copy of them taken while
// the service runs, as a power cut would leave them, has it.
func TestAnsweredIsDurable(t *testing.T) {
	dir, after := t.TempDir(), t.TempDir()
	s := openStore(t, dir)
	issue(t, s, plan(1, 3))
	mustPost(t, s, code(1), body("r1", 1, 1, 90))
	mustPost(t, s, code(1), body("r2", 1, 2, 45))
	for _, ending := range []string{"", "-wal"} {
		content, err := os.ReadFile(dbPath(dir) + ending)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dbPath(after)+ending, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := openStore(t, after).Readings(context.Background(), code(1))
	if err != nil || len(got) != 2 {
		t.Errorf("Readings() after the cut = %d, %v, want 2", len(got), err)
	}
}

// Readings that come in while the service stops are stored and answered, or
// refused; never one without the other.
func TestCloseWhileWriting(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	for n := range 8 {
		issue(t, s, plan(n, 1000))
		if err := s.AddEvent(context.Background(), Event{Code: code(n), Kind: standing.Released, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	var wait sync.WaitGroup
	var answered [8]int
	started := make(chan struct{}, 8)
	for n := range 8 {
		wait.Go(func() {
			for i := range 1000 {
				text := fmt.Sprintf(`{"id":"p%d-%d","piece":%d,"step":1,"measured":90,"confirmed":true}`, n, i, i+1)
				if _, err := post(s, code(n), text); err != nil {
					refused(t, err, fault.Busy, "AddReading(stopping)")
					return
				}
				answered[n]++
				if i == 3 {
					started <- struct{}{}
				}
			}
		})
	}
	for range 8 {
		<-started
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	wait.Wait()
	again := openStore(t, dir)
	for n, want := range answered {
		if got, err := again.Readings(context.Background(), code(n)); err != nil || len(got) != want {
			t.Errorf("Readings(sheet %d) = %d, %v, want the %d that were answered", n, len(got), err, want)
		}
	}
}

func TestAddReadingGivesUpWithItsCaller(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	ctx, cancel := context.WithCancel(context.Background())
	holding := make(chan struct{})
	release := make(chan struct{})
	slow := func(job progress.Job, r progress.Reading) (progress.Verdict, error) {
		close(holding)
		<-release
		return progress.Judge(job, r)
	}
	text := body("r1", 1, 1, 90)
	posted := newEntry(t, text, nil).posted
	result := make(chan error)
	go func() {
		_, err := s.AddReading(ctx, posted, slow)
		result <- err
	}()
	<-holding
	cancel()
	if err := <-result; !errors.Is(err, context.Canceled) {
		t.Errorf("AddReading(given up) = %v, want context.Canceled", err)
	}
	close(release)
	again := mustPost(t, s, code(1), text) // sending it again is safe
	if !again.Repeated {
		t.Error("the reading given up by its caller was not stored, or stored twice")
	}
}
