package calc_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// anyOnBrakes draws a part, one of the suite half the time, and plans it on any
// brake.
func anyOnBrakes(t *rapid.T) func(k *brake.Brake) *process.Plan {
	p := anyPart(t)
	if i := rapid.IntRange(0, 2*len(feasibleNames)).Draw(t, "or one of the suite"); i < len(feasibleNames) {
		p = suite.Part(t, feasibleNames[i])
	}
	return func(k *brake.Brake) *process.Plan {
		plan, _ := quickly(t, p, k, calc.Options{})
		return plan
	}
}

// A finger more on the shelf never makes a part impossible, nor dearer than by a finger
// placed at each step: every bend has the set that is best for itself, and with less to
// choose from two bends may happen to share one.
func TestMoreFingersNeverCostMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := anyOnBrakes(t)
		all := on(suite.Brake(t))
		if all == nil {
			t.Skip("no part")
		}
		k := suite.Brake(t)
		fingers := &k.Bars[slices.IndexFunc(k.Bars, func(b brake.Bar) bool { return b.Kind == brake.Segments })]
		fingers.Widths = slices.DeleteFunc(slices.Clone(fingers.Widths), func(w unit.MM) bool { return rapid.Bool().Draw(t, w.Text(0)) })
		if len(fingers.Widths) == 0 {
			t.Skip("a set without fingers is no bar")
		}
		less := on(k)
		if dearer(all, byAFinger(less, k)) {
			t.Errorf("with the fingers %v it costs %+v, with all of them %+v (feasible %v)", fingers.Widths, costOf(less), costOf(all), all.Feasible)
		}
	})
}

// byAFinger is a plan that takes the placing of a finger longer at each step.
func byAFinger(p *process.Plan, k *brake.Brake) *process.Plan {
	longer := *p
	longer.Minutes += float64(len(p.Steps)) * k.Minutes.PerFinger
	return &longer
}

// What cannot be made with some clearance cannot be made with a wider one, and what
// can is never cheaper with it, but for a finger placed at each step: see above.
func TestWiderClearanceNeverHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := anyOnBrakes(t)
		narrow := on(suite.Brake(t))
		if narrow == nil {
			t.Skip("no part")
		}
		k := suite.Brake(t)
		more := rapid.SampledFrom([]unit.MM{0.1, 0.5, 2, 8})
		k.Clearance.Bar += more.Draw(t, "bar")
		k.Clearance.Nose += more.Draw(t, "nose") / 4
		k.Clearance.BedAndLeaf += more.Draw(t, "bed and leaf") / 4
		wide := on(k)
		if dearer(narrow, byAFinger(wide, k)) {
			t.Errorf("with %+v it costs %+v, with the usual clearance %+v (feasible %v)", k.Clearance, costOf(wide), costOf(narrow), narrow.Feasible)
		}
	})
}
