package store

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"brakeside/calc/unit"
	"brakeside/traveler/standing"
)

// moving is a clock that tests move on.
type moving struct{ time time.Time }

func (m *moving) now() time.Time { return m.time }

// openMoving opens a store whose clock the test moves.
func openMoving(tb testing.TB) (*Store, *moving) {
	tb.Helper()
	clock := &moving{noon}
	s, err := Open(tb.TempDir(), clock.now)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	return s, clock
}

// agreed is a reading that the person has said yes to.
func agreed(id string, piece, step int, measured float64) string {
	return fmt.Sprintf(`{"id":%q,"piece":%d,"step":%d,"measured":%g,"confirmed":true}`, id, piece, step, measured)
}

// twoSheets logs a good first piece on one sheet and a bad one on another, three
// days apart.
func twoSheets(t *testing.T) (*Store, *moving) {
	t.Helper()
	s, clock := openMoving(t)
	first, second := plan(1, 3), plan(2, 3)
	second.Part.Number, second.Part.MaterialID, second.Part.Thickness, second.Brake.Name = "BR-9", "304", 1000, "short brake"
	issue(t, s, first)
	issue(t, s, second)
	mustPost(t, s, code(1), body("a1", 1, 1, 90.4))
	mustPost(t, s, code(1), body("a2", 1, 2, 45))
	clock.time = noon.AddDate(0, 0, 3)
	mustPost(t, s, code(2), `{"id":"b1","piece":1,"step":1,"measured":87,"note":"sheet is curved"}`)
	mustPost(t, s, code(2), `{"id":"b2","piece":1,"step":2,"measured":45,"flags":["bar-lifted"]}`)
	return s, clock
}

func TestChoices(t *testing.T) {
	s, _ := twoSheets(t)
	ctx := context.Background()
	for _, c := range []struct {
		name     string
		choice   Choice
		readings int
		taught   int
	}{
		{"all", Choice{}, 4, 3}, {"material", Choice{Material: "304"}, 2, 1}, {"thickness", Choice{Thickness: 1500}, 2, 2},
		{"bar", Choice{Bar: "narrow"}, 2, 1}, {"brake", Choice{Brake: "short brake"}, 2, 1}, {"part", Choice{Part: "TR-7"}, 2, 2},
		{"job", Choice{Job: "J-2"}, 2, 1}, {"from", Choice{From: "2026-05-05"}, 2, 1}, {"to", Choice{To: "2026-05-04"}, 2, 2},
		{"nothing", Choice{Material: "copper"}, 0, 0}, {"two at once", Choice{Bar: "wide", Brake: "long brake"}, 1, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			totals, err := s.Totals(ctx, c.choice)
			if err != nil || totals.Readings != c.readings {
				t.Errorf("Totals(%+v) = %+v, %v, want %d readings", c.choice, totals, err, c.readings)
			}
			cells, err := s.Cells(ctx, c.choice)
			sum := 0
			for _, cell := range cells {
				sum += cell.N
			}
			if err != nil || sum != c.taught {
				t.Errorf("Cells(%+v) = %+v, %v, want %d readings", c.choice, cells, err, c.taught)
			}
			chosen, err := s.Chosen(ctx, c.choice, 100)
			if err != nil || len(chosen) != c.taught {
				t.Errorf("Chosen(%+v) = %d readings, %v, want %d", c.choice, len(chosen), err, c.taught)
			}
			weeks, err := s.Weeks(ctx, c.choice)
			sum = 0
			for _, w := range weeks {
				sum += w.N
			}
			if err != nil || sum != c.taught {
				t.Errorf("Weeks(%+v) = %+v, %v, want %d readings", c.choice, weeks, err, c.taught)
			}
		})
	}
}

func TestTotals(t *testing.T) {
	s, _ := twoSheets(t)
	got, err := s.Totals(context.Background(), Choice{})
	if want := (Totals{Readings: 4, Lifted: 1, Noted: 1, Sheets: 2, Made: 4, InTolerance: 3}); err != nil || got != want {
		t.Errorf("Totals = %+v, %v, want %+v", got, err, want)
	}
}

