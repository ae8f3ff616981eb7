package spc

import "math"

// Digits tells from the digits of readings how finely they were read: all whole
// degrees come from a protractor read to 1 degree, halves among them from one
// read to half a degree. The zero Digits has seen none.
type Digits struct {
	n  int
	on [len(readTo)]int // readings that lie on each step
}

// readTo are the steps that readings are read to, the coarsest first, with the share of
// instruments read so. Common practice, no source.
var readTo = [...]struct{ size, share float64 }{{1, 0.2}, {0.5, 0.3}, {0.1, 0.4}, {0.01, 0.1}}

// Of all readings so many are taken down between or beside their step.
const besideStep = 0.01

// sureStep is the chance from which on a step is called known.
const sureStep = 0.95

// Add takes one more reading in. Readings are looked at to a hundredth.
func (d *Digits) Add(value float64) {
	const hair = 1e-6
	d.n++
	for i, s := range readTo {
		if off := math.Abs(value/s.size - math.Round(value/s.size)); off*s.size < hair {
			d.on[i]++
		}
	}
}

// chances gives the chance of each step by the rule of Bayes: a reading lies on
// the lines of its step, each line as likely as it is wide.
func (d *Digits) chances() (out [len(readTo)]float64) {
	best := math.Inf(-1)
	for i, s := range readTo {
		beside := float64(d.n - d.on[i])
		out[i] = math.Log(s.share) + float64(d.on[i])*math.Log((1-besideStep)*s.size) + beside*math.Log(besideStep*readTo[len(readTo)-1].size)
		best = math.Max(best, out[i])
	}
	sum := 0.0
	for i := range out {
		out[i] = math.Exp(out[i] - best)
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// Step is what the readings are read to, and whether that is known: five whole
// degrees show a step of 1, three readings with a half among them one of 0.5.
func (d *Digits) Step() (step float64, known bool) {
	for i, chance := range d.chances() {
		if chance >= sureStep {
			return readTo[i].size, true
		}
	}
	return 0, false
}

// Variance is the variance of an error of rounding to the step, over all steps
// that there may be: step^2 / 12 when it is known, see RoundingSpread.
func (d *Digits) Variance() float64 {
	sum := 0.0
	for i, chance := range d.chances() {
		spread := RoundingSpread(readTo[i].size)
		sum += chance * spread * spread
	}
	return sum
}

// StepOf is the Step of values.
func StepOf(values []float64) (step float64, known bool) {
	var d Digits
	for _, v := range values {
		d.Add(v)
	}
	return d.Step()
}

// RoundingSpread is the standard uncertainty that comes of reading to a step:
// step / sqrt(12). Source: GUM (JCGM 100:2008), F.2.2.1.
func RoundingSpread(step float64) float64 { return step / math.Sqrt(12) }

// RoundingBias is the most by which the mean of many readings to a step can be
// off because they are rounded, when the unrounded values scatter with this
// standard deviation: half a step when they do not scatter at all, and next to
// nothing from half a step of scatter on, which blurs the lines.
//
// The bias at a value x is step/pi times the sum over k of (-1)^k/k sin(2 pi k
// x/step) exp(-2 (pi k spread/step)^2); this is the sum of the sizes of its
// terms. Source: Widrow and Kollar, Quantization Noise, 2008, from memory.
func RoundingBias(step, spread float64) float64 {
	if !(step > 0) {
		return 0
	}
	sum := 0.0
	for k := 1.0; k <= 40; k++ {
		reach := math.Pi * k * spread / step
		sum += math.Exp(-2*reach*reach) / k
	}
	return math.Min(step/2, step/math.Pi*sum)
}
