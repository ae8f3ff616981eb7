package spc

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"brakeside/calc/fault"
)

// Normality is how well values follow a normal distribution whose mean and
// spread are those of the values.
type Normality struct {
	N         int
	Statistic float64 // Anderson-Darling A squared
	Adjusted  float64 // A squared (1 + 0.75/n + 2.25/n^2)
	Chance    float64 // of so poor a fit, were the values normal; below 0.05 is doubtful
}

// NewNormality compares at least LeastForLimits values, not all equal, with the
// normal distribution by the Anderson-Darling test. Values read to half a
// degree pile up on few numbers: with many of them the test then says no
// although the metal is well behaved.
//
// Source: A squared as in the NIST/SEMATECH e-Handbook, 1.3.5.14; adjustment
// and chance by D'Agostino and Stephens, Goodness-of-Fit Techniques (1986),
// case 3, from memory; their limits 0.752 (5 percent) and 1.035 (1 percent) are
// in the tests.
func NewNormality(values []float64) (Normality, error) {
	if err := checkMany(values, LeastForLimits); err != nil {
		return Normality{}, err
	}
	s, err := Summarize(values)
	if err != nil {
		return Normality{}, err
	}
	if s.Spread == 0 {
		return Normality{}, fault.New(fault.Invalid, "", "All values are equal.")
	}
	sorted := slices.Sorted(slices.Values(values))
	n := float64(s.N)
	fit := Normality{N: s.N, Statistic: -n}
	for i := range sorted {
		low := (sorted[i] - s.Mean) / s.Spread
		high := (sorted[s.N-1-i] - s.Mean) / s.Spread
		fit.Statistic -= float64(2*i+1) / n * (logBelow(low) + logBelow(-high))
	}
	fit.Adjusted = fit.Statistic * (1 + 0.75/n + 2.25/(n*n))
	fit.Chance = poorFit(fit.Adjusted)
	return fit, nil
}

// logBelow is the logarithm of the share below z, finite for every z.
func logBelow(z float64) float64 {
	return math.Log(max(distuv.UnitNormal.CDF(z), math.SmallestNonzeroFloat64))
}

// poorFit is the chance of an adjusted statistic at least as large.
func poorFit(a float64) float64 {
	switch {
	case a < 0.2:
		return 1 - math.Exp(-13.436+101.14*a-223.73*a*a)
	case a < 0.34:
		return 1 - math.Exp(-8.318+42.796*a-59.938*a*a)
	case a < 0.6:
		return math.Exp(0.9177 - 4.279*a - 1.38*a*a)
	}
	a = min(a, 13) // the end of the fitted range
	return math.Exp(1.2937 - 5.709*a + 0.0186*a*a)
}

// Stray is the value farthest from the mean of its fellows.
type Stray struct {
	At       int     // its place in the values
	Distance float64 // from the mean, in spreads of the values: Grubbs' G
	Limit    float64 // what a single stray must pass
}

// Suspicious reports whether the value does not belong to the others.
func (s Stray) Suspicious() bool { return s.Distance > s.Limit }

// FindStray tests the farthest of at least three values, not all equal, on one
// side with a chance of error alpha. It is a question to ask, never a reason to
// leave a reading out unasked. Source: Grubbs' test as in the NIST/SEMATECH
// e-Handbook, 1.3.5.17.1: G > (n-1)/sqrt(n) sqrt(t^2/(n-2+t^2)) with t of n-2
// degrees of freedom at alpha/n.
func FindStray(values []float64, alpha float64) (Stray, error) {
	if err := checkMany(values, 3); err != nil {
		return Stray{}, err
	}
	summary, err := Summarize(values)
	if err != nil || summary.Spread == 0 {
		return Stray{}, fault.New(fault.Invalid, "", "All values are equal.")
	}
	var s Stray
	for i, v := range values {
		if d := math.Abs(v-summary.Mean) / summary.Spread; d > s.Distance {
			s.At, s.Distance = i, d
		}
	}
	n := float64(summary.N)
	t := student(n - 2).Quantile(1 - alpha/n)
	s.Limit = (n - 1) / math.Sqrt(n) * math.Sqrt(t*t/(n-2+t*t))
	return s, nil
}
