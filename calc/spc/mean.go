package spc

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// MeanInterval holds the true mean of a summary of at least two values:
// mean -+ t sqrt(spread^2 / n). Source: NIST/SEMATECH e-Handbook, 1.3.5.2.
func (s Summary) MeanInterval(confidence float64) Interval {
	t := student(float64(s.N - 1)).Quantile((1 + confidence) / 2)
	reach := t * s.Spread / math.Sqrt(float64(s.N))
	return Interval{s.Mean - reach, s.Mean + reach}
}

// MeanIntervalOn is MeanInterval for values read to a step: what rounding can
// hide of the mean is added on either side, see RoundingBias, so that ten equal
// readings to half a degree are known to a quarter of a degree and no better.
// The scatter before rounding is taken as spread^2 - step^2/12 (Sheppard).
func (s Summary) MeanIntervalOn(step, confidence float64) Interval {
	i := s.MeanInterval(confidence)
	hidden := RoundingBias(step, s.unrounded(step))
	return Interval{i.Low - hidden, i.High + hidden}
}

// SpreadIntervalOn is SpreadInterval for values read to a step. Its upper end is
// that of a spread of at least RoundingSpread: less than that is not seen.
func (s Summary) SpreadIntervalOn(step, confidence float64) Interval {
	seen := math.Max(s.Spread, RoundingSpread(step))
	return Interval{s.SpreadInterval(confidence).Low, spreadInterval(seen, float64(s.N-1), confidence).High}
}

// unrounded is the spread before rounding to a step.
func (s Summary) unrounded(step float64) float64 {
	rounding := RoundingSpread(step)
	return math.Sqrt(math.Max(0, s.Spread*s.Spread-rounding*rounding))
}

// SpreadInterval holds the true standard deviation of a summary of at least two
// normal values: spread sqrt(freedom / chi-square quantile).
func (s Summary) SpreadInterval(confidence float64) Interval {
	return spreadInterval(s.Spread, float64(s.N-1), confidence)
}

func spreadInterval(spread, freedom, confidence float64) Interval {
	chi := distuv.ChiSquared{K: freedom}
	tail := (1 - confidence) / 2
	return Interval{spread * math.Sqrt(freedom/chi.Quantile(1-tail)), spread * math.Sqrt(freedom/chi.Quantile(tail))}
}

func student(freedom float64) distuv.StudentsT { return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom} }

// Test is how sure a comparison shall be.
type Test struct {
	FalseAlarm float64 // chance to see a shift that is not there, one side
	Miss       float64 // chance not to see one that is
}

// ValuesToSee is how many values show that a mean has shifted by so many
// standard deviations: the fewest n, at least 2, that are no fewer than (t +
// t)^2 / shift^2 with quantiles of Student's t for n. It is where "no
// conclusions from few readings" begins. Source: NIST/SEMATECH e-Handbook,
// 7.2.2.2.
func (t Test) ValuesToSee(shift float64) int {
	n := max(2, int(math.Ceil(t.needed(distuv.UnitNormal.Quantile, shift))))
	for t.needed(student(float64(n-1)).Quantile, shift) > float64(n) {
		n++
	}
	return n
}

func (t Test) needed(quantile func(float64) float64, shift float64) float64 {
	sum := quantile(1-t.FalseAlarm) + quantile(1-t.Miss)
	return sum * sum / (shift * shift)
}
