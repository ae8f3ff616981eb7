package fitting_test

import (
	"testing"

	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// The frames of a step begin and end as its two end views do, and every angle
// between gives another picture.
func TestViewAt(t *testing.T) {
	plan := suite.Plan(t, "P5")
	for _, s := range plan.Steps {
		if got := fitting.ViewAt(plan, s.Number, 0); !sameShapes(got, s.Before) {
			t.Errorf("step %d: ViewAt(0) is not the view before the bend", s.Number)
		}
		if got := fitting.ViewAt(plan, s.Number, s.Target); !sameShapes(got, s.After) {
			t.Errorf("step %d: ViewAt(target) is not the view after the bend", s.Number)
		}
		if sameShapes(fitting.ViewAt(plan, s.Number, s.Target/2), s.After) {
			t.Errorf("step %d: half-way looks like finished", s.Number)
		}
		if !sameShapes(fitting.ViewAt(plan, s.Number, 179), fitting.ViewAt(plan, s.Number, s.StopBend)) {
			t.Errorf("step %d: the leaf goes past its stop", s.Number)
		}
	}
	for _, step := range []int{0, -1, len(plan.Steps) + 1} {
		if got := fitting.ViewAt(plan, step, unit.Deg(10)); got != nil {
			t.Errorf("ViewAt(step %d) = %d shapes, want none", step, len(got))
		}
	}
}

func sameShapes(a, b []process.Shape) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Role != b[i].Role || len(a[i].Outline) != len(b[i].Outline) {
			return false
		}
		for k, p := range a[i].Outline {
			if p.Sub(b[i].Outline[k]).Length() > 1e-6 {
				return false
			}
		}
	}
	return true
}
