package spc

import (
	"gonum.org/v1/gonum/stat"

	"brakeside/calc/fault"
)

// Gauge says what the spread inside a group is measured by.
type Gauge int

// The gauges: the range (X-bar/R chart), usual for groups up to 10, and the
// standard deviation (X-bar/S chart).
const (
	ByRange Gauge = iota
	BySpread
)

// Band is a centre line with its limits.
type Band struct{ Lower, Center, Upper float64 }

// GroupChart is a control chart of equal groups, such as the pieces of a job:
// one line for the group means, one for the spread inside the groups.
type GroupChart struct {
	Gauge   Gauge
	Factors Factors
	Means   []float64 // of the groups
	Spreads []float64 // their ranges or standard deviations
	Mean    Band      // of the means
	Spread  Band      // of the spreads
	Sigma   float64   // standard deviation inside a group
}

// NewGroupChart works out the chart. It refuses no groups, groups of unequal
// size and sizes that have no factors.
func NewGroupChart(groups [][]float64, by Gauge) (GroupChart, error) {
	if len(groups) == 0 {
		return GroupChart{}, check(nil)
	}
	f, err := FactorsFor(len(groups[0]))
	if err != nil {
		return GroupChart{}, err
	}
	c := GroupChart{Gauge: by, Factors: f}
	for i, g := range groups {
		if len(g) != f.N {
			return GroupChart{}, fault.New(fault.Invalid, "", "Group %d has %d values, the first has %d.", i+1, len(g), f.N)
		}
		if err := check(g); err != nil {
			return GroupChart{}, err
		}
		c.Means = append(c.Means, stat.Mean(g, nil))
		c.Spreads = append(c.Spreads, by.of(g))
	}
	c.draw()
	return c, nil
}

// draw puts the lines in.
func (c *GroupChart) draw() {
	center, spread := stat.Mean(c.Means, nil), stat.Mean(c.Spreads, nil)
	f := c.Factors
	perSigma, reach, lower, upper := f.MeanOfRange, f.MeanByRange, f.LowerRange, f.UpperRange
	if c.Gauge == BySpread {
		perSigma, reach, lower, upper = f.MeanOfSpread, f.MeanBySpread, f.LowerSpread, f.UpperSpread
	}
	c.Sigma = spread / perSigma
	c.Mean = Band{center - reach*spread, center, center + reach*spread}
	c.Spread = Band{lower * spread, spread, upper * spread}
}

// of measures the spread of one group.
func (g Gauge) of(group []float64) float64 {
	if g == BySpread {
		return stat.StdDev(group, nil)
	}
	low, high := group[0], group[0]
	for _, v := range group {
		low, high = min(low, v), max(high, v)
	}
	return high - low
}
