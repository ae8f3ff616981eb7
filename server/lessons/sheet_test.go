package lessons

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"brakeside/calc/bend"
	"brakeside/calc/figures"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// What nobody decided is printed from the log, what somebody did as decided; what
// the log knows nothing of is left to practice.
func TestPrinted(t *testing.T) {
	b := newBench(t)
	book := b.book()
	if e, known := printed(t, book)(making(t, "mild-steel", 90)); known {
		t.Errorf("before any reading %+v is printed", e)
	}
	for range 4 {
		b.bend(b.issue("mild-steel", 150), 1, 5, 3.5)
	}
	ask := printed(t, book)
	e, known := ask(making(t, "mild-steel", 90))
	if !known || !near(e.Degrees, 3.5, 0.4) || e.From != "from 20 readings of this material, give or take 0.8°" || !(e.Low < e.Degrees && e.Degrees < e.High) {
		t.Errorf("printed %+v, %v, want about 3.5 from 20 readings", e, known)
	}
	if half, _ := ask(making(t, "mild-steel", 45)); !near(half.Degrees, 1.75, 0.8) {
		t.Errorf("printed at 45 degrees %+v, want about half", half)
	}
	unknown := making(t, "mild-steel", 90)
	unknown.Tool.Bar = ""
	if e, known := ask(unknown); known {
		t.Errorf("the bar is not chosen and %+v is printed", e)
	}
	if e, known := ask(making(t, "304", 90)); !known || e.From != "guess, with 20 readings on this brake, give or take 1.6°" {
		t.Errorf("another material: %+v, %v", e, known)
	}
	all, err := book.Proposals(ctx)
	if p := must(t, all, err); len(p) != 1 {
		t.Fatalf("Proposals = %+v", p)
	}
	if err := book.Decide(ctx, Choice{Cell: cellWide, Kind: store.DecisionEdited, Wanted: all[0].Next.CentiDeg(), Springback: 300}); err != nil {
		t.Fatal(err)
	}
	if e, _ := printed(t, book)(making(t, "mild-steel", 90)); !near(e.Degrees, 3, 0.011) {
		t.Errorf("decided to be 3, printed %+v", e)
	}
}

// A trial strip of the shop is the prior of its cell; six readings of exactly 90
// at its stop propose nothing.
func TestStripIsThePrior(t *testing.T) {
	b := newBench(t)
	book := NewBook(b.Store, func(context.Context) (figures.Shop, error) {
		var s figures.Shop
		s.Calibrations = []bend.Calibration{{Material: "mild-steel", Thickness: 1.5, Radius: [2]unit.MM{1, 2}, Angle: 90, Springback: 2.8, By: "AB", At: "2026-05-01"}}
		return s, nil
	})
	for _, stage := range []string{"nothing read", "six readings of exactly 90"} {
		a, known, err := book.Next(ctx, Ask{Cell: cellWide, Angle: 9000})
		if err != nil || !known || !near(a.Springback, 2.8, 0.25) {
			t.Errorf("%s: %+v, %v, %v, want about 2.8", stage, a, known, err)
		}
		if stage == "nothing read" {
			if a.Basis != learn.OfStrip || a.From != "measured in this shop (AB 2026-05-01)" {
				t.Errorf("%s: it rests on %v, %q", stage, a.Basis, a.From)
			}
			s := b.issue("mild-steel", 280)
			for piece := range 6 {
				b.log(s, piece+1, 1, 90, "")
			}
		}
	}
	if all, err := book.Proposals(ctx); err != nil || len(all) != 0 {
		t.Errorf("proposed: %+v, %v", all, err)
	}
}