func TestWeeksBeginOnMonday(t *testing.T) {
	s, clock := openMoving(t)
	issue(t, s, plan(1, 30))
	if err := s.AddEvent(context.Background(), Event{Code: code(1), Kind: standing.Released, Detail: "seen"}); err != nil {
		t.Fatal(err)
	}
	for i, day := range []string{"2026-05-03", "2026-05-04", "2026-05-10", "2026-05-11"} { // Sunday, Monday, Sunday, Monday
		var err error
		if clock.time, err = time.Parse("2006-01-02", day); err != nil {
			t.Fatal(err)
		}
		mustPost(t, s, code(1), agreed(fmt.Sprint("w", i), i+1, 1, 90+float64(i)/10))
	}
	got, err := s.Weeks(context.Background(), Choice{})
	want := []Span{{"2026-04-27", 1, 0, 0}, {"2026-05-04", 2, 0.15, unit.Deg(math.Sqrt(0.005))}, {"2026-05-11", 1, 0.3, 0}}
	near := cmp.Comparer(func(a, b unit.Deg) bool { return math.Abs(float64(a-b)) < 1e-9 })
	if diff := cmp.Diff(want, got, near); err != nil || diff != "" {
		t.Errorf("Weeks: %v\n%s", err, diff)
	}
}

func TestFirstPieces(t *testing.T) {
	s, _ := twoSheets(t)
	half := plan(3, 2)
	issue(t, s, half)
	mustPost(t, s, code(3), body("c1", 1, 1, 90)) // one of two bends: not yet told
	ctx := context.Background()
	if err := s.SayCause(ctx, code(2), "angle", "owner"); err != nil {
		t.Fatal(err)
	}
	if err := s.SayCause(ctx, code(2), "bar", "owner"); err != nil {
		t.Fatal(err)
	}
	got, err := s.FirstPieces(ctx, Choice{})
	want := []FirstPiece{
		{code(2), "J-2", "BR-9", "short brake", "2026-05-07", false, "bar"},
		{code(1), "J-1", "TR-7", "long brake", "2026-05-04", true, ""},
	}
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("FirstPieces: %v\n%s", err, diff)
	}
}

