package spc

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/fault"
	"brakeside/testdata/checks"
)

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance }

// Values held as floating point lose digits to their own rounding: 10000000.2
// is known to 2e-9, a tenth of it to 1e-8. The whole numbers in
// TestPublished do not.
func TestSummarizeFloats(t *testing.T) {
	for _, c := range []struct {
		file   string
		spread float64
		within float64
	}{{"NumAcc2.txt", 0.1, 1e-13}, {"NumAcc3.txt", 0.1, 1e-8}, {"NumAcc4.txt", 0.1, 1e-7}} {
		got, err := Summarize(checks.Column(t, checks.Data(t, c.file), 0))
		if err != nil || !near(got.Spread/c.spread, 1, c.within) {
			t.Errorf("Summarize(%s) = %+v, %v, want spread %v within %v", c.file, got, err, c.spread, c.within)
		}
	}
}

func TestSummarize(t *testing.T) {
	cases := []struct {
		name   string
		values []float64
		want   Summary
	}{
		{"one value has no spread", []float64{-0.4}, Summary{N: 1, Mean: -0.4, Spread: 0, Worst: -0.4}},
		{"the worst keeps its sign", []float64{1, -3, 2}, Summary{N: 3, Mean: 0, Spread: math.Sqrt(7), Worst: -3}},
		{"equal values", []float64{2, 2, 2}, Summary{N: 3, Mean: 2, Spread: 0, Worst: 2}},
		{"all on target", []float64{0, 0}, Summary{N: 2}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got, err := Summarize(c.values); err != nil || got != c.want {
				t.Errorf("Summarize(%v) = %+v, %v, want %+v", c.values, got, err, c.want)
			}
		})
	}
}

// Whole numbers and their values agree.
func TestSummarizeWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.SliceOfN(rapid.Int64Range(-800, 800), 1, 40).Draw(t, "values")
		values := make([]float64, len(whole))
		for i, v := range whole {
			values[i] = float64(v) * 0.01
		}
		a, err := SummarizeWhole(whole, 0.01)
		b, err2 := Summarize(values)
		if err != nil || err2 != nil || a.N != b.N || !near(a.Mean, b.Mean, 1e-9) || !near(a.Spread, b.Spread, 1e-9) || !near(math.Abs(a.Worst), math.Abs(b.Worst), 1e-9) {
			t.Errorf("SummarizeWhole(%v) = %+v, %v; Summarize gives %+v, %v", whole, a, err, b, err2)
		}
	})
	if _, err := SummarizeWhole([]int64{}, 1); fault.KindOf(err) != fault.Invalid {
		t.Errorf("SummarizeWhole(none) = %v, want Invalid", err)
	}
}

// Every way in refuses nothing at all and what is not a number.
func TestRefusals(t *testing.T) {
	bad := map[string][]float64{"none": nil, "NaN": {1, 2, 3, 4, 5, 6, 7, math.NaN()}, "infinite": {1, 2, 3, 4, 5, 6, 7, math.Inf(-1)}}
	ways := map[string]func([]float64) error{
		"Summarize":       func(v []float64) error { _, err := Summarize(v); return err },
		"NewRunChart":     func(v []float64) error { _, err := NewRunChart(v); return err },
		"AlikeNeighbours": func(v []float64) error { _, err := AlikeNeighbours(v); return err },
		"NewCapability":   func(v []float64) error { _, err := NewCapability(v, Tolerance{-1, 1}); return err },
		"NewNormality":    func(v []float64) error { _, err := NewNormality(v); return err },
		"FindStray":       func(v []float64) error { _, err := FindStray(v, 0.05); return err },
		"NewTrend":        func(v []float64) error { _, err := NewTrend(v); return err },
		"NewFit":          func(v []float64) error { _, err := NewFit(v); return err },
		"NewGroupChart":   func(v []float64) error { _, err := NewGroupChart([][]float64{v}, ByRange); return err },
		"NewOneWay":       func(v []float64) error { _, err := NewOneWay([][]float64{v, v}); return err },
	}
	for what, values := range bad {
		for way, try := range ways {
			if err := try(values); fault.KindOf(err) != fault.Invalid {
				t.Errorf("%s(%s) = %v, want Invalid", way, what, err)
			}
		}
	}
	if _, err := NewGroupChart(nil, ByRange); fault.KindOf(err) != fault.Invalid {
		t.Errorf("NewGroupChart(no groups) = %v, want Invalid", err)
	}
}

