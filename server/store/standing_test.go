package store

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

// The table takes the very kinds that the rules know.
func TestKindsInTheDatabase(t *testing.T) {
	s := openStore(t, t.TempDir())
	var made string
	if err := s.read.QueryRow(`SELECT sql FROM sqlite_schema WHERE name = 'traveler_event'`).Scan(&made); err != nil {
		t.Fatal(err)
	}
	_, list, _ := strings.Cut(made, "kind IN (")
	list, _, _ = strings.Cut(list, ")")
	var taken []string
	for _, word := range strings.Split(list, ",") {
		taken = append(taken, strings.Trim(strings.TrimSpace(word), "'"))
	}
	known := append(standing.Kinds(false), standing.Replaced, standing.Remade, standing.NewRevision)
	slices.Sort(taken)
	slices.Sort(known)
	if !slices.Equal(taken, known) {
		t.Errorf("the table takes %v, the rules know %v", taken, known)
	}
}

// Nothing happens to a void traveler on any road, unless it is opened again.
func TestNothingAfterVoid(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	issue(t, s, plan(1, 3))
	mustPost(t, s, code(1), `{"id":"a","piece":1,"step":1,"measured":60,"state":"scrapped","note":"torn"}`)
	if err := s.AddEvent(ctx, Event{Code: code(1), Kind: standing.Voided, Detail: "wrong drawing", By: "owner"}); err != nil {
		t.Fatal(err)
	}
	for _, kind := range append(standing.Kinds(false), standing.Replaced, standing.NewRevision) {
		if kind == standing.Reopened {
			continue
		}
		refused(t, s.AddEvent(ctx, Event{Code: code(1), Kind: kind, Detail: "5", Piece: 1}), fault.Conflict, "AddEvent("+kind+")")
	}
	_, err := s.Remake(ctx, code(1), 1, "AB")
	refused(t, err, fault.Conflict, "Remake")
	newer := plan(2, 3)
	newer.Job = "J-1"
	replacing := issued(t, newer)
	replacing.Supersedes = []string{code(1)}
	refused(t, s.KeepTraveler(ctx, replacing), fault.Conflict, "KeepTraveler(in place of it)")
	if _, err := s.write.Exec(`INSERT INTO traveler_event (code, kind, piece, detail, by_whom, at_brake, at) VALUES (?, 'closed', 0, 'x', 'x', 0, 'x')`, code(1)); err == nil {
		t.Error("the table takes an event after void")
	}
	if events, err := s.Events(ctx, code(1)); err != nil || len(events) != 1 {
		t.Errorf("events = %+v, %v, want the one that made it void", events, err)
	}
	for _, kind := range []string{standing.Reopened, standing.Closed} { // once it is open, all may happen again
		if err := s.AddEvent(ctx, Event{Code: code(1), Kind: kind, Detail: "the wrong one was made void", By: "owner"}); err != nil {
			t.Errorf("AddEvent(%s, after void and opened again) = %v", kind, err)
		}
	}
}

// A revision that is or was ready never changes, on no road.
func TestReadyRevisionNeverChanges(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	keep := func(revision string) error {
		_, err := s.Keep(ctx, Parts, Revision{Name: "TR-7", Revision: revision, JSON: []byte(`{}`)})
		return err
	}
	ready := func(revision string) error {
		return s.AddMark(ctx, Mark{Number: "TR-7", Revision: revision, Kind: MarkReady, By: "owner"})
	}
	for _, do := range []error{keep("A"), keep("A"), ready("A"), keep("B"), ready("B")} {
		if do != nil {
			t.Fatal(do)
		}
	}
	refused(t, keep("A"), fault.Conflict, "Keep(superseded)")
	refused(t, keep("B"), fault.Conflict, "Keep(ready)")
	refused(t, ready("A"), fault.Conflict, "AddMark(superseded again)")
	if err := keep("C"); err != nil {
		t.Errorf("Keep(draft) = %v", err)
	}
	if _, err := s.Keep(ctx, Brakes, Revision{Name: "TR-7", Revision: "A", JSON: []byte(`{}`)}); err != nil {
		t.Errorf("Keep(brake of that name) = %v, want it kept", err)
	}
	if _, err := s.write.Exec(`INSERT INTO revision (shelf, name, revision, title, json, created) VALUES ('part', 'TR-7', 'B', '', '{}', '')`); err == nil {
		t.Error("the table takes a change of a ready revision")
	}
	parts, err := s.PartStandings(ctx)
	if got := []string{parts.Of("TR-7", "A"), parts.Of("TR-7", "B"), parts.Of("TR-7", "C")}; err != nil || !slices.Equal(got, []string{standing.Superseded, standing.Ready, standing.Draft}) {
		t.Errorf("A, B and C are %v, %v", got, err)
	}
}

