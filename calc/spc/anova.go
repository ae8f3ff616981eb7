package spc

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"brakeside/calc/fault"
)

// OneWay splits the scatter of values in groups, such as packs of sheet, into
// what lies between the groups and what lies inside them. The groups are of one
// size. Source: NIST/SEMATECH e-Handbook, 7.4.4; GUM (JCGM 100:2008), H.5.
type OneWay struct {
	Groups, Size       int
	Mean               float64
	Means              []float64 // of the groups
	SquaresBetween     float64   // sums of squares
	SquaresInside      float64
	Between, Inside    float64 // mean squares
	F, Chance          float64 // of so large an F, were all groups alike
	BetweenVariance    float64 // of the true group means; 0 when the groups look alike
	InsideVariance     float64 // of a value in its group
	freedomB, freedomI float64
}

// NewOneWay analyses at least two groups of one size, two values or more each.
func NewOneWay(groups [][]float64) (OneWay, error) {
	summaries := make([]Summary, len(groups))
	for i, g := range groups {
		s, err := Summarize(g)
		if err != nil {
			return OneWay{}, err
		}
		summaries[i] = s
	}
	return OneWayOf(summaries)
}

// OneWayOf is NewOneWay for groups of which only the summaries are known.
func OneWayOf(groups []Summary) (OneWay, error) {
	if len(groups) < 2 || groups[0].N < 2 {
		return OneWay{}, fault.New(fault.Invalid, "", "Two groups of two values each are the least that can be compared.")
	}
	a := OneWay{Groups: len(groups), Size: groups[0].N}
	for i, g := range groups {
		if g.N != a.Size {
			return OneWay{}, fault.New(fault.Invalid, "", "Group %d has %d values, the first has %d.", i+1, g.N, a.Size)
		}
		a.Means = append(a.Means, g.Mean)
		a.SquaresInside += g.Spread * g.Spread * float64(g.N-1)
	}
	a.Mean = stat.Mean(a.Means, nil)
	a.freedomB, a.freedomI = float64(a.Groups-1), float64(a.Groups*(a.Size-1))
	a.SquaresBetween = stat.Variance(a.Means, nil) * a.freedomB * float64(a.Size)
	a.Between, a.Inside = a.SquaresBetween/a.freedomB, a.SquaresInside/a.freedomI
	a.InsideVariance = a.Inside
	a.BetweenVariance = max(0, (a.Between-a.Inside)/float64(a.Size))
	a.F, a.Chance = ratio(meanSquare{a.Between, a.freedomB}, meanSquare{a.Inside, a.freedomI})
	return a, nil
}

// Freedom gives the degrees of freedom between and inside the groups.
func (a OneWay) Freedom() (between, inside float64) { return a.freedomB, a.freedomI }

// Reliability is the share of a group's distance from the mean that is real:
// b / (b + i/size) with the two variances.
func (a OneWay) Reliability() float64 {
	if a.BetweenVariance == 0 {
		return 0
	}
	return a.BetweenVariance / (a.BetweenVariance + a.InsideVariance/float64(a.Size))
}

// Effects are the best guesses of how far each group's true mean lies from the
// mean of all: the observed distance times the Reliability.
func (a OneWay) Effects() []float64 {
	out := make([]float64, len(a.Means))
	for i, m := range a.Means {
		out[i] = a.Reliability() * (m - a.Mean)
	}
	return out
}

// MeanUncertainty is the standard uncertainty of the mean of all values when
// the groups differ: sqrt(mean square between / all values). Source: GUM H.5.
func (a OneWay) MeanUncertainty() float64 {
	return math.Sqrt(a.Between / float64(a.Groups*a.Size))
}

// meanSquare is a mean square with its degrees of freedom.
type meanSquare struct{ value, freedom float64 }

// ratio gives F and the chance of so large a one. Two mean squares of nothing
// are alike.
func ratio(over, under meanSquare) (f, chance float64) {
	if over.value == 0 {
		return 0, 1
	}
	f = over.value / under.value
	if math.IsInf(f, 1) {
		return f, 0
	}
	return f, distuv.F{D1: over.freedom, D2: under.freedom}.Survival(f)
}

// Spread is a standard deviation with its degrees of freedom.
type Spread struct{ Value, Freedom float64 }

// PooledSpread is the standard deviation common to several, each weighted by
// its degrees of freedom. Source: NIST/SEMATECH e-Handbook, 2.4.4.4.
func PooledSpread(spreads []Spread) Spread {
	var squares, freedom float64
	for _, s := range spreads {
		squares += s.Value * s.Value * s.Freedom
		freedom += s.Freedom
	}
	if freedom == 0 {
		return Spread{}
	}
	return Spread{math.Sqrt(squares / freedom), freedom}
}
