package operator

import (
	"slices"
	"testing"

	"brakeside/calc/unit"
	"brakeside/server/say"
	"brakeside/traveler"
)

// Where the back stop is set stands on the phone beside what is measured, and a
// newer sheet that sets it elsewhere says so.
func TestBackStopIsTold(t *testing.T) {
	step := traveler.Step{Number: 2, Gauge: 82500, GaugeFrom: &traveler.Touch{Kind: traveler.ShearedEdge, Face: "p2"}}
	stopped := step
	stopped.BackStop = 84300
	for _, c := range []struct {
		step  traveler.Step
		units say.Ruler
		want  string
	}{{step, say.Ruler{}, ""}, {stopped, say.Ruler{}, "84.3 mm behind the hinge line"}, {stopped, say.Ruler{System: unit.Inch}, "3.319 in (84.3 mm) behind the hinge line"}} {
		v, err := viewOf(c.units, &traveler.Traveler{}, c.step)
		if err != nil || v.BackStop != c.want {
			t.Errorf("told as %q, %v, want %q", v.BackStop, err, c.want)
		}
	}
	sheet := func(s traveler.Step) *traveler.Traveler { return &traveler.Traveler{Steps: []traveler.Step{s}} }
	if got := changes(sheet(step), sheet(stopped)); !slices.Equal(got, []string{"Step 2, back stop: 84.30 mm, was none"}) {
		t.Errorf("changes %q", got)
	}
	if got := changes(sheet(stopped), sheet(stopped)); len(got) > 0 {
		t.Errorf("changes of the same %q", got)
	}
}
