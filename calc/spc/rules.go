package spc

import "fmt"

// Rule is a pattern that a steady process rarely shows.
type Rule int

// The rules, named by what they mean. Distances are standard deviations from
// the centre. Sources: NIST/SEMATECH e-Handbook, 6.3.2 (Western Electric);
// Nelson, Journal of Quality Technology 16(4), 1984.
const (
	BeyondLimits    Rule = iota + 1 // one value beyond 3
	TwoOfThreeFar                   // two of the last three beyond 2, same side
	FourOfFiveOff                   // four of the last five beyond 1, same side
	LongOnOneSide                   // many in a row on one side: the level has moved
	SteadyTrend                     // six in a row steadily up or down: something wears or warms
	Alternating                     // fourteen in a row alternating: two sources by turns
	TooCalm                         // fifteen in a row within 1: the limits are too wide
	NeverNearCenter                 // eight in a row beyond 1, either side: two sources mixed
)

// RuleSet is a set of rules that are used together.
type RuleSet struct {
	Name    string
	Rules   []Rule
	OneSide int // how many in a row make LongOnOneSide
}

// The rule sets in use. Western Electric counts 8 on one side, Nelson 9.
var (
	WesternElectric = RuleSet{"Western Electric", []Rule{BeyondLimits, TwoOfThreeFar, FourOfFiveOff, LongOnOneSide}, 8}
	Nelson          = RuleSet{"Nelson", []Rule{
		BeyondLimits, LongOnOneSide, SteadyTrend, Alternating, TwoOfThreeFar, FourOfFiveOff, TooCalm, NeverNearCenter,
	}, 9}
)

// Words says what the rule found, as printed beside a chart.
func (s RuleSet) Words(r Rule) string {
	switch r {
	case BeyondLimits:
		return "one beyond the limits"
	case TwoOfThreeFar:
		return "two of three far out on one side"
	case FourOfFiveOff:
		return "four of five well off on one side"
	case LongOnOneSide:
		return fmt.Sprintf("%d in a row on one side: the level has moved", s.OneSide)
	case SteadyTrend:
		return "six in a row steadily up or down: something drifts"
	case Alternating:
		return "fourteen in a row up and down by turns: two sources"
	case TooCalm:
		return "fifteen in a row close to the mean: the limits are too wide"
	case NeverNearCenter:
		return "eight in a row away from the mean: two sources mixed"
	}
	return ""
}

// Level is what values are compared with.
type Level struct{ Center, Sigma float64 }

// Signal is a rule that was broken by the values up to and with one of them.
type Signal struct {
	Rule Rule
	At   int // place of the last value of the pattern, counted from 0
}

// Signals lists every place where a rule is broken, in the order of the values
// and then of the rules. A pattern that goes on signals again at each value
// that belongs to it. Without any spread nothing is concluded.
func (s RuleSet) Signals(values []float64, level Level) []Signal {
	if !(level.Sigma > 0) {
		return nil
	}
	off := make([]float64, len(values))
	var signals []Signal
	for i, v := range values {
		off[i] = (v - level.Center) / level.Sigma
		for _, r := range s.Rules {
			if s.broken(r, off[:i+1]) {
				signals = append(signals, Signal{r, i})
			}
		}
	}
	return signals
}

// broken reports whether the last of the values completes the pattern.
func (s RuleSet) broken(r Rule, off []float64) bool {
	switch r {
	case BeyondLimits:
		return within(off, 1, 1, beyond(3))
	case TwoOfThreeFar:
		return within(off, 3, 2, beyond(2))
	case FourOfFiveOff:
		return within(off, 5, 4, beyond(1))
	case LongOnOneSide:
		return within(off, s.OneSide, s.OneSide, beyond(0))
	case SteadyTrend:
		return steps(off, 6, func(before, step float64) bool { return before*step >= 0 })
	case Alternating:
		return steps(off, 14, func(before, step float64) bool { return before*step <= 0 })
	case TooCalm:
		return within(off, 15, 15, func(v, _ float64) bool { return v > -1 && v < 1 })
	case NeverNearCenter:
		return within(off, 8, 8, func(v, _ float64) bool { return v < -1 || v > 1 })
	}
	return false
}

// beyond asks whether a value lies so far out on the side of the last one.
func beyond(distance float64) func(v, last float64) bool {
	return func(v, last float64) bool { return v > distance && last > 0 || v < -distance && last < 0 }
}

// within reports whether at least so many of the last values hold, the last
// itself among them.
func within(off []float64, window, least int, holds func(v, last float64) bool) bool {
	last := off[len(off)-1]
	if !holds(last, last) {
		return false
	}
	count := 0
	for _, v := range off[max(0, len(off)-window):] {
		if holds(v, last) {
			count++
		}
	}
	return count >= least
}

// steps reports whether each step between the last values is one, and agrees
// with the step before it.
func steps(off []float64, window int, agrees func(before, step float64) bool) bool {
	if len(off) < window {
		return false
	}
	off = off[len(off)-window:]
	var before float64
	for i := 1; i < window; i++ {
		step := off[i] - off[i-1]
		if step == 0 || !agrees(before, step) {
			return false
		}
		before = step
	}
	return true
}