// The small model of a sheet says for its steps what the book says, and goes on
// from the readings that the book has not seen.
func TestSheetModel(t *testing.T) {
	b := newBench(t)
	book := b.book()
	for range 3 {
		b.bend(b.issue("mild-steel", 150), 1, 4, 2.5)
	}
	s := b.issue("mild-steel", 150)
	known, err := book.Sheet(ctx, s.Traveler, "")
	if known = must(t, known, err); len(known.Bends) != 2 || known.UpTo != 12 {
		t.Fatalf("Sheet = %+v, want two steps and 12 readings", known)
	}
	for step, angle := range map[int]unit.CentiDeg{1: 9000, 2: 4500} {
		want, _, err := book.Next(ctx, Ask{Cell: cellWide, Angle: angle, Pack: "sheet " + s.Code})
		if got := known.Model.Next(known.Bends[step]); err != nil || !near(got.Springback, want.Springback, 1e-9) || !near(got.SD, want.SD, 1e-9) {
			t.Errorf("step %d: the sheet's model says %+v, the book %+v", step, got, want)
		}
	}
	id := b.log(s, 1, 1, 87, `,"by":"AB","tool":"bevel"`)
	known.Model.Observe(learn.Reading{Bend: known.Bends[1], Reader: learn.Reader{Person: "AB", Tool: "bevel"}, Stop: 91.5, Measured: 87})
	want, _, err := book.Next(ctx, Ask{Cell: cellWide, Angle: 9000, Pack: "sheet " + s.Code})
	if got := known.Model.Next(known.Bends[1]); err != nil || !near(got.Springback, want.Springback, 1e-9) {
		t.Errorf("after reading %s the sheet's model says %+v, the book %+v", id, got, want)
	}
}

// A scale that has moved is said once, with by how much; put right by hand it is
// what it was, and what was accepted since is taken back.
func TestScaleMovesAndIsPutRight(t *testing.T) {
	b := newBench(t)
	book := b.book()
	for range 8 {
		b.bend(b.issue("mild-steel", 150), 1, 5, 1.5)
	}
	before, _, err := book.Next(ctx, Ask{Cell: cellWide, Angle: 9000})
	if err != nil {
		t.Fatal(err)
	}
	s := b.issue("mild-steel", 150)
	b.bend(s, 1, 4, 1.5)
	b.bend(s, 1, 10, 3)
	all, err := book.Alarms(ctx)
	if all = must(t, all, err); len(all) != 1 {
		t.Fatalf("Alarms = %+v, want one", all)
	}
	if moved, err := book.Moved(ctx); err != nil || len(moved) != 1 || moved[0].First != all[0] || moved[0].By != all[0].By || !near(moved[0].By, 1.5, 0.6) {
		t.Errorf("the scale has moved: %+v, %v; the alarm says %v", moved, err, all[0])
	}
	if p, err := book.Proposals(ctx); err != nil || len(p) != 0 {
		t.Errorf("stops are proposed while the scale is not settled: %+v, %v", p, err)
	}
	hasty := store.Decision{Kind: store.DecisionAccepted, Cell: cellWide, Angle: 9000, Printed: &store.Printed{At90: 290}, UpTo: all[0].Since + 1}
	if err := b.AddDecision(ctx, hasty); err != nil {
		t.Fatal(err)
	}
	back, err := book.TakenBack(ctx, all[0], "owner")
	if back = must(t, back, err); len(back) != 1 || back[0].Kind != store.DecisionReturned || back[0].Cell != cellWide || !near(back[0].Was.Deg(), 2.9, 0.011) || back[0].Printed != nil {
		t.Errorf("taken back: %+v", back)
	}
	if err := b.Say(ctx, store.Statement{Kind: store.ScaleSet, Brake: "north", By: "owner"}, back...); err != nil {
		t.Fatal(err)
	}
	after, _, err := book.Next(ctx, Ask{Cell: cellWide, Angle: 9000})
	if moved, _ := book.Moved(ctx); err != nil || len(moved) != 0 || !near(after.Springback, before.Springback, 0.5) {
		t.Errorf("put right: %+v, before the move %+v; still %v (%v)", after, before, moved, err)
	}
	fresh, _, err := b.book().Next(ctx, Ask{Cell: cellWide, Angle: 9000})
	if err != nil || fresh != after {
		t.Errorf("a fresh book says %+v, %v, the old one %+v", fresh, err, after)
	}
}

