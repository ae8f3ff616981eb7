package operator

import (
	"slices"
	"testing"

	"brakeside/server/say"
	"brakeside/traveler"
)

// Where the back stop is set stands on the phone beside what is measured, and a
// newer sheet that sets it elsewhere says so.
func TestBackStopIsTold(t *testing.T) {
	step := traveler.Step{Number: 2, Gauge: 82500, GaugeFrom: &traveler.Touch{Kind: traveler.ShearedEdge, Face: "p2"}}
	stopped := step
	stopped.BackStop = 84300
	v, err := viewOf(say.Ruler{}, &traveler.Traveler{}, stopped)
	if want := "82.5 mm from the sheared edge of p2, back stop at 84.3 mm behind the hinge line"; err != nil || v.Gauge != want {
		t.Errorf("gauge %q, %v, want %q", v.Gauge, err, want)
	}
	sheet := func(s traveler.Step) *traveler.Traveler { return &traveler.Traveler{Steps: []traveler.Step{s}} }
	if got := changes(sheet(step), sheet(stopped)); !slices.Equal(got, []string{"Step 2, back stop: 84.30 mm, was none"}) {
		t.Errorf("changes %q", got)
	}
	if got := changes(sheet(stopped), sheet(stopped)); len(got) > 0 {
		t.Errorf("changes of the same %q", got)
	}
}
