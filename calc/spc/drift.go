package spc

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Smoothing is an EWMA chart: each value is averaged into those before it with
// a fixed weight, which shows small lasting shifts that single values hide.
// Source: NIST/SEMATECH e-Handbook, 6.3.2.4; the exact limits are those of Lucas
// and Saccucci, Technometrics 32(1), 1990.
type Smoothing struct {
	Target float64 // where the average starts
	Sigma  float64 // standard deviation of one value
	Weight float64 // of a new value, above 0 and at most 1; 0.2 to 0.3 is usual
}

// Smoothed is one average with the limits that hold at its place.
type Smoothed struct{ Value, Lower, Upper float64 }

// Outside reports whether the average is beyond its limits.
func (s Smoothed) Outside() bool { return s.Value < s.Lower || s.Value > s.Upper }

// Run averages the values in their order. The limits after t values are Target
// -+ Reach Sigma sqrt(w/(2-w) (1-(1-w)^(2t))).
func (s Smoothing) Run(values []float64) []Smoothed {
	out := make([]Smoothed, len(values))
	average := s.Target
	for i, v := range values {
		average += s.Weight * (v - average)
		reach := s.reach(i + 1)
		out[i] = Smoothed{average, s.Target - reach, s.Target + reach}
	}
	return out
}

func (s Smoothing) reach(count int) float64 {
	grown := 1 - math.Pow(1-s.Weight, 2*float64(count))
	return Reach * s.Sigma * math.Sqrt(s.Weight/(2-s.Weight)*grown)
}

// Settled is the distance of the limits from the target after many values.
func (s Smoothing) Settled() float64 {
	return Reach * s.Sigma * math.Sqrt(s.Weight/(2-s.Weight))
}

// Cusum adds up how far values lie beyond a slack on either side of a target,
// and signals when a sum passes a decision level: the quickest way to see a
// lasting step of about twice the slack. All are in the unit of the values.
// Source: NIST/SEMATECH e-Handbook, 6.3.2.3, tabular form.
type Cusum struct {
	Target   float64
	Slack    float64 // k: half the step that matters
	Decision float64 // h: 4 to 5 standard deviations are usual
}

// Sums are the two sums after a value. The zero Sums is the start.
type Sums struct{ High, Low float64 }

// Next adds a value.
func (c Cusum) Next(s Sums, value float64) Sums {
	off := value - c.Target
	return Sums{max(0, s.High+off-c.Slack), max(0, s.Low-off-c.Slack)}
}

// Signal reports whether a sum has passed the decision level: +1 above the
// target, -1 below it, 0 neither. Of two that have the larger speaks.
func (c Cusum) Signal(s Sums) int {
	switch {
	case s.High > max(c.Decision, s.Low):
		return 1
	case s.Low > max(c.Decision, s.High):
		return -1
	}
	return 0
}

// Run gives the sums after each value, going on after a signal.
func (c Cusum) Run(values []float64) []Sums {
	out := make([]Sums, len(values))
	var s Sums
	for i, v := range values {
		s = c.Next(s, v)
		out[i] = s
	}
	return out
}

// RunLength is how many values it takes on average from the zero Sums until a
// signal, when the values are normal with standard deviation sigma and their
// mean lies shift above the target. With no shift it is the average number of
// values to a false alarm.
//
// The run length of one side solves L(u) = 1 + L(0) F(k-u) + integral over z
// from 0 to h of L(z) f(z+k-u), here at the places of a Gauss rule; both sides
// together are 1/(1/high + 1/low). Source: Page, Biometrika 41, 1954, from
// memory.
func (c Cusum) RunLength(sigma, shift float64) float64 {
	k, h, d := c.Slack/sigma, c.Decision/sigma, shift/sigma
	return 1 / (1/oneSided(k-d, h) + 1/oneSided(k+d, h))
}

// oneSided is the run length of one sum with this slack, in standard
// deviations.
func oneSided(k, h float64) float64 {
	const places = 40
	z, weight := make([]float64, places), make([]float64, places)
	quad.Legendre{}.FixedLocations(z, weight, 0, h)
	z = append(z, 0) // the last unknown is the run length from a sum of 0
	equations, ones := mat.NewDense(places+1, places+1, nil), mat.NewVecDense(places+1, nil)
	for i, u := range z {
		ones.SetVec(i, 1)
		for j, w := range weight {
			equations.Set(i, j, -w*distuv.UnitNormal.Prob(z[j]+k-u))
		}
		equations.Set(i, places, -distuv.UnitNormal.CDF(k-u))
		equations.Set(i, i, equations.At(i, i)+1)
	}
	var lengths mat.VecDense
	if err := lengths.SolveVec(equations, ones); err != nil {
		return math.Inf(1) // no signal as far as the numbers can tell
	}
	return lengths.AtVec(places)
}
