// Package spc tells whether measured values are steady and good enough: their
// mean, their spread, the limits within which a steady process keeps, the
// patterns that say it does not, and how it stands against a tolerance.
//
// Values are plain numbers, usually angle errors in degrees, in the order they
// were measured; the package knows nothing of bends. Limits come from the
// values themselves and are not tolerances. Nothing is concluded from few
// values: LeastForLimits and LeastForJudgement say how many are asked for.
//
// Sources: NIST/SEMATECH e-Handbook of Statistical Methods, chapters 1, 2, 6
// and 7 (doi:10.18434/M32189), and what stands beside each function.
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

// SummarizeWhole is Summarize for values kept as whole numbers of a unit, such
// as hundredths of a degree (unit 0.01). Differences from the first value are
// exact, so that values far from zero lose no digits.
func SummarizeWhole[T ~int64](values []T, unit float64) (Summary, error) {
	if len(values) == 0 {
		return Summary{}, check(nil)
	}
	differences := make([]float64, len(values))
	worst := T(0)
	for i, v := range values {
		differences[i] = float64(v - values[0])
		if max(v, -v) > max(worst, -worst) {
			worst = v
		}
	}
	s, err := Summarize(differences)
	s.Mean = (float64(values[0]) + s.Mean) * unit
	s.Spread *= unit
	s.Worst = float64(worst) * unit
	return s, err
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

// checkMany is check for what needs several values.
func checkMany(values []float64, least int) error {
	if err := check(values); err != nil {
		return err
	}
	if len(values) < least {
		return fault.New(fault.Invalid, "", "There are %d values; this needs %d.", len(values), least)
	}
	return nil
}

// AlikeNeighbours is how much each value is like the one before it: the lag-one
// autocorrelation, sum (x[i]-m)(x[i+1]-m) / sum (x[i]-m)^2. Near 0 for values
// that know nothing of each other, towards 1 for a slow drift. Limits drawn
// from values that are alike are too narrow. It needs two values that differ.
func AlikeNeighbours(values []float64) (float64, error) {
	if err := checkMany(values, 2); err != nil {
		return 0, err
	}
	mean := stat.Mean(values, nil)
	var products, squares float64
	for i, v := range values {
		squares += (v - mean) * (v - mean)
		if i > 0 {
			products += (values[i-1] - mean) * (v - mean)
		}
	}
	if squares == 0 {
		return 0, fault.New(fault.Invalid, "", "All values are equal.")
	}
	return products / squares, nil
}
