package lessons

import (
	"context"
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"brakeside/calc/bend"
	"brakeside/calc/figures"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// A run by step: the first piece whole, then step 1 on the others, then step 2.
// Numbers worked by hand for 3 pieces of 2 bends.
func TestBendNumber(t *testing.T) {
	sheet := &traveler.Traveler{Quantity: 3, Steps: make([]traveler.Step, 2), Run: traveler.ByStep}
	for _, c := range []struct {
		run               string
		piece, step, want int
	}{
		{traveler.ByStep, 1, 1, 1}, {traveler.ByStep, 1, 2, 2}, {traveler.ByStep, 2, 1, 3}, {traveler.ByStep, 3, 1, 4}, {traveler.ByStep, 2, 2, 5}, {traveler.ByStep, 3, 2, 6},
		{traveler.ByPiece, 1, 2, 2}, {traveler.ByPiece, 2, 1, 3}, {traveler.ByPiece, 2, 2, 4}, {traveler.ByPiece, 3, 2, 6},
	} {
		sheet.Run = c.run
		if got := bendNumber(sheet, progress.Reading{Piece: c.piece, Step: c.step}); got != c.want {
			t.Errorf("%s, piece %d, step %d is bend %d, want %d", c.run, c.piece, c.step, got, c.want)
		}
	}
}

// Readings two minutes apart, with a pause of an hour, one measured again, one
// sent late and one corrected: 2 bends a piece come to 4 minutes.
func TestPaceOf(t *testing.T) {
	sheet := &traveler.Traveler{Code: "c", Job: "J", Quantity: 4, Steps: make([]traveler.Step, 2), Run: traveler.ByPiece, Minutes: 250}
	at := func(minutes int) string { return noon.Add(time.Duration(minutes) * time.Minute).Format(time.RFC3339) }
	reading := func(id string, piece, step, minutes int) progress.Reading {
		return progress.Reading{ID: id, Piece: piece, Step: step, State: progress.StateAsBent, Received: at(minutes)}
	}
	late := reading("e", 3, 1, 300)
	late.At = at(70)
	corrected := reading("d2", 2, 2, 66)
	corrected.Corrects = "d"
	rework := reading("x", 3, 1, 71)
	rework.State = progress.StateReworked
	p := paceOf(sheet, []progress.Reading{
		reading("a", 1, 1, 0), reading("b", 1, 2, 2), reading("b2", 1, 2, 3), reading("c", 2, 1, 65), reading("d", 2, 2, 67), corrected, late, rework, reading("f", 3, 2, 72),
	})
	// Gaps: 2 for one bend; 1 for none; 62 a pause; c 65 to d2 66: 1; to e 70: 4; to f 72: 2.
	if p.Bends != 4 || p.Pauses != 1 || math.Abs(p.Actual-9.0/4*2) > 1e-9 || math.Abs(p.Ratio()-4.5/2.5) > 1e-9 {
		t.Errorf("paceOf = %+v, want 4 bends in 9 minutes and a pause", p)
	}
	if p := paceOf(sheet, nil); p.Bends != 0 || p.Actual != 0 {
		t.Errorf("paceOf(nothing) = %+v", p)
	}
}

// A job planned by step and run by piece is numbered as it was run: 4 pieces of 2
// bends, a minute each, are 7 bends in 7 minutes, not 12.
func TestPaceOfAnotherRun(t *testing.T) {
	sheet := &traveler.Traveler{Code: "c", Job: "J", Quantity: 4, Steps: make([]traveler.Step, 2), Run: traveler.ByStep, Minutes: 250}
	var readings []progress.Reading
	for n := range 8 {
		readings = append(readings, progress.Reading{ID: fmt.Sprint(n), Piece: n/2 + 1, Step: n%2 + 1, State: progress.StateAsBent, Received: noon.Add(time.Duration(n) * time.Minute).Format(time.RFC3339)})
	}
	if p := paceOf(sheet, readings); p.Bends != 7 || math.Abs(p.Actual-2) > 1e-9 {
		t.Errorf("paceOf(by piece) = %+v, want 7 bends and 2 minutes a piece", p)
	}
}

// A job that was logged all at once afterwards tells nothing of its minutes.
func TestPacesOfAfterwards(t *testing.T) {
	b := newBench(t)
	s := b.issue("mild-steel", 150)
	for i := range 12 {
		b.time = b.time.Add(5 * time.Second)
		b.log(s, i+1, 1, 90, "")
	}
	if paces, err := b.book().Paces(ctx, store.Choice{}); err != nil || len(paces) != 0 {
		t.Errorf("Paces(logged in a minute) = %+v, %v, want none", paces, err)
	}
}

// Jobs that took one and a half times as long as planned say so of their brake,
// from three on.
func TestHandlings(t *testing.T) {
	b := newBench(t)
	book := b.book()
	file, err := os.ReadFile("../../testdata/suite/brake.json")
	file = must(t, file, err)
	if _, err := b.Keep(ctx, store.Brakes, store.Revision{Name: "Reference brake (invented)", JSON: file}); err != nil {
		t.Fatal(err)
	}
	for n := range 3 {
		s := b.issue("mild-steel", 150)
		for i := range 12 {
			b.time = b.time.Add(90 * time.Second)
			b.log(s, i+1, 1, 90, "")
			if i == 0 { // the first piece is made whole
				b.time = b.time.Add(90 * time.Second)
				b.log(s, 1, 2, 45, "")
			}
		}
		paces, err := book.Paces(ctx, store.Choice{})
		paces = must(t, paces, err)
		for i := range paces {
			paces[i].Brake = "Reference brake (invented)" // the one that is kept
		}
		handlings, err := book.Handlings(ctx, paces)
		if handlings = must(t, handlings, err); n < 2 {
			if len(handlings) != 0 {
				t.Errorf("%d jobs tell of the brake: %+v", n+1, handlings)
			}
			continue
		}
		if len(handlings) != 1 || !handlings[0].Known || math.Abs(handlings[0].Ratio-1.5) > 0.01 || math.Abs(handlings[0].Factor-1.5) > 0.01 || !handlings[0].Proposed || handlings[0].Now.Bend != 0.5 {
			t.Errorf("Handlings = %+v, want 1.5 times the kept minutes", handlings)
		}
	}
}

// Three strips that use up half a millimetre less than the rule says change K,
// within what is moved at once; two do not.
func TestKProposals(t *testing.T) {
	b := newBench(t)
	shop := figures.Shop{}
	book := NewBook(b.Store, func(context.Context) (figures.Shop, error) { return shop, nil })
	square := bend.Bend{Angle: 90, Radius: 1.5, Thickness: 1.5, K: 0.45}
	deduction := square.Deduction().Micron()
	strip := store.Trial{Material: "mild-steel", Thickness: 1500, Bar: "wide", Strip: 100_000, Legs: [2]unit.Micron{51_000, 49_000 + deduction}, Angle: 9000, StopBend: 9150, Radius: 1500, By: "AB"}
	for n := range 5 {
		got, err := book.KProposals(ctx)
		if want := n >= 3; (len(must(t, got, err)) == 1) != want {
			t.Fatalf("after %d strips: %+v", n, got)
		}
		if n == 3 {
			p := got[0]
			if p.N != 3 || p.Now != 0.33 || !(p.Next > 0.36 && p.Next < 0.45) || p.From != "K 0.33 below r = 2t, 0.5 from 2t" {
				t.Errorf("proposed %+v, want a K between 0.33 and 0.45", p)
			}
			c := p.Calibration("owner", "2026-05-04T12:00:00Z")
			shop = shop.Adopt(c)
			reckoned, from := shop.Reckon(making(t, "mild-steel", 90))
			if reckoned.K != p.Next || from == p.From {
				t.Errorf("accepted, the bend is reckoned with K %v (%s), want %v", reckoned.K, from, p.Next)
			}
			if left, err := book.KProposals(ctx); err != nil || len(left) != 0 {
				t.Errorf("accepted and still proposed: %+v, %v", left, err)
			}
			shop = figures.Shop{}
		}
		if n == 4 {
			break
		}
		strip.Pack = fmt.Sprint(n)
		if err := b.AddTrial(ctx, strip); err != nil {
			t.Fatal(err)
		}
	}
}
