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
			switch rapid.IntRange(0, 4).Draw(r, "what") {
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
