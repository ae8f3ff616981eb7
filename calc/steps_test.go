package calc

import (
	"fmt"
	"strings"
	"testing"

	"brakeside/calc/clamp"
)

// Where the part hangs past the brake and how the slotted bar stands is said to
// the millimetre, and what is said is where the step was found clear.
func TestBarPlaceIsSaid(t *testing.T) {
	past := 0
	for name := range verdicts(t) {
		for _, s := range suitePlan(t, name).Steps {
			if (s.Place != Middle) != strings.Contains(s.BarPlace, "the brake ends") {
				t.Errorf("%s, step %d, %s: %q", name, s.Number, s.Place, s.BarPlace)
			}
			if s.Place != Middle {
				past++
			}
		}
	}
	if past == 0 {
		t.Error("no step of the suite hangs past an end of the brake")
	}
	tray := `{"number":"T","material":"mild-steel","thickness":0.8,"inside_radius":1,"tray":{"base":[288,200],"walls":{"left":[{"leg":25}],"right":[{"leg":25}],"front":[{"leg":25}],"back":[{"leg":25}]}}}`
	plan := work(t, readPart(t, []byte(tray)), suiteBrake(t), Options{Without: []string{"fingers", "wide", "narrow"}})
	taken := 0
	for _, s := range plan.Steps {
		if !strings.Contains(s.BarPlace, "the bar's left end is") {
			t.Errorf("step %d, under the %s bar: %q", s.Number, s.Bar.Name, s.BarPlace)
		}
		if strings.Contains(s.BarPlace, "walls stand in slot ") {
			taken++
		}
	}
	if !plan.Feasible || taken == 0 {
		t.Errorf("feasible %v, %d steps with walls in slots", plan.Feasible, taken)
	}
}

// Slot 1 of the suite's bar is 36 from its left end, the others follow 24 apart.
func TestSlotsTaken(t *testing.T) {
	slots := suiteBrake(t).Bars[2].Slots
	for _, test := range []struct {
		at    float64
		walls []clamp.Span
		want  string
	}{
		{-36, nil, "[]"},
		{-36, []clamp.Span{{Low: -1, High: 1}}, "[1]"},
		{-36, []clamp.Span{{Low: -1, High: 1}, {Low: 287, High: 289}}, "[1 13]"},
		{-58, []clamp.Span{{Low: 0, High: 2}}, "[2]"},
	} {
		if got := fmt.Sprint(slotsTaken(slots, test.at, test.walls)); got != test.want {
			t.Errorf("slotsTaken(%v, %v) = %v, want %v", test.at, test.walls, got, test.want)
		}
	}
}
