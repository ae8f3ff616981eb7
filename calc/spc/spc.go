// Package spc tells whether measured values are steady: their mean, their
// spread and the limits within which a steady process keeps.
//
// It knows nothing of angles or tolerances: values are plain numbers, usually
// angle errors in degrees, in the order they were measured. Limits come from
// the values themselves; they are not tolerances. Source of the run chart:
// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 Individuals Control
// Charts, whose flow rate example is ExampleNewRunChart.
package spc

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"brakeside/calc/fault"
)

// Summary describes a number of values. N is at least 1.
type Summary struct {
	N      int
	Mean   float64
	Spread float64 // sample standard deviation, dividing by N-1; 0 when N is 1
	Worst  float64 // the value farthest from 0, with its sign
}

// Summarize describes the values. It refuses with fault.Invalid no values at
// all and values that are not finite.
func Summarize(values []float64) (Summary, error) {
	if err := check(values); err != nil {
		return Summary{}, err
	}
	s := Summary{N: len(values), Mean: values[0]}
	if s.N > 1 {
		s.Mean, s.Spread = stat.MeanStdDev(values, nil)
	}
	for _, v := range values {
		if math.Abs(v) > math.Abs(s.Worst) {
			s.Worst = v
		}
	}
	return s, nil
}

func check(values []float64) error {
	if len(values) == 0 {
		return fault.New(fault.Invalid, "", "There are no values yet.")
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fault.New(fault.Invalid, "", "Value %d is not a finite number.", i+1)
		}
	}
	return nil
}

// LeastForLimits is the fewest values that a chart draws limits from. Limits
// from fewer jump about with every further value. Common practice, no source.
const LeastForLimits = 8

// The constants of charts of single values, whose ranges are over 2 values:
// the mean of such a range is rangePerSigma standard deviations, and its upper
// limit is rangeLimit mean ranges. With them 3 standard deviations are 2.66
// mean ranges. Source: as the package; d2 and D4 for n = 2.
const (
	rangePerSigma = 1.128
	rangeLimit    = 3.267
)

// RunChart is values in their order with what a chart of them shows.
type RunChart struct {
	Values       []float64
	MovingRanges []float64 // between each value and the one before: one fewer than Values
	Mean         float64
	MeanRange    float64 // of the moving ranges; 0 when there is one value
	Limits       *Limits // nil with fewer than LeastForLimits values
}

// Limits are where a steady process keeps within, 3 standard deviations away.
type Limits struct {
	Lower, Upper float64 // for the values
	RangeUpper   float64 // for the moving ranges; their lower limit is 0
}

// NewRunChart works out a chart of single values (individuals and moving
// range). It refuses what Summarize refuses.
func NewRunChart(values []float64) (RunChart, error) {
	if err := check(values); err != nil {
		return RunChart{}, err
	}
	c := RunChart{Values: values, Mean: stat.Mean(values, nil), MovingRanges: make([]float64, len(values)-1)}
	for i := range c.MovingRanges {
		c.MovingRanges[i] = math.Abs(values[i+1] - values[i])
	}
	if len(c.MovingRanges) > 0 {
		c.MeanRange = stat.Mean(c.MovingRanges, nil)
	}
	if len(values) >= LeastForLimits {
		reach := 3 * c.MeanRange / rangePerSigma
		c.Limits = &Limits{Lower: c.Mean - reach, Upper: c.Mean + reach, RangeUpper: rangeLimit * c.MeanRange}
	}
	return c, nil
}

// Outside lists the places in Values, counted from 0, that lie beyond the
// limits; none when there are no limits.
func (c RunChart) Outside() []int {
	var places []int
	for i, v := range c.Values {
		if c.Limits != nil && (v < c.Limits.Lower || v > c.Limits.Upper) {
			places = append(places, i)
		}
	}
	return places
}