// What needs scatter refuses values that are all equal.
func TestRefuseEqual(t *testing.T) {
	equal := []float64{2, 2, 2, 2, 2, 2, 2, 2}
	for way, try := range map[string]func() error{
		"AlikeNeighbours": func() error { _, err := AlikeNeighbours(equal); return err },
		"NewCapability":   func() error { _, err := NewCapability(equal, Tolerance{-1, 1}); return err },
		"NewNormality":    func() error { _, err := NewNormality(equal); return err },
		"FindStray":       func() error { _, err := FindStray(equal, 0.05); return err },
	} {
		if err := try(); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s(all equal) = %v, want Invalid", way, err)
		}
	}
}

func TestAlikeNeighbours(t *testing.T) {
	for _, c := range []struct {
		name   string
		values []float64
		want   float64
	}{
		{"up and down by turns", []float64{1, -1, 1, -1}, -0.75},
		{"two levels", []float64{1, 1, -1, -1}, 0.25},
	} {
		if got, err := AlikeNeighbours(c.values); err != nil || !near(got, c.want, 1e-12) {
			t.Errorf("%s: AlikeNeighbours(%v) = %v, %v, want %v", c.name, c.values, got, err, c.want)
		}
	}
}

// Moving all values by as much moves the mean and the limits by as much and
// leaves the ranges alone.
func TestRunChartShift(t *testing.T) {
	values := checks.Column(t, checks.Data(t, "NIST_flowrate_10.txt"), 0)
	moved := make([]float64, len(values))
	for i, v := range values {
		moved[i] = v - 17
	}
	a, _ := NewRunChart(values)
	b, _ := NewRunChart(moved)
	if !near(a.Mean-17, b.Mean, 1e-9) || !near(a.MeanRange, b.MeanRange, 1e-9) ||
		!near(a.Limits.Upper-17, b.Limits.Upper, 1e-9) || !near(a.Limits.Lower-17, b.Limits.Lower, 1e-9) {
		t.Errorf("NewRunChart(values - 17) = %+v, want %+v moved by 17", b, a)
	}
	if !near(a.Sigma, 1.664137, 1e-6) { // 1.877778 / 1.128379
		t.Errorf("Sigma = %v, want 1.664137: not the sample standard deviation 2.0339", a.Sigma)
	}
}

func TestRunChartOutside(t *testing.T) {
	cases := []struct {
		name       string
		values     []float64
		wantLimits bool
		want       []int
	}{
		{"one value", []float64{5}, false, nil},
		{"seven values show no limits", []float64{0, 0, 0, 9, 0, 0, 0}, false, nil},
		{"eight values do", []float64{0, 0, 0, 0, 0, 0, 0, 0}, true, nil},
		{"one far above", []float64{0, .1, 0, .1, 0, .1, 0, .1, 0, .1, 0, 9}, true, []int{11}},
		{"one far below, one far above", []float64{-9, 0, .1, 0, .1, 0, .1, 0, .1, 0, .1, 0, .1, 0, .1, 0, .1, 0, .1, 9}, true, []int{0, 19}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			chart, err := NewRunChart(c.values)
			if err != nil {
				t.Fatal(err)
			}
			if got := chart.Limits != nil; got != c.wantLimits {
				t.Errorf("NewRunChart(%d values) has limits: %t, want %t", len(c.values), got, c.wantLimits)
			}
			if got := chart.Outside(); !slices.Equal(got, c.want) {
				t.Errorf("Outside(%v) = %v, want %v", c.values, got, c.want)
			}
			var beyond []int
			for _, s := range chart.Signals(RuleSet{"limits", []Rule{BeyondLimits}, 8}) {
				beyond = append(beyond, s.At)
			}
			if !slices.Equal(beyond, c.want) {
				t.Errorf("Signals(limits only) at %v, want as Outside %v", beyond, c.want)
			}
		})
	}
}

