package store

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// clockOf opens a store whose time the test sets.
func clockOf(t *testing.T, now *time.Time) *Store {
	t.Helper()
	s, err := Open(t.TempDir(), func() time.Time { return *now })
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func TestVersion(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	var kept []Revision
	for i, name := range []string{"TR-7", "TR-7", "RB-1"} {
		v, err := s.Keep(ctx, Parts, Revision{Name: name, Revision: "A", Title: fmt.Sprint("draft ", i), JSON: []byte(fmt.Sprintf(`{"n":%d}`, i))})
		if err != nil {
			t.Fatal(err)
		}
		kept = append(kept, v)
	}
	for _, want := range kept {
		got, err := s.Version(ctx, Parts, want.Seq)
		if err != nil || got.Title != want.Title || string(got.JSON) != string(want.JSON) || !got.Created.Equal(noon) {
			t.Errorf("Version(%d) = %+v, %v, want %+v", want.Seq, got, err, want)
		}
	}
	for name, c := range map[string]struct {
		shelf Shelf
		seq   int64
	}{"no such number": {Parts, 99}, "another shelf": {Brakes, kept[0].Seq}, "nothing": {Parts, 0}} {
		if _, err := s.Version(ctx, c.shelf, c.seq); fault.KindOf(err) != fault.Missing {
			t.Errorf("%s: Version = %v, want it missing", name, err)
		}
	}
}

// Marks are kept in their order with their time, and only of the known kinds.
func TestMarks(t *testing.T) {
	now := noon
	s := clockOf(t, &now)
	ctx := context.Background()
	want := []Mark{
		{Number: "TR-7", Revision: "A", Kind: MarkReady, By: RoleOwner}, {Number: "TR-7", Kind: MarkArchived, By: RoleOwner},
		{Number: "TR-7", Kind: MarkRestored, By: RoleOwner}, {Number: "RB-1", Revision: "A", Kind: MarkReady, By: RoleOwner},
	}
	for i := range want {
		now = noon.Add(time.Duration(i) * time.Minute)
		if err := s.AddMark(ctx, want[i]); err != nil {
			t.Fatal(err)
		}
		want[i].At = now
	}
	for _, kind := range []string{"", "draft", "superseded", "READY"} {
		if err := s.AddMark(ctx, Mark{Number: "TR-7", Kind: kind}); fault.KindOf(err) != fault.Invalid {
			t.Errorf("AddMark(%q) = %v, want it refused", kind, err)
		}
	}
	got, err := s.Marks(ctx)
	if d := cmp.Diff(want, got); err != nil || d != "" {
		t.Errorf("Marks() = %v, differs by %s", err, d)
	}
}

// What a sheet was made from is kept with it, and read under its code however
// that is typed.
func TestBasis(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 3))
	if b, err := s.Basis(ctx, code(1)); err != nil || b != (Basis{}) {
		t.Errorf("Basis of a sheet made from nothing kept = %+v, %v, want none", b, err)
	}
	second := plan(2, 3)
	if err := s.AddJob(ctx, Job{Number: second.Job, Part: "TR-7", Revision: "A", Quantity: 3, Brake: "long brake"}); err != nil {
		t.Fatal(err)
	}
	sheet := issued(t, second)
	sheet.Basis = Basis{Part: 4, Brake: 2, Reason: "lower wall"}
	sheet.Supersedes = []string{code(1)}
	if err := s.KeepTraveler(ctx, sheet); err != nil {
		t.Fatal(err)
	}
	for _, typed := range []string{code(2), " ABCD-EFGHJKM000002 "} {
		if b, err := s.Basis(ctx, typed); err != nil || b != sheet.Basis {
			t.Errorf("Basis(%q) = %+v, %v, want %+v", typed, b, err, sheet.Basis)
		}
	}
	if b, err := s.Basis(ctx, "nosuchcode000000"); err != nil || b != (Basis{}) {
		t.Errorf("Basis of no sheet = %+v, %v, want none", b, err)
	}
}

// A pack is what was last said of it; packs in use come first.
func TestPacks(t *testing.T) {
	now := noon
	s := clockOf(t, &now)
	ctx := context.Background()
	for _, p := range []Pack{
		{Name: "P-2", Material: "mild-steel", Thickness: 1500},
		{Name: "P-1", Material: "304", Thickness: 800, Heat: "4711"},
		{Name: "P-3", Material: "304", Thickness: 800, UsedUp: true},
		{Name: "P-2", Material: "mild-steel", Thickness: 1500, Measured: 1460, Note: "left end rusty"},
	} {
		if err := s.KeepPack(ctx, p); err != nil {
			t.Fatal(err)
		}
	}
	for name, p := range map[string]Pack{
		"no name": {Material: "304", Thickness: 800}, "no material": {Name: "P", Thickness: 800}, "no thickness": {Name: "P", Material: "304"}, "below nothing": {Name: "P", Material: "304", Thickness: -1},
	} {
		if err := s.KeepPack(ctx, p); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: KeepPack = %v, want it refused", name, err)
		}
	}
	want := []Pack{
		{Name: "P-1", Material: "304", Thickness: 800, Heat: "4711", At: noon},
		{Name: "P-2", Material: "mild-steel", Thickness: 1500, Measured: 1460, Note: "left end rusty", At: noon},
		{Name: "P-3", Material: "304", Thickness: 800, UsedUp: true, At: noon},
	}
	got, err := s.Packs(ctx)
	if d := cmp.Diff(want, got); err != nil || d != "" {
		t.Errorf("Packs() = %v, differs by %s", err, d)
	}
}

func TestTrials(t *testing.T) {
	now := noon
	s := clockOf(t, &now)
	ctx := context.Background()
	want := []Trial{
		{Material: "304", Thickness: 800, Pack: "P-1", Bar: "wide", Strip: 100_000, Legs: [2]unit.Micron{50_900, 50_800}, Angle: 8850, StopBend: 9200, Radius: 1200, By: "AB"},
		{Material: "mild-steel", Thickness: 1500, Strip: 100_000, Legs: [2]unit.Micron{51_500, 51_200}, Angle: 9000, StopBend: 9150, Radius: 1500, By: "CD"},
	}
	for i := range want {
		now = noon.Add(time.Duration(i) * time.Hour)
		if err := s.AddTrial(ctx, want[i]); err != nil {
			t.Fatal(err)
		}
		want[i].At = now
	}
	want[0], want[1] = want[1], want[0] // newest first
	got, err := s.Trials(ctx)
	if d := cmp.Diff(want, got); err != nil || d != "" {
		t.Errorf("Trials() = %v, differs by %s", err, d)
	}
}