// Somebody who logs the opening of bends that come out wrong is asked, and the
// answer is heard.
func TestOpeningIsAskedOnce(t *testing.T) {
	b := newBench(t)
	book := b.book()
	for range 3 {
		b.bend(b.issue("mild-steel", 150), 1, 5, 1.5)
	}
	s := b.issue("mild-steel", 150)
	who := learn.Reader{Person: "CD", Tool: "other"}
	asked := 0
	for piece := 1; piece <= 15 && asked == 0; piece++ {
		a, _, err := book.Next(ctx, Ask{Cell: cellWide, Angle: 9000, Pack: "sheet " + s.Code})
		if err != nil {
			t.Fatal(err)
		}
		truth := math.Round(2*float64(a.Stop-3.5)) / 2
		b.log(s, piece, 1, 180-truth, fmt.Sprintf(`,"stop":%.2f,"by":"CD","tool":"other"`, float64(a.Stop)))
		if all, err := book.Asked(ctx); err != nil {
			t.Fatal(err)
		} else if slices.Contains(all, who) {
			asked = piece
		}
	}
	if asked == 0 || asked > 8 {
		t.Fatalf("asked after %d readings", asked)
	}
	if err := b.Say(ctx, store.Statement{Kind: store.ShowsOpening, Person: who.Person, Tool: who.Tool, By: "CD"}); err != nil {
		t.Fatal(err)
	}
	all, err := book.Asked(ctx)
	a, _, err2 := book.Next(ctx, Ask{Cell: cellWide, Angle: 9000, Pack: "sheet " + s.Code})
	if len(all) > 0 || err != nil || err2 != nil || !near(a.Springback, 3.5, 0.8) {
		t.Errorf("answered: asks %v, springback %+v (%v, %v), want about 3.5", all, a, err, err2)
	}
}

// A gauge study of a protractor sets what its readings count, and readers who
// differ are noticed.
func TestStudiesAndDisagreement(t *testing.T) {
	b := newBench(t)
	book := b.book()
	after := func() unit.Deg {
		a, _, err := book.Next(ctx, Ask{Cell: cellWide, Angle: 9000})
		return must(t, a, err).SD
	}
	s := b.issue("mild-steel", 150)
	for piece := range 30 {
		who, off := []string{"A", "B", "C"}[piece%3], []float64{1.2, 0, 0}[piece%3]
		b.log(s, piece+1, 1, 90+off+0.1*float64(piece%4), fmt.Sprintf(`,"by":%q,"tool":"bevel"`, who))
	}
	if d, is, err := book.Disagree(ctx); err != nil || !is || !near(d.Apart, 1.2, 0.4) {
		t.Errorf("Disagree = %+v, %v, %v, want about 1.2", d, is, err)
	}
	before := after()
	study := store.Study{Tool: "bevel", People: []string{"A", "B"}, Readings: [][][]unit.CentiDeg{{{9000, 9300}, {4500, 4700}, {3000, 3300}}, {{9200, 8900}, {4600, 4400}, {3200, 2900}}}}
	if err := b.AddStudy(ctx, study); err != nil {
		t.Fatal(err)
	}
	if now := after(); !(now > before+0.02) {
		t.Errorf("after a poor study the stop is known to %v, before to %v", now, before)
	}
	if got, err := book.Telling(ctx, Ask{Cell: cellWide, Angle: 9000, Pack: "sheet " + s.Code}); err != nil || got != learn.AtTwoAngles {
		t.Errorf("Telling = %v, %v, want the same strip at two angles", got, err)
	}
}

// Readings from before and after a change of the stop are judged at the stop of
// today: a bend that came out 2 degrees flat at the old one is right at the new.
func TestToday(t *testing.T) {
	b := newBench(t)
	book := b.book()
	for range 5 {
		b.bend(b.issue("mild-steel", 150), 1, 4, 3.5)
	}
	all, err := book.Proposals(ctx)
	p := must(t, all, err)[0]
	b.time = b.time.Add(time.Hour)
	if err := book.Decide(ctx, Choice{Cell: p.Cell, Kind: store.DecisionAccepted, Wanted: p.Next.CentiDeg()}); err != nil {
		t.Fatal(err)
	}
	b.bend(b.issue("mild-steel", p.Next.CentiDeg()), 1, 4, 3.5)
	samples, err := b.Chosen(ctx, store.Choice{Material: "mild-steel"}, 100)
	errors, err2 := book.Today(ctx, must(t, samples, err))
	if err2 != nil || len(errors) != 24 {
		t.Fatalf("Today = %v, %v, want 24", errors, err2)
	}
	var sum, asLogged unit.Deg
	for i, e := range errors {
		sum, asLogged = sum+e/24, asLogged+samples[i].Reading.Error.Deg()/24
	}
	if !near(sum, p.Next-3.5, 0.2) || !(asLogged < sum-1) {
		t.Errorf("at today's stop the bends are off by %v on average, want %v; as logged %v", sum, p.Next-3.5, asLogged)
	}
}
