package spc

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The step is read from the digits, and not from too few of them: five whole
// degrees show a step of 1 where four do not.
func TestStepOf(t *testing.T) {
	for _, c := range []struct {
		name   string
		values []float64
		step   float64 // 0 for not known
	}{
		{"none", nil, 0}, {"one", []float64{90}, 0}, {"four whole", []float64{90, 91, 89, 90}, 0}, {"five whole", []float64{90, 91, 89, 90, 88}, 1},
		{"six alike", []float64{90, 90, 90, 90, 90, 90}, 1}, {"two halves", []float64{90, 90.5}, 0}, {"halves", []float64{90, 90.5, 89}, 0.5}, {"tenths", []float64{90.1, 89.7, 90, 90.4}, 0.1},
		{"hundredths", []float64{90.08, 89.67, 90.25, 90.42}, 0.01}, {"one beside its step", []float64{90, 91, 89, 90, 88, 92, 90, 91, 89, 90.5, 91, 92, 90, 89, 90, 91, 90, 90, 89, 91}, 1},
		{"below zero", []float64{-1, -0.5, 0, 0.5, -1.5}, 0.5},
	} {
		if step, known := StepOf(c.values); step != c.step || known != (c.step > 0) {
			t.Errorf("%s: step %v, %v, want %v", c.name, step, known, c.step)
		}
	}
}

// What rounding adds is between what it can be, and step^2/12 once the step is
// known.
func TestDigitsVariance(t *testing.T) {
	var d Digits
	if v := d.Variance(); !(v > 0.01 && v < 0.04) {
		t.Errorf("nothing read: %v", v)
	}
	for i := range 20 {
		d.Add(float64(i % 4))
	}
	if v := d.Variance(); !near(v, 1.0/12, 1e-3) {
		t.Errorf("whole degrees: %v, want 1/12", v)
	}
}

// The bound on what rounding does to a mean holds against rounding itself: the
// true value anywhere between two lines, 40,000 readings each.
func TestRoundingBias(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	for _, spread := range []float64{0, 0.05, 0.15, 0.3, 0.5, 1} {
		worst := 0.0
		for place := range 21 {
			at, sum := float64(place)/40, 0.0
			const n = 40_000
			for range n {
				sum += math.Round(at + spread*random.NormFloat64())
			}
			worst = max(worst, math.Abs(sum/n-at))
		}
		bound := RoundingBias(1, spread)
		if worst > bound+0.02 || bound > 0.5 || spread < 0.4 && bound > 2*worst+0.02 {
			t.Errorf("spread %v: off by %.3f at the most, the bound is %.3f", spread, worst, bound)
		}
	}
	if got := RoundingBias(0.5, 0); got != 0.25 {
		t.Errorf("equal readings to half a degree may be off by %v, want 0.25", got)
	}
	if got := RoundingBias(0, 0.3); got != 0 {
		t.Errorf("unrounded readings are off by %v", got)
	}
}

// Ten equal readings do not give 0.0 to 0.0: the mean is known to half a step,
// the spread to what would still round to one line nine times in ten and more.
func TestIntervalsOnAStep(t *testing.T) {
	equal := make([]float64, 10)
	for i := range equal {
		equal[i] = 90
	}
	s, err := Summarize(equal)
	s = must(t, s, err)
	if got := s.MeanIntervalOn(0.5, 0.95); got != (Interval{89.75, 90.25}) {
		t.Errorf("mean of ten times 90 to half a degree: %v, want 89.75 to 90.25", got)
	}
	// 0.5/sqrt(12) sqrt(9/2.7004), the chi-square quantile of 9 at 0.025
	if got := s.SpreadIntervalOn(0.5, 0.95); got.Low != 0 || !near(got.High, 0.2635, 1e-3) {
		t.Errorf("spread of ten times 90 to half a degree: %v, want 0 to 0.2635", got)
	}
	wide, err := Summarize([]float64{88, 90, 91, 89, 92, 90, 90, 91, 88, 91})
	wide = must(t, wide, err)
	plain, stepped := wide.MeanInterval(0.95), wide.MeanIntervalOn(1, 0.95)
	if !near(plain.Low, stepped.Low, 0.001) || !near(plain.High, stepped.High, 0.001) || wide.SpreadInterval(0.95) != wide.SpreadIntervalOn(1, 0.95) {
		t.Errorf("readings that scatter over many lines: %v becomes %v", plain, stepped)
	}
}

// A study in which everybody reads the same whole degrees does not show a good
// gauge: its step alone scatters readings by 0.29, more than half of the 0.5 that
// readings may, and takes up 87 percent of a tolerance of 1 degree either way.
func TestStudyOfACoarseGauge(t *testing.T) {
	same := [][]float64{{90, 90}, {45, 45}, {30, 30}}
	coarse, err := Study{Readings: [][][]float64{same, same}}.Analyze()
	coarse = must(t, coarse, err)
	if coarse.Step != 1 || !near(coarse.Measuring, 0.2887, 1e-3) || coarse.Judge(MostAngleNoise) != Usable || !near(coarse.ToleranceShare(Tolerance{-1, 1}), 0.866, 1e-3) {
		t.Errorf("a study to 1 degree: %+v is %v", coarse, coarse.Judge(MostAngleNoise))
	}
	fine, err := Study{Readings: [][][]float64{{{90, 90.1}, {45, 45}, {30.1, 30}}, {{90.1, 90}, {45, 45.1}, {30, 30}}}}.Analyze()
	if fine = must(t, fine, err); fine.Step != 0.1 || fine.Judge(MostAngleNoise) != Good {
		t.Errorf("a study to a tenth: %+v", fine)
	}
	said, err := Study{Readings: [][][]float64{same, same}, Step: 0.1}.Analyze()
	if said = must(t, said, err); said.Judge(MostAngleNoise) != Good {
		t.Errorf("the same readings on a gauge that is said to read tenths: %+v", said)
	}
}
