package operator

import (
	"fmt"
	"testing"
	"time"

	"brakeside/server/admit"
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
	for n := range admit.MostWatched - 1 {
		p.note("two", fmt.Sprint(n), at(1))
	}
	p.note("three", "x", at(1))
	if p.phones(now) != admit.MostWatched || len(p.others("one", "", now)) != 0 || p.sheets["one"] != nil {
		t.Errorf("%d phones, old sheet %v; want the old one dropped and %d left", p.phones(now), p.sheets["one"], admit.MostWatched)
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

// A photo may come in slowly, but steadily: a line that is only held open is given up
// soon, and none takes longer than two minutes.
func TestPhotosComeInSteadily(t *testing.T) {
	began := time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)
	for come, want := range map[int64]time.Duration{
		0: 10 * time.Second, 4 << 10: 11 * time.Second, 40 << 10: 20 * time.Second,
		440 << 10: 2 * time.Minute, 8 << 20: 2 * time.Minute,
	} {
		body := steadyBody{began: began, come: come}
		if got := body.due().Sub(began); got != want {
			t.Errorf("after %d bytes the next are due within %v, want %v", come, got, want)
		}
	}
}
