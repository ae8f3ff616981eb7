package store

import (
	"bytes"
	"context"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/traveler"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

func TestKeepTraveler(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	want := plan(1, 3)
	issue(t, s, want)
	for _, given := range []string{code(1), strings.ToUpper(code(1)), code(1)[:4] + " " + code(1)[4:]} {
		got, err := s.TravelerByCode(ctx, given)
		if err != nil {
			t.Fatalf("TravelerByCode(%s) = %v", given, err)
		}
		if got.Traveler.Code != want.Code || got.Quantity != 3 || !reflect.DeepEqual(got.Standing, Standing{Quantity: 3, Most: 3}) {
			t.Errorf("TravelerByCode(%s) = %s, %+v, want %s, 3 pieces", given, got.Traveler.Code, got.Standing, want.Code)
		}
		snapshot, err := traveler.Encode(got.Traveler)
		if err != nil || !bytes.Equal(snapshot, issued(t, want).Snapshot) || got.Digest != traveler.Digest(snapshot) {
			t.Errorf("TravelerByCode(%s) is not the one that was issued: %v", given, err)
		}
		if pdf, err := s.SheetPDF(ctx, given); err != nil || string(pdf) != "%PDF of "+code(1) {
			t.Errorf("SheetPDF(%s) = %s, %v, want as issued", given, pdf, err)
		}
	}
	_, err := s.TravelerByCode(ctx, "nosuchcode")
	refused(t, err, fault.Missing, "TravelerByCode(unknown)")
	_, err = s.SheetPDF(ctx, "nosuchcode")
	refused(t, err, fault.Missing, "SheetPDF(unknown)")
	_, err = s.Readings(ctx, "nosuchcode")
	refused(t, err, fault.Missing, "Readings(unknown)")
}

func TestKeepTravelerRefuses(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 3))
	if err := s.AddJob(ctx, Job{Number: "J-2", Quantity: 1}); err != nil {
		t.Fatal(err)
	}
	second := issued(t, plan(2, 1))
	mixed := second
	mixed.Snapshot = issued(t, plan(1, 3)).Snapshot
	unreadable := second
	unreadable.Snapshot = []byte("{}")
	replacing := second
	replacing.Supersedes = []string{code(1), "nosuchcode"}
	timeless := plan(2, 1)
	timeless.IssuedAt = "today"
	cases := []struct {
		name   string
		issued Issued
		want   fault.Kind
	}{
		{"the same sheet again", issued(t, plan(1, 3)), fault.Conflict},
		{"another plan under the same code", issued(t, plan(1, 4)), fault.Conflict},
		{"no such job", issued(t, plan(3, 1)), fault.Missing},
		{"a snapshot of another sheet", mixed, fault.Invalid},
		{"an unreadable snapshot", unreadable, fault.Invalid},
		{"replacing what is not there", replacing, fault.Missing},
		{"an unreadable time", issued(t, timeless), fault.Invalid},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { refused(t, s.KeepTraveler(ctx, c.issued), c.want, "KeepTraveler") })
	}
	lines, err := s.Travelers(ctx)
	if err != nil || len(lines) != 1 {
		t.Errorf("Travelers() after refusals = %d, %v, want the first sheet only", len(lines), err)
	}
	kept, err := s.TravelerByCode(ctx, code(1))
	if err != nil || kept.SupersededBy != "" || kept.Traveler.Quantity != 3 {
		t.Errorf("first sheet after refusals = %+v, %v, want it untouched", kept.Standing, err)
	}
}

