package operator

import (
	"fmt"
	"testing"
	"time"

	"brakeside/server/web"
	"brakeside/traveler/progress"
)

func TestFileName(t *testing.T) {
	if got := fileName("A/B \"1\"\r\n–é.pdf"); got != "A_B__1_____.pdf" {
		t.Errorf("fileName = %q, want only letters that every header takes", got)
	}
}

// The memory is bounded whatever comes, and a leaving page does not take away
// the next one.
func TestPresenceIsBounded(t *testing.T) {
	p := new(presence)
	now := time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)
	at := func(piece int) visit { return visit{progress.Spot{Piece: piece, Step: 1}, "", now} }
	p.note("one", "old", at(1))
	p.leave("one", "old", progress.Spot{Piece: 2, Step: 1})
	if got := p.others("one", "", now); len(got) != 1 {
		t.Errorf("after leaving another bend %v, want the visit to stand", got)
	}
	now = now.Add(2 * presentFor)
	for n := range web.MostWatched - 1 {
		p.note("two", fmt.Sprint(n), at(1))
	}
	p.note("three", "x", at(1))
	if p.phones(now) != web.MostWatched || len(p.others("one", "", now)) != 0 || p.sheets["one"] != nil {
		t.Errorf("%d phones, old sheet %v; want the old one dropped and %d left", p.phones(now), p.sheets["one"], web.MostWatched)
	}
	p.note("four", "y", at(1))
	if p.count != 1 || len(p.sheets) != 1 {
		t.Errorf("%d visits of %d sheets, want a fresh start when all are alive", p.count, len(p.sheets))
	}
	p.leave("four", "y", progress.Spot{Piece: 1, Step: 1})
	p.leave("four", "y", progress.Spot{Piece: 1, Step: 1})
	if p.count != 0 || len(p.sheets) != 0 {
		t.Errorf("%d visits after leaving twice, want none", p.count)
	}
}

func TestHolders(t *testing.T) {
	var h holders
	if h.has(holder{"a", "x"}) {
		t.Error("a holder is known before any came")
	}
	h.add(holder{"a", "x"})
	for who, want := range map[holder]bool{{"a", "x"}: true, {"a", "y"}: false, {"b", "x"}: false} {
		if got := h.has(who); got != want {
			t.Errorf("has(%v) = %v, want %v", who, got, want)
		}
	}
	for i := range 2 * web.MostWatched {
		h.add(holder{"a", fmt.Sprint(i)})
		if len(h.known) > web.MostWatched {
			t.Fatalf("%d holders remembered, want at most %d", len(h.known), web.MostWatched)
		}
	}
}