// Every factor of every size against values worked out to six decimals apart
// from this program.
func TestFactorsFor(t *testing.T) {
	for _, row := range checks.Data(t, "shewhart_constants_2_25.csv") {
		f, err := FactorsFor(int(row[0]))
		if err != nil {
			t.Fatal(err)
		}
		ours := []float64{f.MeanOfRange, f.SpreadOfRange, f.MeanOfSpread, f.MeanByRange, f.MeanBySpread, f.LowerRange, f.UpperRange, f.LowerSpread, f.UpperSpread}
		for i, want := range row[1:] {
			if !near(ours[i], want, 6e-7) {
				t.Errorf("FactorsFor(%v) factor %d = %.8f, want %.6f", row[0], i+1, ours[i], want)
			}
		}
	}
	// For two values the range is |N(0, 2)|: d2 = 2/sqrt(pi), d3 = sqrt(2 - 4/pi).
	two, _ := FactorsFor(2)
	if !near(two.MeanOfRange, 2/math.Sqrt(math.Pi), 1e-12) || !near(two.SpreadOfRange, math.Sqrt(2-4/math.Pi), 1e-12) {
		t.Errorf("FactorsFor(2) = %+v, want d2 %v and d3 %v", two, 2/math.Sqrt(math.Pi), math.Sqrt(2-4/math.Pi))
	}
	for _, n := range []int{-1, 0, 1, 26} {
		if _, err := FactorsFor(n); fault.KindOf(err) != fault.Invalid {
			t.Errorf("FactorsFor(%d) = %v, want Invalid", n, err)
		}
	}
}

// The chart by standard deviations of the piston rings: limits from the mean of
// the 25 standard deviations and the factors worked out apart from this program.
func TestGroupChartBySpread(t *testing.T) {
	groups := checks.Data(t, "PistonRings_25x5.txt")
	c, err := NewGroupChart(groups, BySpread)
	if err != nil {
		t.Fatal(err)
	}
	var sum float64
	for _, g := range groups {
		s, _ := Summarize(g)
		sum += s.Spread
	}
	mean := sum / 25
	for _, x := range []struct {
		name      string
		got, want float64
	}{
		{"mean spread", c.Spread.Center, mean}, {"sigma", c.Sigma, mean / 0.939986},
		{"upper limit of the means", c.Mean.Upper, 74.001176 + 1.427299*mean},
		{"upper limit of the spreads", c.Spread.Upper, 2.088998 * mean}, {"lower", c.Spread.Lower, 0},
	} {
		if !near(x.got, x.want, 1e-6) {
			t.Errorf("%s = %v, want %v", x.name, x.got, x.want)
		}
	}
	if _, err := NewGroupChart([][]float64{{1, 2}, {1, 2, 3}}, BySpread); fault.KindOf(err) != fault.Invalid {
		t.Errorf("NewGroupChart(unequal) = %v, want Invalid", err)
	}
	if _, err := NewGroupChart([][]float64{{1}}, BySpread); fault.KindOf(err) != fault.Invalid {
		t.Errorf("NewGroupChart(single) = %v, want Invalid", err)
	}
}

func ExampleNewRunChart() {
	c, _ := NewRunChart([]float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1})
	fmt.Printf("mean %.2f, limits %.2f to %.2f, outside: %d\n", c.Mean, c.Limits.Lower, c.Limits.Upper, len(c.Outside()))
	// Output: mean 50.81, limits 45.82 to 55.80, outside: 0
}

func ExampleNewCapability() {
	c, _ := NewCapability([]float64{0.2, -0.4, 0.1, 0.5, -0.1, 0.3, 0, -0.2, 0.4, 0.1}, Tolerance{-1, 1})
	fmt.Printf("n %d, Cpk %.2f (%.2f to %.2f)\n", c.N, c.Cpk.Value, c.Cpk.Low, c.Cpk.High)
	// Output: n 10, Cpk 0.79 (0.28 to 1.30)
}
