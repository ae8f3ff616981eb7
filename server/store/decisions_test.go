package store

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

var cellOne = CellKey{"mild-steel", 1500, 1500, "long brake", "wide"}

func TestDecisions(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	want := []Decision{
		{Kind: DecisionAccepted, Cell: cellOne, Angle: 9000, Was: 150, Offered: 220, Printed: &Printed{40, 180, 30}, N: 7, Words: "from 7 readings of this material", UpTo: 99, By: "owner"},
		{Kind: DecisionRefused, Cell: cellOne, Angle: 9000, Was: 220, Offered: 260, N: 9, UpTo: 120, By: "owner"},
		{Kind: DecisionReturned, Cell: cellOne, Angle: 9000, Was: 220, Offered: 150, UpTo: 130, By: "owner"},
	}
	for i := range want {
		if err := s.AddDecision(ctx, want[i]); err != nil {
			t.Fatal(err)
		}
		want[i].Seq, want[i].At = int64(i+1), noon
	}
	got, err := s.Decisions(ctx)
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("Decisions: %v\n%s", err, diff)
	}
	refused(t, s.AddDecision(ctx, Decision{Kind: DecisionEdited, Cell: cellOne}), fault.Invalid, "AddDecision(edited without a figure)")
	if err := s.AddDecision(ctx, Decision{Kind: "guessed", Cell: cellOne}); err == nil {
		t.Error("AddDecision(guessed) was kept")
	}
}

// Further scans within ten minutes are the same scan.
func TestOldScans(t *testing.T) {
	s, clock := openMoving(t)
	ctx := context.Background()
	issue(t, s, plan(1, 1))
	for _, minutes := range []int{0, 1, 9, 11, 30} {
		clock.time = noon.Add(time.Duration(minutes) * time.Minute)
		if err := s.NoteOldScan(ctx, strings.ToUpper(code(1))); err != nil {
			t.Fatal(err)
		}
	}
	got, err := s.OldScans(ctx, Choice{})
	want := []OldScan{{code(1), "J-1", "TR-7", "A", 3, noon.Add(30 * time.Minute)}}
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("OldScans: %v\n%s", err, diff)
	}
	for name, c := range map[string]Choice{"another day": {From: "2026-05-05"}, "another part": {Part: "X"}, "another brake": {Brake: "X"}} {
		if got, err := s.OldScans(ctx, c); err != nil || got != nil {
			t.Errorf("OldScans(%s) = %v, %v, want none", name, got, err)
		}
	}
	if err := s.NoteOldScan(ctx, code(99)); err == nil {
		t.Error("a scan of no sheet was kept")
	}
}

func TestStudies(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	first := Study{Tool: "bevel protractor", People: []string{"AB", "CD"}, Readings: [][][]unit.CentiDeg{{{9000, 9010}, {4500, 4490}, {8000, 8010}}, {{9020, 9030}, {4510, 4510}, {8000, 8000}}}}
	second := Study{Tool: "digital", People: []string{"CD", "EF"}, Readings: [][][]unit.CentiDeg{{{1, 2}, {3, 4}}, {{5, 6}, {7, 8}}}}
	for _, study := range []Study{first, second} {
		if err := s.AddStudy(ctx, study); err != nil {
			t.Fatal(err)
		}
	}
	first.Seq, first.At, second.Seq, second.At = 1, noon, 2, noon
	got, err := s.Studies(ctx)
	if diff := cmp.Diff([]Study{second, first}, got); err != nil || diff != "" {
		t.Errorf("Studies: %v\n%s", err, diff)
	}
	refusedStudy := Study{Tool: "x", People: []string{""}, Readings: [][][]unit.CentiDeg{{{1}}}}
	if err := s.AddStudy(ctx, refusedStudy); err == nil {
		t.Error("a study of nobody was kept")
	}
	if again, _ := s.Studies(ctx); len(again) != 2 {
		t.Errorf("%d studies after a failed one, want 2: it is kept whole or not at all", len(again))
	}
}

// What was decided, scanned or measured is never changed or removed.
func TestLessonsAreFrozen(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 1))
	for _, err := range []error{
		s.AddDecision(ctx, Decision{Kind: DecisionAccepted, Cell: cellOne, Printed: &Printed{}}), s.NoteOldScan(ctx, code(1)), s.SayCause(ctx, code(1), "angle", "o"),
		s.AddStudy(ctx, Study{People: []string{"A"}, Readings: [][][]unit.CentiDeg{{{1}}}}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for table, change := range map[string]string{"figure": "at90 = 1", "old_scan": "at = ''", "first_piece_cause": "cause = ''", "gauge_study": "tool = ''", "gauge_reading": "measured = 0"} {
		for _, statement := range []string{"UPDATE " + table + " SET " + change, "DELETE FROM " + table} {
			if _, err := s.write.Exec(statement); err == nil || !strings.Contains(err.Error(), "never") {
				t.Errorf("%s = %v, want it refused", statement, err)
			}
		}
	}
}
