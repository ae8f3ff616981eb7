package spc

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"brakeside/calc/fault"
)

// Tolerance is what is asked of the values. A side that is not asked for is
// infinite.
type Tolerance struct{ Lower, Upper float64 }

// Interval holds the true value of something estimated, with a stated
// confidence.
type Interval struct{ Low, High float64 }

// Index is an estimated capability index with its interval.
type Index struct {
	Value float64
	Interval
}

// Capability compares values with a tolerance. Cp and Cpk take the spread from
// value to value, which is what the process could hold without drift; Pp and
// Ppk take the whole spread. Cp and Pp ask only whether the spread fits in, Cpk
// and Ppk also whether it is centred.
type Capability struct {
	N                int
	Mean             float64
	Within, Overall  float64 // standard deviations
	Cp, Cpk, Pp, Ppk Index
}

// Potential is (upper - lower) / 6 spread, infinite for a one-sided tolerance.
func (t Tolerance) Potential(spread float64) float64 {
	return (t.Upper - t.Lower) / (2 * Reach * spread)
}

// Sides are (mean - lower) / 3 spread and (upper - mean) / 3 spread: the room on
// either side of the mean.
func (t Tolerance) Sides(mean, spread float64) (lower, upper float64) {
	return (mean - t.Lower) / (Reach * spread), (t.Upper - mean) / (Reach * spread)
}

// Actual is the lesser of the Sides.
func (t Tolerance) Actual(mean, spread float64) float64 {
	return min(t.Sides(mean, spread))
}

// Aimed is (upper - lower) / 6 sqrt(spread^2 + (mean - target)^2), also called
// Cpm: the index that a mean off the target makes smaller.
func (t Tolerance) Aimed(s Summary, target float64) float64 {
	return t.Potential(math.Hypot(s.Spread, s.Mean-target))
}

// OffCentre is how far the mean lies from the middle of the tolerance, in half
// widths: Actual = (1 - OffCentre) Potential.
func (t Tolerance) OffCentre(mean float64) float64 {
	return math.Abs((t.Upper+t.Lower)/2-mean) / ((t.Upper - t.Lower) / 2)
}

// Share is the share of normal values inside the tolerance.
func (t Tolerance) Share(mean, spread float64) float64 {
	n := distuv.Normal{Mu: mean, Sigma: spread}
	return n.CDF(t.Upper) - n.CDF(t.Lower)
}

// Estimate says what an index rests on.
type Estimate struct {
	N          int     // values
	Freedom    float64 // degrees of freedom of the spread
	Confidence float64 // such as 0.95
}

// Of gives the interval of a Cp or Pp: times sqrt(chi-square quantile / freedom).
// Source: NIST/SEMATECH e-Handbook, 6.1.6.
func (e Estimate) Of(potential float64) Interval {
	chi := distuv.ChiSquared{K: e.Freedom}
	tail := (1 - e.Confidence) / 2
	return Interval{potential * math.Sqrt(chi.Quantile(tail)/e.Freedom), potential * math.Sqrt(chi.Quantile(1-tail)/e.Freedom)}
}

// OfActual gives the interval of a Cpk or Ppk: -+ z sqrt(1/(9n) + index^2 /
// (2 freedom)), a good approximation from 25 values on. Source: NIST/SEMATECH
// e-Handbook, 6.1.6.
func (e Estimate) OfActual(actual float64) Interval {
	z := distuv.UnitNormal.Quantile((1 + e.Confidence) / 2)
	reach := z * math.Sqrt(1/(9*float64(e.N))+actual*actual/(2*e.Freedom))
	return Interval{actual - reach, actual + reach}
}

// NewCapability works the indexes out from values in their order, with 95
// percent intervals. It needs two values that differ.
func NewCapability(values []float64, t Tolerance) (Capability, error) {
	if err := checkMany(values, 2); err != nil {
		return Capability{}, err
	}
	if !(t.Lower < t.Upper) {
		return Capability{}, fault.New(fault.Invalid, "", "The lower limit %v is not below the upper %v.", t.Lower, t.Upper)
	}
	s, err := Summarize(values)
	if err != nil {
		return Capability{}, err
	}
	chart, err := NewRunChart(values)
	if err != nil {
		return Capability{}, err
	}
	if s.Spread == 0 {
		return Capability{}, fault.New(fault.Invalid, "", "All values are equal: what the process can hold cannot be told.")
	}
	c := Capability{N: s.N, Mean: s.Mean, Within: chart.Sigma, Overall: s.Spread}
	const confidence = 0.95
	c.Cp, c.Cpk = t.indexes(s.Mean, c.Within, Estimate{s.N, rangeFreedom(s.N), confidence})
	c.Pp, c.Ppk = t.indexes(s.Mean, c.Overall, Estimate{s.N, float64(s.N - 1), confidence})
	return c, nil
}

func (t Tolerance) indexes(mean, spread float64, e Estimate) (potential, actual Index) {
	p, a := t.Potential(spread), t.Actual(mean, spread)
	return Index{p, e.Of(p)}, Index{a, e.OfActual(a)}
}

// rangeFreedom is how many degrees of freedom the spread from the moving ranges
// of n normal values has: 1 / (2 v), where v is its relative variance. The
// variance of a moving range and the covariance of two neighbours, whose
// differences are correlated by -1/2, follow from the folded normal
// distribution; it comes to about 0.6 (n - 1).
func rangeFreedom(n int) float64 {
	m := float64(n - 1)
	mean := 4 / math.Pi // of a squared moving range's root, squared
	variance := 2 - mean
	neighbours := mean*(math.Sqrt(0.75)+0.5*math.Asin(0.5)) - mean
	return mean / (2 * (variance + 2*(m-1)/m*neighbours) / m)
}
