package traveler_test

import (
	"math"
	"testing"

	"brakeside/testdata/suite"
	"brakeside/traveler"
)

// A bar in one piece is frozen with its weight, in whole grams, and fingers with their
// widths; both name whole faces, and every step has the shapes of its end views. All
// against the plan they come from.
func TestStepsAreFrozenWhole(t *testing.T) {
	bars, sets := 0, 0
	for name := range suite.Verdicts(t) {
		plan := suite.Plan(t, name)
		if !plan.Feasible {
			continue
		}
		made, err := traveler.Freeze(plan, traveler.Issue{Code: "BBBBBBBBBB", Base: "http://example.com", IssuedAt: "2026-05-04T09:30:00Z"})
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range plan.Steps {
			got := made.Steps[i]
			grams := int64(math.Round(s.Bar.Weight() * 1000))
			if s.Segments != nil {
				grams = 0
				sets++
			} else {
				bars++
			}
			if got.BarGrams != grams || len(got.Segments) != len(s.Segments) {
				t.Errorf("%s, step %d: %d g and %d fingers, want %d and %d", name, i+1, got.BarGrams, len(got.Segments), grams, len(s.Segments))
			}
			if want := [2]string{plan.Blank.Word(s.Between[0]), s.Between[1]}; got.Between != want {
				t.Errorf("%s, step %d: nearest is %v, want %v", name, i+1, got.Between, want)
			}
			if got.Gauge != s.Gauge.Micron() || got.NoseSetback != s.NoseSetback.Micron() || got.Stop != s.Stop.CentiDeg() {
				t.Errorf("%s, step %d: gauge %v, nose %v, stop %v", name, i+1, got.Gauge, got.NoseSetback, got.Stop)
			}
		}
	}
	if bars == 0 || sets == 0 {
		t.Errorf("%d bars and %d sets of fingers were looked at", bars, sets)
	}
}
