package spc

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// LeastForLimits is the fewest values that a chart draws limits from. Limits
// from fewer jump about with every further value. Common practice, no source.
const LeastForLimits = 8

// LeastForJudgement is the fewest values from which a process is called steady,
// capable or normal: 25 groups are the usual start of a control chart.
// Source: NIST/SEMATECH e-Handbook, 6.3.2.
const LeastForJudgement = 25

// RunChart is values in their order with what a chart of them shows
// (individuals and moving range).
type RunChart struct {
	Values       []float64
	MovingRanges []float64 // between each value and the one before: one fewer than Values
	Mean         float64
	MeanRange    float64 // of the moving ranges; 0 when there is one value
	Sigma        float64 // standard deviation from value to value: MeanRange / d2(2)
	Limits       *Limits // nil with fewer than LeastForLimits values
}

// Limits are where a steady process keeps within, Reach standard deviations
// away.
type Limits struct {
	Lower, Upper float64 // for the values
	RangeUpper   float64 // for the moving ranges; their lower limit is 0
}

// NewRunChart works out a chart of single values. It refuses what Summarize
// refuses. Source: NIST/SEMATECH e-Handbook, 6.3.2.2, whose flow rate example
// is ExampleNewRunChart; the constants are exact here and rounded there.
func NewRunChart(values []float64) (RunChart, error) {
	if err := check(values); err != nil {
		return RunChart{}, err
	}
	c := RunChart{Values: values, Mean: stat.Mean(values, nil), MovingRanges: make([]float64, len(values)-1)}
	for i := range c.MovingRanges {
		c.MovingRanges[i] = math.Abs(values[i+1] - values[i])
	}
	pair := factors[0]
	if len(c.MovingRanges) > 0 {
		c.MeanRange = stat.Mean(c.MovingRanges, nil)
		c.Sigma = c.MeanRange / pair().MeanOfRange
	}
	if len(values) >= LeastForLimits {
		c.Limits = &Limits{Lower: c.Mean - Reach*c.Sigma, Upper: c.Mean + Reach*c.Sigma, RangeUpper: pair().UpperRange * c.MeanRange}
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

// Signals finds the patterns of a rule set about the chart's own mean; none
// when there are no limits.
func (c RunChart) Signals(set RuleSet) []Signal {
	if c.Limits == nil {
		return nil
	}
	return set.Signals(c.Values, Level{c.Mean, c.Sigma})
}
