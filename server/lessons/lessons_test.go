package lessons

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"brakeside/calc/bend"
	"brakeside/calc/fault"
	"brakeside/calc/learn"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

var ctx = context.Background()

func must[T any](t testing.TB, v T, err error) T {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func near(got, want unit.Deg, within float64) bool { return math.Abs(float64(got-want)) <= within }

// The whole loop: sheets printed by practice come out two degrees flat, a change
// is proposed and accepted, the planner prints the new stop, and the first
// pieces of later sheets come out right.
func TestLoop(t *testing.T) {
	b := newBench(t)
	book := b.book()
	for range 4 {
		b.bend(b.issue("mild-steel", 150), 1, 5, 3.5) // practice says 1.5
	}
	proposals, err := book.Proposals(ctx)
	proposals = must(t, proposals, err)
	if len(proposals) != 1 {
		t.Fatalf("Proposals = %+v, want one", proposals)
	}
	p := proposals[0]
	if p.Cell != cellWide || p.Angle != 9000 || p.N != 20 || !near(p.Now, 1.5, 1e-9) || !near(p.Next, 3.5, 0.5) || p.Change() > 2 || p.From != "common practice for the material" {
		t.Fatalf("proposed %+v, want 1.5 to become about 3.5", p)
	}
	b.time = noon.Add(time.Hour)
	if err := book.Decide(ctx, Choice{Cell: p.Cell, Kind: store.DecisionAccepted, Wanted: p.Next.CentiDeg(), By: "owner"}); err != nil {
		t.Fatal(err)
	}
	e, known := printed(t, book)(making(t, "mild-steel", 90))
	if !known || !near(e.Degrees, p.Next, 0.011) || e.From != "from 20 readings of this material" {
		t.Fatalf("the planner is told %+v, %v; want %v from 20 readings", e, known, p.Next)
	}
	b.time = noon.Add(2 * time.Hour)
	for range 3 {
		b.bend(b.issue("mild-steel", e.Degrees.CentiDeg()), 1, 5, 3.5)
	}
	changes, err := book.Changes(ctx)
	changes = must(t, changes, err)
	if len(changes) != 1 || !changes[0].Current || changes[0].Before.N != 4 || changes[0].After.N != 3 {
		t.Fatalf("Changes = %+v, want one with the first pieces of 4 sheets before and 3 after", changes)
	}
	if c := changes[0]; !near(c.Before.Mean, -2, 0.5) || !near(c.After.Mean, 0, 0.5) || c.Before.MeanSize < 2*c.After.MeanSize {
		t.Errorf("error before %+v, after %+v; want two degrees flat, then right", c.Before, c.After)
	}
	if again, err := book.Proposals(ctx); err != nil || len(again) != 0 {
		t.Errorf("Proposals after the change = %+v, %v, want none", again, err)
	}
}

// printed is what the planner is told.
func printed(t testing.TB, book *Book) func(bend.Making) (bend.Expected, bool) {
	t.Helper()
	ask, err := book.Printed(ctx, "north", "")
	return must(t, ask, err)
}

// making is a bend as the planner asks for it.
func making(t testing.TB, material string, angle unit.Deg) bend.Making {
	m, err := stock.Find(material)
	return bend.Making{Sheet: stock.Sheet{Material: must(t, m, err), Thickness: 1.5}, Bend: bend.Bend{Angle: angle, Radius: 1.5, Thickness: 1.5}, Tool: bend.Tool{Bar: "wide"}}
}

// proposed logs enough for one proposal and gives it.
func proposed(t *testing.T, b *bench, book *Book) Proposal {
	t.Helper()
	for range 5 {
		b.bend(b.issue("mild-steel", 150), 1, 2, 3.4)
	}
	all, err := book.Proposals(ctx)
	if len(must(t, all, err)) != 1 {
		t.Fatalf("Proposals = %+v, want one", all)
	}
	return all[0]
}

func TestDecideEdited(t *testing.T) {
	b := newBench(t)
	book := b.book()
	p := proposed(t, b, book)
	choice := Choice{Cell: p.Cell, Kind: store.DecisionEdited, Wanted: p.Next.CentiDeg(), Springback: 200, By: "owner"}
	far := choice
	far.Springback = p.Next.CentiDeg() + 210
	if err := book.Decide(ctx, far); fault.KindOf(err) != fault.Invalid {
		t.Errorf("2.1 degrees at once: %v, want Invalid", err)
	}
	if err := book.Decide(ctx, choice); err != nil {
		t.Fatal(err)
	}
	e, known := printed(t, book)(making(t, "mild-steel", 90))
	if !known || !near(e.Degrees, 2, 0.011) || e.From != "set by the owner, from 10 readings of this material" {
		t.Errorf("the planner is told %+v, %v; want 2", e, known)
	}
}

func TestDecideRefused(t *testing.T) {
	b := newBench(t)
	book := b.book()
	b.steady()
	p := proposed(t, b, book)
	if err := book.Decide(ctx, Choice{Cell: p.Cell, Kind: store.DecisionRefused, Wanted: p.Next.CentiDeg()}); err != nil {
		t.Fatal(err)
	}
	if all, err := book.Proposals(ctx); err != nil || len(all) != 0 {
		t.Errorf("refused, and proposed again: %+v, %v", all, err)
	}
	for range 4 {
		b.bend(b.issue("mild-steel", 150), 1, 10, 4.6) // now it is another matter
		b.steady()                                     // and not the scale
	}
	if all, err := book.Proposals(ctx); err != nil || len(all) != 1 {
		t.Errorf("Proposals after much else was read = %+v, %v, want one", all, err)
	}
	if e, known := printed(t, book)(making(t, "mild-steel", 90)); known {
		t.Errorf("a change was refused, and %+v is printed", e)
	}
}

func TestDecideRefusals(t *testing.T) {
	b := newBench(t)
	book := b.book()
	if err := book.Decide(ctx, Choice{Cell: cellWide, Kind: store.DecisionAccepted}); fault.KindOf(err) != fault.Missing {
		t.Errorf("nothing proposed: %v, want Missing", err)
	}
	if err := book.Decide(ctx, Choice{Cell: cellWide, Kind: store.DecisionReturned}); fault.KindOf(err) != fault.Missing {
		t.Errorf("nothing to go back to: %v, want Missing", err)
	}
	p := proposed(t, b, book)
	if err := book.Decide(ctx, Choice{Cell: p.Cell, Kind: store.DecisionAccepted, Wanted: p.Next.CentiDeg() + 1}); fault.KindOf(err) != fault.Conflict {
		t.Errorf("another figure was seen: %v, want Conflict", err)
	}
	if err := book.Decide(ctx, Choice{Cell: p.Cell, Kind: "wished", Wanted: p.Next.CentiDeg()}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("no such decision: %v, want Invalid", err)
	}
	if kept := must(t, decisions(t, b), nil); len(kept) != 0 {
		t.Errorf("refused decisions were kept: %+v", kept)
	}
}

func decisions(t testing.TB, b *bench) []store.Decision {
	all, err := b.Decisions(ctx)
	return must(t, all, err)
}

// Two changes and two returns come back to where nobody had decided, step by step.
func TestGoBack(t *testing.T) {
	b := newBench(t)
	book := b.book()
	told := func() (unit.Deg, string) {
		e, _ := printed(t, book)(making(t, "mild-steel", 90))
		return e.Degrees, e.From
	}
	var was []unit.Deg
	for _, true90 := range []float64{3, 4.2} {
		for range 5 {
			b.bend(b.issue("mild-steel", 150), 1, 10, true90)
			b.steady()
		}
		all, err := book.Proposals(ctx)
		p := must(t, all, err)[0]
		if err := book.Decide(ctx, Choice{Cell: p.Cell, Kind: store.DecisionAccepted, Wanted: p.Next.CentiDeg()}); err != nil {
			t.Fatal(err)
		}
		at, _ := told()
		was = append(was, at)
	}
	back := Choice{Cell: cellWide, Kind: store.DecisionReturned, By: "owner"}
	if err := book.Decide(ctx, back); err != nil {
		t.Fatal(err)
	}
	if at, _ := told(); !near(at, was[0], 1e-9) {
		t.Errorf("after going back once %v is printed, want %v", at, was[0])
	}
	if err := book.Decide(ctx, back); err != nil {
		t.Fatal(err)
	}
	if at, from := told(); from != "from 100 readings of this material, give or take 0.8°" {
		t.Errorf("after going back twice %v is printed %s, want what the log says", at, from)
	}
	if err := book.Decide(ctx, back); fault.KindOf(err) != fault.Missing {
		t.Errorf("going back a third time: %v, want Missing", err)
	}
	if d := decisions(t, b)[2]; d.Kind != store.DecisionReturned || d.Printed == nil || !near(d.Offered.Deg(), was[0], 0.011) || !near(d.Was.Deg(), was[1], 0.011) {
		t.Errorf("the first return is kept as %+v", d)
	}
}

// The book reads on where it stopped, and knows the same as a fresh one; a
// correction makes it read again.
func TestBookReadsOn(t *testing.T) {
	b := newBench(t)
	book := b.book()
	ask := Ask{Cell: cellWide, Angle: 9000}
	same := func(what string) {
		t.Helper()
		kept, known, err := book.Next(ctx, ask)
		fresh, _, err2 := b.book().Next(ctx, ask)
		if err != nil || err2 != nil || !known || kept != fresh {
			t.Errorf("%s: the book says %+v, a fresh one %+v (%v, %v)", what, kept, fresh, err, err2)
		}
	}
	same("nothing logged")
	s := b.issue("mild-steel", 150)
	b.bend(s, 1, 6, 2.5)
	same("six readings")
	b.bend(b.issue("304", 400), 2, 6, 3)
	id := b.log(s, 7, 1, 84, "")
	same("more readings")
	b.log(s, 7, 1, 89, `,"corrects":"`+id+`"`)
	same("a correction")
	b.log(s, 8, 1, 89, `,"flags":["bar-lifted"]`)
	same("a flagged one")
	a, _, err := book.Next(ctx, ask)
	if err != nil || a.N != 7 || a.Basis != learn.OfMaterial {
		t.Errorf("Next = %+v, %v, want 7 readings of the material", a, err)
	}
	if a, _, err = book.Next(ctx, Ask{cellWide, 9000, "sheet " + s.Code}); err != nil || a.Basis != learn.OfPack || a.N != 7 {
		t.Errorf("Next of the sheet's pack = %+v, %v, want 7 readings of the pack", a, err)
	}
	parts, err := book.Explain(ctx, ask)
	var sum unit.Deg
	for _, p := range parts {
		sum += p.Degrees
	}
	if a, _, _ = book.Next(ctx, ask); err != nil || !near(sum, a.Springback, 1e-9) {
		t.Errorf("Explain = %+v, %v: adds up to %v, want %v", parts, err, sum, a.Springback)
	}
}

// A material that the shop no longer knows teaches nothing and breaks nothing.
func TestUnknownMaterial(t *testing.T) {
	b := newBench(t)
	b.bend(b.issue("unobtainium", 150), 1, 6, 2.5)
	book := b.book()
	if all, err := book.Proposals(ctx); err != nil || len(all) != 0 {
		t.Errorf("Proposals = %+v, %v, want none", all, err)
	}
	k := cellWide
	k.Material = "unobtainium"
	if _, known, err := book.Next(ctx, Ask{Cell: k, Angle: 9000}); known || err != nil {
		t.Errorf("Next(unknown material) = %v, %v", known, err)
	}
}

// A decided figure is that of one brake and bar, and goes with the angle.
func TestDecidedIsForItsCell(t *testing.T) {
	b := newBench(t)
	if err := b.AddDecision(ctx, store.Decision{
		Kind: store.DecisionAccepted, Cell: cellWide, Angle: 9000, Printed: &store.Printed{Zero: 50, At90: 200, Spread: 30}, Words: "from 9 readings of this material",
	}); err != nil {
		t.Fatal(err)
	}
	north := printed(t, b.book())
	south, err := b.book().Printed(ctx, "south", "")
	must(t, south, err)
	for _, c := range []struct {
		name   string
		change func(*bend.Making)
		ask    func(bend.Making) (bend.Expected, bool)
		want   unit.Deg // 0 for not known
	}{
		{"square", func(*bend.Making) {}, north, 2.5},
		{"half", func(m *bend.Making) { m.Bend.Angle = 45 }, north, 1.5},
		{"another brake", func(*bend.Making) {}, south, 0},
		{"another bar", func(m *bend.Making) { m.Tool.Bar = "narrow" }, north, 0},
		{"bar not chosen yet", func(m *bend.Making) { m.Tool.Bar = "" }, north, 0},
		{"another radius", func(m *bend.Making) { m.Bend.Radius = 3 }, north, 0},
		{"over a tube", func(m *bend.Making) { m.Tool.Former = 1.5 }, north, 0},
	} {
		m := making(t, "mild-steel", 90)
		c.change(&m)
		e, known := c.ask(m)
		if known != (c.want > 0) || known && !near(e.Degrees, c.want, 1e-9) {
			t.Errorf("%s: %+v, %v, want %v", c.name, e, known, c.want)
		}
	}
}

// A stop that slips in the middle of a job is told of.
func TestAlarms(t *testing.T) {
	b := newBench(t)
	book := b.book()
	for range 6 {
		b.bend(b.issue("mild-steel", 150), 1, 8, 1.5)
	}
	if all, err := book.Alarms(ctx); err != nil || len(all) != 0 {
		t.Fatalf("Alarms of a steady brake = %+v, %v", all, err)
	}
	slips := b.issue("mild-steel", 150)
	b.bend(slips, 1, 4, 1.5)
	b.bend(slips, 1, 12, 3.5)
	all, err := book.Alarms(ctx)
	if err != nil || len(all) != 1 || all[0].Brake != "north" || !all[0].More || all[0].Seq <= 52 || all[0].Seq > 64 || !near(all[0].By, 2, 0.7) || all[0].Since < 50 || all[0].Since > 55 {
		t.Errorf("Alarms after a slip of 2 degrees = %+v, %v, want one of the north brake", all, err)
	}
}

// Between two changes of one cell only the sheets between them count, and a
// refusal is no change.
func TestNeighbours(t *testing.T) {
	at := func(hours int) time.Time { return noon.Add(time.Duration(hours) * time.Hour) }
	other := cellWide
	other.Bar = "narrow"
	all := []store.Decision{
		{Kind: store.DecisionAccepted, Cell: cellWide, At: at(1)}, {Kind: store.DecisionAccepted, Cell: other, At: at(2)},
		{Kind: store.DecisionEdited, Cell: cellWide, At: at(3)}, {Kind: store.DecisionRefused, Cell: cellWide, At: at(4)},
		{Kind: store.DecisionReturned, Cell: cellWide, At: at(5)},
	}
	for i, want := range map[int][2]time.Time{0: {{}, at(3)}, 1: {{}, {}}, 2: {at(1), at(5)}, 4: {at(3), {}}} {
		from, to := neighbours(all, i)
		if diff := cmp.Diff(want, [2]time.Time{from, to}); diff != "" {
			t.Errorf("neighbours(%d):\n%s", i, diff)
		}
	}
}

func TestReplay(t *testing.T) {
	b := newBench(t)
	for i := range 30 {
		b.bend(b.issue([]string{"mild-steel", "304"}[i%2], []unit.CentiDeg{150, 400}[i%2]), 1, 5, []float64{3.2, 5}[i%2]+0.4*b.random.NormFloat64())
	}
	all, err := b.book().Replay(ctx, store.Choice{})
	all = must(t, all, err)
	if all.All.N != 150 || len(all.Materials) != 2 || all.Materials[0].Material != "mild-steel" || all.Materials[0].N != 75 || len(all.Courses) != 1 {
		t.Fatalf("Replay = %+v, want 150 readings of two materials", all)
	}
	if !(all.All.Learned < all.All.Last && all.All.Last < all.All.Table) {
		t.Errorf("Replay = %+v, want learned best, then last value, then table", all.All)
	}
	if all.All.Printed != all.All.Table {
		t.Errorf("sheets printed by practice are scored %v as printed, the table %v", all.All.Printed, all.All.Table)
	}
	steel, err := b.book().Replay(ctx, store.Choice{Material: "304"})
	if steel = must(t, steel, err); steel.All.N != 75 || len(steel.Materials) != 1 {
		t.Errorf("Replay(304) = %+v, want its 75 readings", steel)
	}
	for _, c := range []struct {
		choice store.Choice
		want   int
	}{
		{store.Choice{Brake: "south"}, 0}, {store.Choice{Job: "J-3"}, 5}, {store.Choice{Part: "TR-7"}, 150}, {store.Choice{Part: "TR-8"}, 0},
		{store.Choice{From: "2026-05-04", To: "2026-05-04"}, 150}, {store.Choice{From: "2026-05-05"}, 0}, {store.Choice{To: "2026-05-03"}, 0},
	} {
		if got, err := b.book().Replay(ctx, c.choice); err != nil || got.All.N != c.want {
			t.Errorf("Replay(%+v) scores %d, %v, want %d", c.choice, got.All.N, err, c.want)
		}
	}
}

// The errors of a change, worked by hand: -1, 0, 2.
func TestErrors(t *testing.T) {
	var e Errors
	for _, v := range []unit.Deg{-1, 0, 2} {
		e.add(v)
	}
	if e.N != 3 || !near(e.Mean, 1.0/3, 1e-9) || !near(e.MeanSize, 1, 1e-9) || !near(e.Spread, unit.Deg(math.Sqrt(14.0/6)), 1e-9) {
		t.Errorf("Errors = %+v, want mean 0.333, size 1, spread 1.528", e)
	}
}