// A revision that becomes ready asks about every traveler of an earlier one from
// which bends are still to be made, and about no other.
func TestNewRevisionAsksAboutOpenTravelers(t *testing.T) {
	s := openStore(t, t.TempDir())
	ctx := context.Background()
	for n := 1; n <= 7; n++ {
		p := plan(n, 1)
		switch n {
		case 5:
			p.Part.Number = "BR-2"
		case 6:
			p.Part.Revision = "B"
		}
		issue(t, s, p)
	}
	mustPost(t, s, code(4), body("a", 1, 1, 90))
	mustPost(t, s, code(4), body("b", 1, 2, 45)) // all in
	mustPost(t, s, code(7), body("c", 1, 1, 90)) // begun
	for _, e := range []Event{{Code: code(2), Kind: standing.Closed, Detail: "seen"}, {Code: code(3), Kind: standing.Voided, Detail: "seen"}} {
		if err := s.AddEvent(ctx, e); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.AddMark(ctx, Mark{Number: "TR-7", Revision: "B", Kind: MarkReady, By: "owner"}); err != nil {
		t.Fatal(err)
	}
	undecided := func() (codes []string) {
		lines, err := s.Travelers(ctx)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range lines {
			if l.NewRevision != "" {
				codes = append(codes, l.Code)
			}
		}
		slices.Sort(codes)
		return codes
	}
	if got := undecided(); !slices.Equal(got, []string{code(1), code(7)}) {
		t.Fatalf("asked about are %v, want the first and the seventh", got)
	}
	k, err := s.TravelerByCode(ctx, code(7))
	if err != nil || k.Halt() == nil || k.Halt().Cause != standing.IsOutdated {
		t.Errorf("its halt = %+v, %v, want that a newer revision exists", k.Halt(), err)
	}
	if err := s.AddEvent(ctx, Event{Code: code(7), Kind: standing.RunOn, Detail: "only the title changed", By: "owner"}); err != nil {
		t.Fatal(err)
	}
	second := plan(8, 1)
	second.Job, second.Part.Revision = "J-1", "B"
	newer := issued(t, second)
	newer.Supersedes = []string{code(1)}
	if err := s.KeepTraveler(ctx, newer); err != nil {
		t.Fatal(err)
	}
	if got := undecided(); len(got) != 0 {
		t.Errorf("still asked about are %v, want none", got)
	}
}

// model is what a traveler must be like after a sequence of events and readings.
type model struct {
	events   []Event
	readings []string // ids
}

// Whatever is written, in whatever order: what the rules allow is what the store
// takes; nothing that was stored is lost; and what is next is a bend that is
// open, or none is.
func TestRulesAndStoreAgree(t *testing.T) {
	s := openStore(t, t.TempDir())
	issue(t, s, plan(1, 1)) // to be named as the newer one
	sheets, events, readings := 1, 0, 0
	rapid.Check(t, func(r *rapid.T) {
		sheets++
		p := plan(sheets, rapid.IntRange(1, 3).Draw(r, "quantity"))
		p.Run = rapid.SampledFrom([]string{"by-step", "by-piece"}).Draw(r, "run")
		issue(t, s, p)
		var m model
		for i := range rapid.IntRange(8, 20).Draw(r, "steps") {
			if rapid.Bool().Draw(r, "an event") {
				events += m.event(r, s, p.Code, p.Quantity)
			} else {
				readings += m.reading(r, s, p.Code, fmt.Sprintf("m%d-%d", sheets, i))
			}
			m.check(r, s, p.Code)
		}
	})
	if events < 100 || readings < 200 {
		t.Errorf("%d events and %d readings were taken: the property was hardly tried", events, readings)
	}
}

// event offers an event to the rules and to the store, which must agree.
func (m *model) event(r *rapid.T, s *Store, code string, quantity int) (taken int) {
	kinds := append(standing.Kinds(false), standing.Replaced, standing.Remade, "lost")
	e := Event{Code: code, Kind: rapid.SampledFrom(kinds).Draw(r, "kind"), AtBrake: rapid.Bool().Draw(r, "at brake"),
		Detail: rapid.SampledFrom([]string{"", "2", "3", "0", "well", "abcdefghjkm000001", "4 for 1"}).Draw(r, "detail")}
	if e.Kind == standing.Skipped || e.Kind == standing.TakenUp {
		e.Piece = rapid.IntRange(0, 4).Draw(r, "piece")
	}
	now := standing.Fold(quantity, m.events)
	want, may := now.Admit(e), now.May(e.Kind, e.AtBrake)
	if may != nil && want == nil {
		r.Fatalf("%+v may not be but is admitted in %+v", e, now)
	}
	got := s.AddEvent(context.Background(), e)
	if e.Kind == standing.Replaced && want == nil && fault.KindOf(got) == fault.Missing {
		return 0 // by what is not there
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		r.Fatalf("AddEvent(%+v) in %+v = %v, but the rules say %v", e, now, got, want)
	}
	if got == nil {
		m.events = append(m.events, e)
		return 1
	}
	return 0
}

// reading offers a reading: one of a bend and a piece that were ever there is
// taken, unless it is far off or scrapped without a word.
func (m *model) reading(r *rapid.T, s *Store, code, id string) (taken int) {
	piece, step := rapid.IntRange(1, 4).Draw(r, "piece"), rapid.IntRange(1, 2).Draw(r, "step")
	off := rapid.SampledFrom([]float64{0, 0, 0.5, -1.5, 2, -7.99, 8}).Draw(r, "off")
	state, note := rapid.SampledFrom([]string{"as-bent", "as-bent", "reworked", "scrapped"}).Draw(r, "state"), rapid.SampledFrom([]string{"", "torn"}).Draw(r, "note")
	text := fmt.Sprintf(`{"id":%q,"piece":%d,"step":%d,"measured":%g,"state":%q,"note":%q`, id, piece, step, []float64{90, 45}[step-1]+off, state, note)
	if len(m.readings) > 0 && rapid.IntRange(0, 3).Draw(r, "corrects") == 0 {
		text += fmt.Sprintf(`,"corrects":%q`, rapid.SampledFrom(m.readings).Draw(r, "which"))
	}
	k, err := s.TravelerByCode(context.Background(), code)
	if err != nil {
		r.Fatal(err)
	}
	answer, err := post(s, code, text+"}")
	want := fault.Internal
	switch {
	case piece > k.Most || state == "scrapped" && note == "":
		want = fault.Invalid
	case off >= 8 && state != "scrapped":
		want = fault.Unsure
	}
	if want != fault.Internal {
		if fault.KindOf(err) != want {
			r.Fatalf("AddReading(%s}) = %v, want a refusal of kind %d", text, err, want)
		}
		return 0
	}
	if err != nil || !json.Valid(answer.Body) {
		r.Fatalf("AddReading(%s}) in %+v = %s, %v, want it stored", text, k.Standing, answer.Body, err)
	}
	m.readings = append(m.readings, id)
	return 1
}

// check holds the store against the model.
func (m *model) check(r *rapid.T, s *Store, code string) {
	ctx := context.Background()
	job, err := s.Progress(ctx, code)
	events, failed := s.Events(ctx, code)
	if err != nil || failed != nil || len(job.Readings) != len(m.readings) || len(events) != len(m.events) {
		r.Fatalf("%d readings, %d events, %v, %v, want %d and %d", len(job.Readings), len(events), err, failed, len(m.readings), len(m.events))
	}
	for i, got := range job.Readings {
		if got.ID != m.readings[i] || got.StopBend == 0 {
			r.Fatalf("reading %d is %+v, want %s with its stop", i, got, m.readings[i])
		}
	}
	if want := standing.Fold(job.Traveler.Quantity, m.events); !reflect.DeepEqual(job.Standing, want) {
		r.Fatalf("standing = %+v, want %+v", job.Standing, want)
	}
	due := progress.NextDue(job)
	if due == nil {
		return
	}
	if due.Piece < 1 || due.Piece > job.Quantity || slices.Contains(progress.Scrapped(job), due.Piece) || job.LeftOut(due.Piece) {
		r.Fatalf("next is %+v of %+v, a piece that is not made", due, job.Standing)
	}
	if h := job.Halt(due.Spot); h != nil && job.Standing.Halt() == nil {
		r.Fatalf("next is %+v, but its work must stop: %+v", due, h)
	}
	open := due.Do != progress.DoBend
	for _, x := range progress.Counted(job) {
		if x.Piece == due.Piece && x.Step == due.Step && !open {
			r.Fatalf("next is %+v, which is in with %+v", due, x)
		}
	}
}