func TestUnloggedSheets(t *testing.T) {
	s, _ := twoSheets(t)
	ctx := context.Background()
	for n := 3; n <= 6; n++ {
		issue(t, s, plan(n, 4))
	}
	for n, kind := range map[int]string{4: standing.Closed, 5: standing.Voided} {
		if err := s.AddEvent(ctx, Event{Code: code(n), Kind: kind, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	codes := func(c Choice, before time.Time) []string {
		sheets, err := s.UnloggedSheets(ctx, c, before)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, u := range sheets {
			out = append(out, u.Code)
		}
		return out
	}
	if got, want := codes(Choice{}, noon), []string{code(3), code(6)}; !slices.Equal(got, want) {
		t.Errorf("UnloggedSheets = %v, want %v", got, want)
	}
	for name, c := range map[string]Choice{"bar": {Bar: "wide"}, "material": {Material: "mild-steel"}, "thickness": {Thickness: 1500}, "part": {Part: "TR-7"}} {
		if got := codes(c, noon); len(got) != 2 {
			t.Errorf("UnloggedSheets(%s) = %v, want both", name, got)
		}
	}
	for name, c := range map[string]Choice{"bar": {Bar: "fingers"}, "material": {Material: "304"}, "thickness": {Thickness: 1000}, "brake": {Brake: "x"}, "to": {To: "2026-05-03"}} {
		if got := codes(c, noon); got != nil {
			t.Errorf("UnloggedSheets(other %s) = %v, want none", name, got)
		}
	}
	early, _ := time.Parse(time.RFC3339, "2026-05-04T08:00:00Z")
	if got := codes(Choice{}, early); got != nil {
		t.Errorf("UnloggedSheets(before they were issued) = %v, want none", got)
	}
}

// A choice that few readings meet gives all of them, and a limit the newest.
func TestChosenLimit(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	for n := range 5 {
		sheet := plan(n, 9)
		issue(t, s, sheet)
		if err := s.AddEvent(ctx, Event{Code: code(n), Kind: standing.Released, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
		for i := range 6 {
			mustPost(t, s, code(n), agreed(fmt.Sprintf("n%d-%d", n, i), i/2+1, i%2+1, []float64{90, 45}[i%2]))
		}
	}
	got, err := s.Chosen(ctx, Choice{Bar: "narrow"}, 4)
	var ids []string
	for _, x := range got {
		ids = append(ids, x.Reading.ID)
	}
	if want := []string{"n3-5", "n4-1", "n4-3", "n4-5"}; err != nil || !slices.Equal(ids, want) {
		t.Errorf("Chosen(narrow, 4) = %v, %v, want %v", ids, err, want)
	}
	all, err := s.Chosen(ctx, Choice{}, 1000)
	if err != nil || len(all) != 30 || all[0].Reading.ID != "n0-0" || all[29].Reading.ID != "n4-5" {
		t.Errorf("Chosen(all) = %d readings, %v, want 30 from the oldest on", len(all), err)
	}
}

// Of jobs made side by side the newest readings of both are given.
func TestChosenSideBySide(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	for n := range 2 {
		issue(t, s, plan(n, 30))
		if err := s.AddEvent(ctx, Event{Code: code(n), Kind: standing.Released, Detail: "seen"}); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 20 {
		mustPost(t, s, code(i%2), agreed(fmt.Sprintf("s%02d", i), i/2+1, 1, 90))
	}
	got, err := s.Chosen(ctx, Choice{}, 6)
	var ids []string
	for _, x := range got {
		ids = append(ids, x.Reading.ID)
	}
	if want := []string{"s14", "s15", "s16", "s17", "s18", "s19"}; err != nil || !slices.Equal(ids, want) {
		t.Errorf("Chosen(6) = %v, %v, want %v", ids, err, want)
	}
}

// What was added up stays right as readings, corrections and sheets come.
func TestBooksFollow(t *testing.T) {
	s, clock := twoSheets(t)
	ctx := context.Background()
	totals := func() int {
		t.Helper()
		sum, err := s.Totals(ctx, Choice{})
		if err != nil {
			t.Fatal(err)
		}
		return sum.Readings
	}
	before := totals()
	clock.time = noon.AddDate(0, 0, 9)
	mustPost(t, s, code(1), `{"id":"fix","piece":1,"step":1,"measured":89,"corrects":"a1"}`)
	if got := totals(); got != before {
		t.Errorf("%d readings after a correction on another day, %d before", got, before)
	}
	cells, err := s.Cells(ctx, Choice{To: "2026-05-04", Bar: "wide", Part: "TR-7"})
	if err != nil || len(cells) != 0 {
		t.Errorf("the corrected reading still counts on its day: %+v, %v", cells, err)
	}
	issue(t, s, plan(7, 2))
	if sheets, err := s.UnloggedSheets(ctx, Choice{}, clock.time); err != nil || len(sheets) != 1 || sheets[0].Code != code(7) {
		t.Errorf("a new sheet is not seen: %+v, %v", sheets, err)
	}
	if err := s.AddEvent(ctx, Event{Code: code(7), Kind: standing.Closed, Detail: "seen"}); err != nil {
		t.Fatal(err)
	}
	if sheets, err := s.UnloggedSheets(ctx, Choice{}, clock.time); err != nil || len(sheets) != 0 {
		t.Errorf("a closed sheet is not seen to be: %+v, %v", sheets, err)
	}
	if err := s.AddEvent(ctx, Event{Code: code(7), Kind: standing.Reopened, Detail: "not made yet"}); err != nil {
		t.Fatal(err)
	}
	if sheets, err := s.UnloggedSheets(ctx, Choice{}, clock.time); err != nil || len(sheets) != 1 {
		t.Errorf("a sheet that was opened again is not seen to wait: %+v, %v", sheets, err)
	}
}

func TestNoted(t *testing.T) {
	s, _ := twoSheets(t)
	got, err := s.Noted(context.Background(), Choice{}, 10)
	if err != nil || len(got) != 2 || got[0].Reading.ID != "b2" || got[1].Reading.Note != "sheet is curved" {
		t.Errorf("Noted = %+v, %v, want b2 then b1", got, err)
	}
	if got, err = s.Noted(context.Background(), Choice{Brake: "long brake"}, 10); err != nil || len(got) != 0 {
		t.Errorf("Noted(long brake) = %+v, %v, want none", got, err)
	}
}

// What teaches nothing is shown aside; sheets are listed by their last use.
func TestAside(t *testing.T) {
	s, _ := twoSheets(t)
	ctx := context.Background()
	mustPost(t, s, code(1), agreed("far", 2, 1, 100))
	mustPost(t, s, code(1), `{"id":"rw","piece":2,"step":1,"measured":90,"state":"reworked","confirmed":true}`)
	got, err := s.Aside(ctx, Choice{}, 10)
	var ids []string
	for _, x := range got {
		ids = append(ids, x.Reading.ID)
	}
	if want := []string{"rw", "far", "b2"}; err != nil || !slices.Equal(ids, want) {
		t.Errorf("Aside = %v, %v, want %v", ids, err, want)
	}
	if got, err = s.Aside(ctx, Choice{Material: "304"}, 10); err != nil || len(got) != 1 {
		t.Errorf("Aside(304) = %+v, %v, want b2", got, err)
	}
	codes, err := s.SheetsOf(ctx, Choice{}, 10)
	if want := []string{code(1), code(2)}; err != nil || !slices.Equal(codes, want) {
		t.Errorf("SheetsOf = %v, %v, want %v", codes, err, want)
	}
	if codes, err = s.SheetsOf(ctx, Choice{}, 1); err != nil || len(codes) != 1 {
		t.Errorf("SheetsOf(1) = %v, %v, want one", codes, err)
	}
}

func TestLessons(t *testing.T) {
	s, _ := twoSheets(t)
	ctx := context.Background()
	state, err := s.LogState(ctx)
	if err != nil || state != (LogState{Last: 4}) {
		t.Errorf("LogState = %+v, %v, want 4 readings and no correction", state, err)
	}
	mustPost(t, s, code(1), `{"id":"a3","piece":1,"step":1,"measured":89,"corrects":"a1"}`)
	if state, err = s.LogState(ctx); err != nil || state != (LogState{5, 5}) {
		t.Errorf("LogState = %+v, %v, want 5 and 5", state, err)
	}
	ids := func(after int64, most int) (out []string) {
		all, err := s.LessonsAfter(ctx, after, most)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range all {
			out = append(out, x.Reading.ID)
		}
		return out
	}
	if got, want := ids(0, 10), []string{"a2", "b1", "a3"}; !slices.Equal(got, want) {
		t.Errorf("LessonsAfter(0) = %v, want %v: a1 is corrected, b2 flagged", got, want)
	}
	if got, want := ids(2, 1), []string{"b1"}; !slices.Equal(got, want) {
		t.Errorf("LessonsAfter(2, 1) = %v, want %v", got, want)
	}
	if from, err := s.LessonsFrom(ctx, 2); err != nil || len(ids(from, 10)) != 2 {
		t.Errorf("LessonsFrom(2) = %d, %v, which leaves %v", from, err, ids(from, 10))
	}
	if from, err := s.LessonsFrom(ctx, 100); err != nil || from != 0 {
		t.Errorf("LessonsFrom(100) = %d, %v, want 0", from, err)
	}
	all, err := s.OfSheet(ctx, code(1))
	if err != nil || len(all) != 3 || !all[0].Corrected || all[2].Corrected {
		t.Errorf("OfSheet = %+v, %v, want three, the first corrected", all, err)
	}
}

func TestLists(t *testing.T) {
	s, _ := twoSheets(t)
	got, err := s.Lists(context.Background())
	want := Lists{[]string{"304", "mild-steel"}, []string{"narrow", "wide"}, []string{"long brake", "short brake"}, []string{"BR-9", "TR-7"}, []unit.Micron{1000, 1500}}
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("Lists: %v\n%s", err, diff)
	}
}

// How far the log has come is asked again and again while it is caught up with: no
// reading is read for it.
func TestLogStateReadsNoReadings(t *testing.T) {
	s := openStore(t, t.TempDir())
	plan := strings.Join(lines(t, s, "EXPLAIN QUERY PLAN "+logState), "\n")
	if !strings.Contains(plan, "USING COVERING INDEX reading_corrects") || strings.Contains(plan, "SCAN reading") {
		t.Errorf("the newest correction is searched for:\n%s", plan)
	}
}