func TestStanding(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	for n := 1; n <= 5; n++ {
		issue(t, s, plan(n, 3))
	}
	if err := s.AddJob(ctx, Job{Number: "J-6", Quantity: 3}); err != nil {
		t.Fatal(err)
	}
	newer := issued(t, plan(6, 3))
	newer.Supersedes = []string{strings.ToUpper(code(5))}
	if err := s.KeepTraveler(ctx, newer); err != nil {
		t.Fatal(err)
	}
	for _, e := range []Event{
		{Code: code(1), Kind: standing.Released, By: "owner", Detail: "first piece seen"},
		{Code: code(1), Kind: standing.Requantified, Detail: "5"},
		{Code: code(1), Kind: standing.Requantified, Detail: "4"},
		{Code: code(2), Kind: standing.Closed, Detail: "seen"},
		{Code: code(3), Kind: standing.Voided, Detail: "seen"},
		{Code: code(4), Kind: standing.Replaced, Detail: code(6)},
		{Code: strings.ToUpper(code(4)), Kind: standing.FinishAllowed, Detail: "seen"},
	} {
		if err := s.AddEvent(ctx, e); err != nil {
			t.Fatal(err)
		}
	}
	for n, want := range map[int]Standing{
		1: {Override: true, Quantity: 4, Most: 5},
		2: {Closed: true, Reason: "seen", Quantity: 3, Most: 3},
		3: {Voided: true, Reason: "seen", Quantity: 3, Most: 3},
		4: {SupersededBy: code(6), FinishAllowed: true, Quantity: 3, Most: 3},
		5: {SupersededBy: code(6), Quantity: 3, Most: 3},
		6: {Quantity: 3, Most: 3},
	} {
		if got, err := s.TravelerByCode(ctx, code(n)); err != nil || !reflect.DeepEqual(got.Standing, want) {
			t.Errorf("standing of sheet %d = %+v, %v, want %+v", n, got.Standing, err, want)
		}
	}
	job, err := s.Progress(ctx, code(1))
	if err != nil || !job.Override || job.Quantity != 4 {
		t.Errorf("Progress(sheet 1) = override %t, quantity %d, %v, want true, 4", job.Override, job.Quantity, err)
	}
	events, err := s.Events(ctx, code(1))
	want := Event{Code: code(1), Kind: standing.Released, Detail: "first piece seen", By: "owner", At: noon}
	if err != nil || len(events) != 3 || events[0] != want {
		t.Errorf("Events(sheet 1) = %+v, %v, want %+v first of 3", events, err, want)
	}
}

func TestAddEventRefuses(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	cases := []struct {
		name string
		e    Event
		want fault.Kind
	}{
		{"unknown sheet", Event{Code: "none", Kind: standing.Closed, Detail: "seen"}, fault.Missing},
		{"no reason", Event{Code: code(1), Kind: standing.Closed}, fault.Invalid},
		{"unknown kind", Event{Code: code(1), Kind: "lost"}, fault.Invalid},
		{"replaced by an unknown sheet", Event{Code: code(1), Kind: standing.Replaced, Detail: "none"}, fault.Missing},
		{"replaced by itself", Event{Code: code(1), Kind: standing.Replaced, Detail: strings.ToUpper(code(1))}, fault.Invalid},
		{"no quantity", Event{Code: code(1), Kind: standing.Requantified}, fault.Invalid},
		{"quantity 0", Event{Code: code(1), Kind: standing.Requantified, Detail: "0"}, fault.Invalid},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { refused(t, s.AddEvent(context.Background(), c.e), c.want, "AddEvent") })
	}
}

