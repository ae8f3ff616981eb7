package learn

import (
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/spc"
	"brakeside/calc/unit"
)

// Strip is what a bend used up, from its measured legs: of a trial strip, or of
// a part with one bend.
type Strip struct {
	Bend      bend.Bend // angle, radius and thickness as measured
	Deduction unit.MM   // both outside legs less the blank
}

// The figures of practice for K. Common practice, no source.
const (
	usualKSpread    = 0.05 // of K about what the shop's rule gives
	stripSpread     = 0.15 // of a deduction from two legs and a blank, mm
	stripTails      = 4    // see Settings.Tails
	LeastDeduction  = unit.MM(0.1)
	MostDeduction   = unit.MM(0.5)
	leastStripAngle = 20 // a flatter bend tells nothing of K
)

// K is the neutral line of a cell as its strips tell it.
type K struct {
	K, SD float64
	N     int    // strips
	From  string // in words
}

// LearnK takes the strips of one cell together with the K-factor of the shop's
// rule. A strip gives K by bend.Trial's formula, backwards from its deduction;
// K is spread by the spread of the deduction over angle (in radians) times
// thickness. Strips are averaged with those weights, the rule as one more
// estimate, twice, the second time with each strip weighed down that lies off
// the first average.
func LearnK(rule float64, strips []Strip) K {
	prior := spc.Known{Value: rule, Variance: usualKSpread * usualKSpread}
	k, used := prior, 0
	for round := range 2 {
		about := k
		k, used = prior, 0
		for _, s := range strips {
			if s.Bend.Angle < leastStripAngle {
				continue
			}
			seen := s.k()
			if round > 0 {
				u := (seen.Value - about.Value) / math.Sqrt(seen.Variance+about.Variance)
				seen.Variance /= Settings{Tails: stripTails}.weight(u)
			}
			k = k.With(seen)
			used++
		}
	}
	out := K{K: k.Value, SD: math.Sqrt(k.Variance), N: used, From: "guess: the shop's rule"}
	if used > 0 {
		out.From = fmt.Sprintf("from %s of measured legs", readings(used))
	}
	return out
}

// k is what the strip says of K, with its variance.
func (s Strip) k() spc.Known {
	b := s.Bend
	perK := float64(b.Thickness) * b.Angle.Rad() // of the allowance
	allowance := float64(2*b.OutsideSetback() - s.Deduction)
	return spc.Known{
		Value:    (allowance - float64(b.Radius)*b.Angle.Rad()) / perK,
		Variance: (stripSpread / perK) * (stripSpread / perK),
	}
}

// KProposal is a change of the K-factor of a cell, with what it does to the
// deduction of a bend.
type KProposal struct {
	Now, Next       float64
	DeductionChange unit.MM
	SD              float64
	N               int
	Wanted          float64 // without MostDeduction
}

// Propose compares the K that a bend is reckoned with and the learned one. It
// proposes nothing that changes the deduction of the bend by less than
// LeastDeduction or from fewer than LeastReadings strips, and changes it by at
// most MostDeduction.
func (k K) Propose(now bend.Bend) (KProposal, bool) {
	perK := float64(now.Thickness) * now.Angle.Rad()
	p := KProposal{Now: now.K, SD: k.SD, N: k.N, Wanted: k.K}
	change := -(k.K - now.K) * perK // a greater K is a longer allowance, a smaller deduction
	const hair = 1e-9
	if k.N < LeastReadings || math.Abs(change) < float64(LeastDeduction)-hair {
		return p, false
	}
	change = clip(change, float64(MostDeduction))
	p.DeductionChange = unit.MM(change)
	p.Next = now.K - change/perK
	return p, true
}
