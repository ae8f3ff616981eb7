package spc

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"brakeside/calc/fault"
)

// Reach is how many standard deviations the limits lie away from the mean.
const Reach = 3.0

// The sizes of groups that factors are worked out for.
const (
	LeastGroup = 2
	MostGroup  = 25
)

// Factors are the constants of control charts for groups of N values of a
// normal process with standard deviation 1. The letters in the comments are
// those of the usual tables.
type Factors struct {
	N             int
	MeanOfRange   float64 // d2: the mean of the range of a group
	SpreadOfRange float64 // d3: the standard deviation of that range
	MeanOfSpread  float64 // c4: the mean of the standard deviation of a group

	MeanByRange  float64 // A2: limits of group means, in mean ranges
	MeanBySpread float64 // A3: limits of group means, in mean standard deviations
	LowerRange   float64 // D3: limits of ranges, in mean ranges
	UpperRange   float64 // D4
	LowerSpread  float64 // B3: limits of standard deviations, in their mean
	UpperSpread  float64 // B4
}

// FactorsFor gives the factors for groups of n values, LeastGroup to MostGroup;
// other sizes are refused.
//
// They are worked out from their definitions. The range W of n values has
// P(W <= w) = n times the integral over x of f(x) (F(x+w) - F(x))^(n-1), with f
// and F of the normal distribution; its mean is the integral of P(W > w) over
// w, its mean square twice that of w P(W > w). The mean standard deviation is
// c4 = sqrt(2/(n-1)) Gamma(n/2) / Gamma((n-1)/2). Limits are Reach standard
// deviations away, and no lower limit is below 0.
func FactorsFor(n int) (Factors, error) {
	if n < LeastGroup || n > MostGroup {
		return Factors{}, fault.New(fault.Invalid, "", "Groups of %d values have no chart; %d to %d do.", n, LeastGroup, MostGroup)
	}
	return factors[n-LeastGroup](), nil
}

// factors are worked out once each, when first asked for.
var factors = func() (all [MostGroup - LeastGroup + 1]func() Factors) {
	for i := range all {
		all[i] = sync.OnceValue(func() Factors { return newFactors(i + LeastGroup) })
	}
	return all
}()

func newFactors(n int) Factors {
	d2, d3, c4 := rangeMoments(n)
	relative, size := Reach*d3/d2, math.Sqrt(float64(n))
	scatter := Reach * math.Sqrt(1-c4*c4) / c4
	return Factors{
		N: n, MeanOfRange: d2, SpreadOfRange: d3, MeanOfSpread: c4,
		MeanByRange: Reach / (d2 * size), MeanBySpread: Reach / (c4 * size),
		LowerRange: max(0, 1-relative), UpperRange: 1 + relative,
		LowerSpread: max(0, 1-scatter), UpperSpread: 1 + scatter,
	}
}

// rangeMoments gives d2, d3 and c4. No range of 25 values is wider than 14
// standard deviations as far as 12 digits can tell.
func rangeMoments(n int) (d2, d3, c4 float64) {
	const widest, places = 14, 80
	w, weight := make([]float64, places), make([]float64, places)
	quad.Legendre{}.FixedLocations(w, weight, 0, widest)
	var square float64
	for i := range w {
		beyond := weight[i] * (1 - rangeWithin(n, w[i]))
		d2 += beyond
		square += 2 * w[i] * beyond
	}
	above, _ := math.Lgamma(float64(n) / 2)
	below, _ := math.Lgamma(float64(n-1) / 2)
	return d2, math.Sqrt(square - d2*d2), math.Sqrt(2/float64(n-1)) * math.Exp(above-below)
}

// rangeWithin is the share of groups of n normal values whose range is at most
// w. The trapezoidal rule is exact to rounding for what dies away so smoothly.
func rangeWithin(n int, w float64) float64 {
	const step, far = 0.1, 9.0
	var sum float64
	for x := -far - w; x <= far; x += step {
		between := distuv.UnitNormal.CDF(x+w) - distuv.UnitNormal.CDF(x)
		sum += distuv.UnitNormal.Prob(x) * math.Pow(between, float64(n-1))
	}
	return float64(n) * sum * step
}
