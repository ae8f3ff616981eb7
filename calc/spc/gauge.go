package spc

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"brakeside/calc/fault"
)

// Study is a gauge study: every person measures every bend the same number of
// times. The usual study of a shop is two people, three bends, twice each.
type Study struct {
	Readings [][][]float64 // by person, by bend, by turn
	Step     float64       // what the gauge is read to; 0 has it read from the digits
}

// step is Step, or what the digits of the readings say; 0 when they do not.
func (s Study) step() float64 {
	if s.Step > 0 {
		return s.Step
	}
	var d Digits
	for _, person := range s.Readings {
		for _, bend := range person {
			for _, v := range bend {
				d.Add(v)
			}
		}
	}
	step, _ := d.Step()
	return step
}

// GaugeResult is what a study says of the measuring itself. All figures but the
// interval and the counts are standard deviations, in the unit of the readings.
type GaugeResult struct {
	People, Bends, Turns int
	Repeatability        float64 // the same person measuring the same bend again
	Reproducibility      float64 // one person or the other, with what persons do differently bend by bend
	Measuring            float64 // both together
	BendToBend           float64
	Interval             Interval // of Repeatability, 95 percent
	Categories           int      // how many sizes of bends can be told apart: 1.41 BendToBend / Measuring, cut off
	InteractionChance    float64  // of so large a difference bend by bend by chance; from 0.25 on it is counted as repeatability
	Repeats              Spread   // Repeatability with its degrees of freedom
	Step                 float64  // what the gauge is read to; 0 when it is not known
}

// squares are the sums of squares and degrees of freedom of a two-way study.
type squares struct{ person, bend, both, repeat meanSquare }

// poolFrom is the chance from which on a difference bend by bend is taken for
// repeatability. Common practice, no source.
const poolFrom = 0.25

// Analyze works the study out by two-way analysis of variance with both persons
// and bends taken as samples. Repeatability is never less than what reading to
// the gauge's step comes to, see RoundingSpread: readings that agree because the
// gauge is coarse do not agree. It refuses fewer than two of anything and gaps
// in the table.
func (s Study) Analyze() (GaugeResult, error) {
	if err := s.check(); err != nil {
		return GaugeResult{}, err
	}
	q := s.squares()
	people, bends, turns := s.size()
	r := GaugeResult{People: people, Bends: bends, Turns: turns, Step: s.step()}
	_, r.InteractionChance = ratio(q.both, q.repeat)
	if r.InteractionChance >= poolFrom {
		freedom := q.both.freedom + q.repeat.freedom
		q.repeat.value = (q.both.value*q.both.freedom + q.repeat.value*q.repeat.freedom) / freedom
		q.repeat.freedom, q.both.value = freedom, q.repeat.value
	}
	p, b, t := float64(people), float64(bends), float64(turns)
	both := max(0, (q.both.value-q.repeat.value)/t)
	person := max(0, (q.person.value-q.both.value)/(b*t))
	r.Repeatability = math.Max(math.Sqrt(q.repeat.value), RoundingSpread(r.Step))
	r.Reproducibility = math.Sqrt(person + both)
	r.Measuring = math.Hypot(r.Repeatability, r.Reproducibility)
	r.BendToBend = math.Sqrt(max(0, (q.bend.value-q.both.value)/(p*t)))
	r.Repeats = Spread{r.Repeatability, q.repeat.freedom}
	r.Interval = spreadInterval(r.Repeatability, q.repeat.freedom, 0.95)
	r.Categories = Categories(r.BendToBend, r.Measuring)
	return r, nil
}

// Categories is how many sizes of bends a gauge can tell apart, cut off to a
// whole number: 1.41 times the spread of the bends over that of the measuring.
func Categories(bends, measuring float64) int {
	if measuring == 0 {
		return math.MaxInt32
	}
	return int(1.41 * bends / measuring)
}

func (s Study) size() (people, bends, turns int) {
	return len(s.Readings), len(s.Readings[0]), len(s.Readings[0][0])
}

func (s Study) check() error {
	refuse := fault.New(fault.Invalid, "",
		"A gauge study needs two people or more, two bends or more and two turns or more, and every person, bend and turn filled in.")
	if len(s.Readings) < 2 || len(s.Readings[0]) < 2 || len(s.Readings[0][0]) < 2 {
		return refuse
	}
	_, bends, turns := s.size()
	for _, person := range s.Readings {
		if len(person) != bends {
			return refuse
		}
		for _, bend := range person {
			if len(bend) != turns || check(bend) != nil {
				return refuse
			}
		}
	}
	return nil
}

// squares adds up the deviations of the means of persons, bends and cells.
func (s Study) squares() squares {
	people, bends, turns := s.size()
	byPerson, byBend := make([]float64, people), make([]float64, bends)
	var cells []float64
	var inside float64
	for i, person := range s.Readings {
		for j, turn := range person {
			mean := stat.Mean(turn, nil)
			cells = append(cells, mean)
			byPerson[i] += mean / float64(bends)
			byBend[j] += mean / float64(people)
			inside += scatter(turn)
		}
	}
	p, b, t := float64(people), float64(bends), float64(turns)
	person, bend := b*t*scatter(byPerson), p*t*scatter(byBend)
	both := max(0, t*scatter(cells)-person-bend)
	over := func(sum, freedom float64) meanSquare { return meanSquare{sum / freedom, freedom} }
	return squares{over(person, p-1), over(bend, b-1), over(both, (p-1)*(b-1)), over(inside, p*b*(t-1))}
}

// scatter is the sum of squared distances from the mean.
func scatter(values []float64) float64 {
	return stat.Variance(values, nil) * float64(len(values)-1)
}

// GaugeVerdict is what a study comes to.
type GaugeVerdict int

// The verdicts. The zero verdict is the strictest.
const (
	Noise  GaugeVerdict = iota // the readings say little: the learning would follow the protractor
	Usable                     // several readings together can be trusted
	Good                       // a single reading can be trusted
)

// Judge compares the spread of the measuring with the most that readings may
// scatter before nothing can be learned from them; half of that is good.
// For angles the most is MostAngleNoise.
func (r GaugeResult) Judge(most float64) GaugeVerdict {
	switch {
	case r.Measuring <= most/2:
		return Good
	case r.Measuring <= most:
		return Usable
	}
	return Noise
}

// MostAngleNoise is the most that readings of one bend may scatter, in degrees.
// Common practice, no source.
const MostAngleNoise = 0.5

// ToleranceShare is how much of a tolerance's width the measuring alone takes
// up: 6 spreads over the width.
func (r GaugeResult) ToleranceShare(t Tolerance) float64 {
	return 2 * Reach * r.Measuring / (t.Upper - t.Lower)
}
