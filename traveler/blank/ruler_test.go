package blank

import (
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler/canvas"
	"brakeside/traveler/internal/fixture"
)

// tickWords gives what a row of ticks says.
func tickWords(ticks []tick) string {
	var words []string
	for _, t := range ticks {
		words = append(words, t.words)
	}
	return strings.Join(words, " ")
}

func TestTicks(t *testing.T) {
	b := fixture.Tray().Blank
	cases := []struct {
		name  string
		ticks []tick
		want  string
	}{
		{"nose lines along x", axisX(b).noseTicks(unit.Metric.Bare, b), "0 1: 60.5 2: 355.7 416.1"},
		{"nose lines along y", axisY(b).noseTicks(unit.Metric.Bare, b), "0 3: 60.5 4: 265.7 326.1"},
		{"the rest along x", axisX(b).otherTicks(unit.Metric, b), "0 59.0 60.6 140.0 208.0 276.0 355.5 357.1 416.1"},
		{"the rest along y", axisY(b).otherTicks(unit.Metric, b), "0 30.0 59.0 60.6 163.0 265.5 267.1 326.1"},
		{"a plain strip has no rest", axisX(fixture.Cover().Blank).otherTicks(unit.Metric, fixture.Cover().Blank), ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := tickWords(c.ticks); got != c.want {
				t.Errorf("ticks = %q, want %q", got, c.want)
			}
		})
	}
}

// The corners of a round hole are of no use to anyone; its middle is.
func TestHolesCountByTheirMiddle(t *testing.T) {
	b := fixture.Bracket().Blank
	for _, hole := range b.Holes {
		for _, p := range hole {
			b.RunningX, b.RunningY = append(b.RunningX, p.X), append(b.RunningY, p.Y)
		}
	}
	if got, want := tickWords(axisX(b).otherTicks(unit.Metric, b)), "0 30.0 380.0 410.0"; got != want {
		t.Errorf("ticks along x = %q, want %q", got, want)
	}
}

// Where there is not room for all sizes the least important go first, and the
// key owns up to it.
func TestRulerThins(t *testing.T) {
	ticks := []tick{
		{at: 0, words: "0"}, {at: 1, words: "10.0", rank: rankBend}, {at: 2, words: "20.0", rank: rankCut},
		{at: 3, words: "30.0", rank: rankBend}, {at: 4, words: "40.0"},
	}
	one := tickPitch * canvas.Smallest
	cases := []struct {
		name   string
		length float64
		want   string
	}{
		{"room for all", 5.5 * one, "0 10.0 20.0 30.0 40.0"},
		{"one goes", 4.2 * one, "0 10.0 20.0 40.0"},
		{"all bend zones go", 3.2 * one, "0 20.0 40.0"},
		{"cuts go too", 2.2 * one, "0 40.0"},
		{"nothing stays", 0, ""},
	}
	for _, c := range cases {
		r := newRuler(leftward, ticks, c.length)
		if got := tickWords(r.ticks); got != c.want || len(r.left) != 5-len(r.ticks) {
			t.Errorf("%s: ticks = %q with %d left out, want %q", c.name, got, len(r.left), c.want)
		}
	}
	if len(ticks) != 5 || ticks[1].words != "10.0" {
		t.Error("newRuler changed the ticks it was given")
	}
}

// Words lie level where they fit and stand upright where they do not.
func TestRulerTurns(t *testing.T) {
	var ticks []tick
	for i := range 10 {
		ticks = append(ticks, tick{at: fixture.MM(float64(10 * i)), words: fixture.MM(float64(10 * i)).Text(1)})
	}
	if r := newRuler(below, ticks, 200); r.upright || r.size != canvas.Strong {
		t.Errorf("on 200 mm: upright %v at %.1f points, want level at 12", r.upright, r.size/canvas.MillimetresPerPoint)
	}
	if r := newRuler(below, ticks, 60); !r.upright || r.size != canvas.Strong || len(r.left) != 0 {
		t.Errorf("on 60 mm: upright %v at %.1f points, want upright at 12", r.upright, r.size/canvas.MillimetresPerPoint)
	}
	if r := newRuler(leftward, ticks, 40); r.upright || len(r.left) != 0 {
		t.Errorf("at the side: upright %v, %d left out, want level and all", r.upright, len(r.left))
	}
}

// Words of a ruler stand outside the drawing: over its upper edge, under its lower
// one, left of its left one and right of its right one. Paper runs down.
func TestRulersLieOutside(t *testing.T) {
	for side, want := range map[side]float64{above: 90, below: 110, leftward: 90, rightward: 110} {
		if got := (ruler{side: side}).out(100, 10); got != want {
			t.Errorf("side %v: 10 out of 100 is %v, want %v", side, got, want)
		}
	}
}
