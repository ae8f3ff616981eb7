package spc

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"brakeside/calc/fault"
)

// data reads one value a line from testdata/checks; SOURCES.txt says where the
// files come from.
func data(tb testing.TB, name string) []float64 {
	tb.Helper()
	text, err := os.ReadFile("testdata/checks/" + name)
	if err != nil {
		tb.Fatal(err)
	}
	var values []float64
	for line := range strings.FieldsSeq(string(text)) {
		v, err := strconv.ParseFloat(line, 64)
		if err != nil {
			tb.Fatal(err)
		}
		values = append(values, v)
	}
	return values
}

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance }

// Certified values: NIST Statistical Reference Datasets, univariate summary
// statistics, https://www.itl.nist.gov/div898/strd/univ/. The tolerances are
// relative; the NumAcc sets were made to be hard.
func TestSummarizeCertified(t *testing.T) {
	cases := []struct {
		file         string
		n            int
		mean, spread float64
		within       float64
	}{
		{"Lottery.txt", 218, 518.95871559633, 291.699727470969, 1e-13},
		{"Mavro.txt", 50, 2.001856, 0.000429123454003053, 1e-12},
		{"NumAcc1.txt", 3, 10000002, 1, 1e-15},
		{"NumAcc2.txt", 1001, 1.2, 0.1, 1e-13},
		{"NumAcc3.txt", 1001, 1000000.2, 0.1, 1e-8},
		{"NumAcc4.txt", 1001, 10000000.2, 0.1, 1e-7},
	}
	for _, c := range cases {
		t.Run(c.file, func(t *testing.T) {
			got, err := Summarize(data(t, c.file))
			if err != nil {
				t.Fatal(err)
			}
			if got.N != c.n || !near(got.Mean/c.mean, 1, c.within) || !near(got.Spread/c.spread, 1, c.within) {
				t.Errorf("Summarize(%s) = %d, %v, %v, want %d, %v, %v", c.file, got.N, got.Mean, got.Spread, c.n, c.mean, c.spread)
			}
		})
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

func TestRefusals(t *testing.T) {
	for name, values := range map[string][]float64{
		"none": nil, "NaN": {1, math.NaN()}, "infinite": {math.Inf(-1)},
	} {
		if _, err := Summarize(values); fault.KindOf(err) != fault.Invalid {
			t.Errorf("Summarize(%s) = %v, want Invalid", name, err)
		}
		if _, err := NewRunChart(values); fault.KindOf(err) != fault.Invalid {
			t.Errorf("NewRunChart(%s) = %v, want Invalid", name, err)
		}
	}
}

// Expected values: NIST/SEMATECH e-Handbook, 6.3.2.2, flow rate example; the
// limits there are the mean -+ 3 mean ranges / 1.128. The limit of the ranges
// is 3.267 times their mean.
func TestFlowRate(t *testing.T) {
	c, err := NewRunChart(data(t, "NIST_flowrate_10.txt"))
	if err != nil {
		t.Fatal(err)
	}
	wantRanges := []float64{2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5}
	if len(c.MovingRanges) != len(wantRanges) {
		t.Fatalf("moving ranges = %v, want %v", c.MovingRanges, wantRanges)
	}
	for i, want := range wantRanges {
		if !near(c.MovingRanges[i], want, 1e-9) {
			t.Errorf("moving range %d = %v, want %v", i, c.MovingRanges[i], want)
		}
	}
	for _, x := range []struct {
		name      string
		got, want float64
	}{
		{"mean", c.Mean, 50.81}, {"mean range", c.MeanRange, 1.8778},
		{"upper limit", c.Limits.Upper, 55.8041}, {"lower limit", c.Limits.Lower, 45.8159},
		{"limit of the ranges", c.Limits.RangeUpper, 3.267 * 1.877778},
	} {
		if !near(x.got, x.want, 5e-5) {
			t.Errorf("%s = %.5f, want %.4f", x.name, x.got, x.want)
		}
	}
	if outside := c.Outside(); len(outside) != 0 {
		t.Errorf("Outside() = %v, want none: the example is in control", outside)
	}
	if !near(3/rangePerSigma, 2.66, 5e-4) {
		t.Errorf("3 / %v = %v, want 2.66 as tables print it", rangePerSigma, 3/rangePerSigma)
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
		})
	}
}

// Moving all values by as much moves the mean and the limits by as much and
// leaves the ranges alone.
func TestRunChartShift(t *testing.T) {
	values := data(t, "NIST_flowrate_10.txt")
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
}

func ExampleNewRunChart() {
	c, _ := NewRunChart([]float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1})
	fmt.Printf("mean %.2f, limits %.2f to %.2f, outside: %d\n", c.Mean, c.Limits.Lower, c.Limits.Upper, len(c.Outside()))
	// Output: mean 50.81, limits 45.82 to 55.80, outside: 0
}
