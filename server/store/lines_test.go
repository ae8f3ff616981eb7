package store

import (
	"context"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/traveler/standing"
)

// Whatever happens to sheets, the list that was mended is the one that is read
// anew.
func TestListFollows(t *testing.T) {
	s, clock := openMoving(t)
	ctx := context.Background()
	sheets, listed := 0, 0
	rapid.Check(t, func(r *rapid.T) {
		for range rapid.IntRange(1, 6).Draw(r, "steps") {
			which := code(rapid.IntRange(max(sheets-3, 1), max(sheets, 1)).Draw(r, "sheet"))
			var err error
			switch rapid.IntRange(0, 5).Draw(r, "what") {
			case 0:
				sheets++
				clock.time = clock.time.AddDate(0, 0, rapid.IntRange(0, 1).Draw(r, "days"))
				sheet := plan(sheets, 3)
				sheet.IssuedAt = stamp(clock.time)
				issue(t, s, sheet)
			case 1, 2:
				listed++
				state := rapid.SampledFrom([]string{"as-bent", "reworked", "scrapped"}).Draw(r, "state")
				_, err = post(s, which, fmt.Sprintf(`{"id":"l%d","piece":%d,"step":%d,"measured":90,"state":%q,"note":"seen","confirmed":true}`, listed,
					rapid.IntRange(1, 3).Draw(r, "piece"), rapid.IntRange(1, 2).Draw(r, "step"), state))
			case 3:
				err = s.AddEvent(ctx, Event{Code: which, Kind: rapid.SampledFrom(standing.Kinds(false)).Draw(r, "kind"),
					Piece: rapid.IntRange(0, 3).Draw(r, "which piece"), Detail: "5"})
			case 4:
				err = s.DetailJob(ctx, JobDetail{Job: plan(rapid.IntRange(1, max(sheets, 1)).Draw(r, "which job"), 3).Job,
					Due: rapid.SampledFrom([]string{"", "2026-06-01"}).Draw(r, "due"), Turn: rapid.IntRange(0, 3).Draw(r, "turn")})
			case 5:
				err = s.AddEvent(ctx, Event{Code: which, Kind: standing.Requantified, Detail: fmt.Sprint(rapid.IntRange(1, 9).Draw(r, "quantity"))})
			}
			if err != nil && fault.KindOf(err) == fault.Internal {
				t.Fatal(err)
			}
		}
		mended, err := s.Travelers(ctx)
		if err != nil {
			t.Fatal(err)
		}
		s.lines.lock.Lock()
		s.lines.read, s.lines.lines, s.lines.places = marks{}, nil, nil
		s.lines.lock.Unlock()
		anew, err := s.Travelers(ctx)
		if diff := cmp.Diff(anew, mended); err != nil || diff != "" {
			r.Fatalf("%v, - read anew, + mended:\n%s", err, diff)
		}
	})
	if lines, err := s.Travelers(ctx); err != nil || len(lines) != sheets || sheets < 20 {
		t.Errorf("%d lines, %v, of %d sheets: the property was hardly tried", len(lines), err, sheets)
	}
}

// A list that was handed out stays as it was.
func TestListIsNotChangedBehindItsReader(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 3))
	before, err := s.Travelers(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	mustPost(t, s, code(1), body("a", 1, 1, 90))
	issue(t, s, plan(2, 3))
	after, err := s.Travelers(context.Background())
	if err != nil || len(before) != 1 || before[0].Readings != 0 || len(after) != 2 || after[1].Readings != 1 {
		t.Errorf("lists = %+v then %+v, %v, want one without readings, then two with one", before, after, err)
	}
}

// What the office says of a job is in its line; what was said last counts.
func TestDetailJob(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 3))
	issue(t, s, plan(2, 3))
	first, second := plan(1, 3).Job, plan(2, 3).Job
	for _, said := range [][]JobDetail{
		{{Job: first, Due: "2026-06-01", Customer: "Hillside Pumps", Turn: 2}, {Job: second, Turn: 1}},
		{{Job: first, Due: "2026-06-02", Customer: "Hillside Pumps", Note: "call first", Turn: 3, By: "owner"}},
	} {
		if err := s.DetailJob(ctx, said...); err != nil {
			t.Fatal(err)
		}
	}
	refused(t, s.DetailJob(ctx, JobDetail{Job: second, Turn: 9}, JobDetail{Job: "none"}), fault.Missing, "DetailJob(no such job)")
	lines, err := s.Travelers(ctx)
	if err != nil || len(lines) != 2 {
		t.Fatalf("lines = %+v, %v", lines, err)
	}
	for _, l := range lines {
		got := JobDetail{Job: l.Job, Due: l.Due, Customer: l.Customer, Note: l.Note, Turn: l.Turn}
		want := map[string]JobDetail{
			first: {Job: first, Due: "2026-06-02", Customer: "Hillside Pumps", Note: "call first", Turn: 3}, second: {Job: second, Turn: 1},
		}[l.Job]
		if got != want {
			t.Errorf("line of %s says %+v, want %+v", l.Job, got, want)
		}
	}
}

// A line tells what the frozen traveler says of its part and its minutes.
func TestLinesTell(t *testing.T) {
	s := openStore(t, t.TempDir())
	sheet := plan(1, 3)
	sheet.Minutes, sheet.Part.Title, sheet.Part.Material, sheet.Part.Thickness = 1225, "Rail \"foot\" – left", "mild steel", 1500
	issue(t, s, sheet)
	lines, err := s.Travelers(context.Background())
	if err != nil || len(lines) != 1 {
		t.Fatalf("lines = %+v, %v", lines, err)
	}
	if l := lines[0]; l.Minutes != 1225 || l.Title != sheet.Part.Title || l.Material != "mild steel" || l.Thickness != 1500 {
		t.Errorf("line = %+v, want what its traveler says", l)
	}
}