// The list counts in SQL what package progress counts in Go: they must agree.
func TestTravelersAgreesWithProgress(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	for n := 1; n <= 3; n++ {
		issue(t, s, plan(n, 3))
	}
	for i, text := range []string{
		body("a1", 1, 1, 90), body("a2", 1, 2, 45), body("a3", 2, 1, 90),
		`{"id":"a4","piece":2,"step":1,"measured":90.2,"corrects":"a3"}`,
		`{"id":"a5","piece":3,"step":1,"measured":70,"state":"scrapped","note":"torn"}`,
		`{"id":"a6","piece":2,"step":1,"measured":90,"state":"reworked"}`,
		`{"id":"a7","piece":3,"step":2,"measured":45,"confirmed":true}`,
		`{"id":"a8","piece":1,"step":2,"measured":45,"state":"scrapped","note":"torn"}`,
		`{"id":"a9","piece":1,"step":2,"measured":45,"corrects":"a8","confirmed":true}`,
		body("aa", 2, 2, 45), `{"id":"ab","piece":2,"step":2,"measured":45,"corrects":"aa","flags":["withdrawn"]}`,
	} {
		mustPost(t, s, code(1), text)
		if i == 0 {
			mustPost(t, s, code(2), body("b1", 1, 1, 90))
		}
	}
	for _, e := range []Event{{Code: code(2), Kind: standing.Requantified, Detail: "7"}, {Code: code(2), Kind: standing.Resampled, Detail: "3"}} {
		if err := s.AddEvent(ctx, e); err != nil {
			t.Fatal(err)
		}
	}
	lines, err := s.Travelers(ctx)
	if err != nil || len(lines) != 3 || lines[0].Code != code(3) {
		t.Fatalf("Travelers() = %+v, %v, want 3, the newest first", lines, err)
	}
	for _, l := range lines {
		job, err := s.Progress(ctx, l.Code)
		if err != nil {
			t.Fatal(err)
		}
		scrapped := progress.Scrapped(job)
		done := doneBends(job, scrapped)
		bends := 2 * len(progress.Sample(job))
		if l.Done != done || l.Scrapped != len(scrapped) || l.Readings != len(job.Readings) || l.Bends != bends {
			t.Errorf("line of %s = done %d, scrapped %d, readings %d, bends %d, want %d, %d, %d, %d",
				l.Code, l.Done, l.Scrapped, l.Readings, l.Bends, done, len(scrapped), len(job.Readings), bends)
		}
		measured, good := asBent(job)
		if l.Measured != measured || l.InTolerance != good {
			t.Errorf("line of %s = %d of %d in tolerance, want %d of %d", l.Code, l.InTolerance, l.Measured, good, measured)
		}
		if l.LastReading.IsZero() != (len(job.Readings) == 0) || !l.LastReading.IsZero() && !l.LastReading.Equal(noon) {
			t.Errorf("line of %s: last reading %v with %d readings", l.Code, l.LastReading, len(job.Readings))
		}
	}
	want := Line{Code: code(2), Job: "J-2", Part: "TR-7", Revision: "A", Brake: "long brake", Thickness: 1500, Steps: 2, IssuedAt: lines[1].IssuedAt,
		Standing: Standing{Quantity: 7, Most: 7, Every: 3}, Bends: 8, Done: 1, Readings: 1, Measured: 1, InTolerance: 1, LastReading: noon}
	if !reflect.DeepEqual(lines[1], want) {
		t.Errorf("line of sheet 2 = %+v, want %+v", lines[1], want)
	}
}

// asBent counts the readings that say how the bends came off the brake.
func asBent(job progress.Job) (measured, good int) {
	for _, r := range progress.Counted(job) {
		if r.State == progress.StateReworked {
			continue
		}
		measured++
		if step, _ := progress.StepOf(job.Traveler, r.Step); max(r.Error, -r.Error) <= step.Tolerance {
			good++
		}
	}
	return measured, good
}

// doneBends counts the plain way.
func doneBends(job progress.Job, scrapped []int) int {
	done := make(map[string]bool)
	for _, r := range progress.Counted(job) {
		done[fmt.Sprint(r.Piece, " ", r.Step)] = true
	}
	for _, piece := range scrapped {
		for _, step := range job.Traveler.Steps {
			delete(done, fmt.Sprint(piece, " ", step.Number))
		}
	}
	return len(done)
}

// More sheets than are kept decoded in memory must still all be found.
func TestManyPlans(t *testing.T) {
	s := openStore(t, t.TempDir())
	for n := range plansKept + 10 {
		issue(t, s, plan(n, 1))
	}
	for n := range plansKept + 10 {
		if got, err := s.TravelerByCode(context.Background(), code(n)); err != nil || got.Traveler.Code != code(n) {
			t.Fatalf("TravelerByCode(%d) = %v, %v", n, got.Traveler, err)
		}
	}
	if len(s.plans) > plansKept {
		t.Errorf("%d plans in memory, want at most %d", len(s.plans), plansKept)
	}
}
