package wording_test

import (
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// Where the part hangs past the brake and how the slotted bar stands is said to
// the millimetre, and what is said is where the step was found clear.
func TestBarPlaceIsSaid(t *testing.T) {
	past := 0
	plans := map[string]*process.Plan{"32-threesided": kept(t, "32-threesided.json")}
	for name := range suite.Verdicts(t) {
		plans[name] = suite.Plan(t, name)
	}
	for name, plan := range plans {
		for _, s := range plan.Steps {
			if (s.Place != process.Middle) != strings.Contains(s.BarPlace, "the bed") {
				t.Errorf("%s, step %d, %s: %q", name, s.Number, s.Place, s.BarPlace)
			}
			if s.Place != process.Middle {
				past++
			}
		}
	}
	if past == 0 {
		t.Error("no step hangs past an end of the brake")
	}
	tray := `{"number":"T","material":"mild-steel","thickness":0.8,"inside_radius":1,"tray":{"base":[288,200],"walls":{"left":[{"leg":25}],"right":[{"leg":25}],"front":[{"leg":25}],"back":[{"leg":25}]}}}`
	plan := suite.Work(t, suite.Read(t, []byte(tray)), suite.Brake(t), calc.Options{Without: []string{"fingers", "wide", "narrow"}})
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
