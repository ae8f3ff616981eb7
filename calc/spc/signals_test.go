package spc

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// run makes so many equal values.
func run(count int, v float64) []float64 { return slices.Repeat([]float64{v}, count) }

func saw(count int) []float64 {
	out := make([]float64, count)
	for i := range out {
		out[i] = 0.1 - 0.2*float64(i%2)
	}
	return out
}

func TestSignals(t *testing.T) {
	level := Level{0, 1}
	cases := []struct {
		name   string
		set    RuleSet
		values []float64
		want   []Signal
	}{
		{"one beyond 3", Nelson, []float64{0.5, 3.1}, []Signal{{BeyondLimits, 1}}},
		{"on the limit", Nelson, []float64{0.5, 3}, nil},
		{"below as above", Nelson, []float64{-3.1}, []Signal{{BeyondLimits, 0}}},
		{"two of three", Nelson, []float64{2.1, 0, 2.2}, []Signal{{TwoOfThreeFar, 2}}},
		{"the third is the calm one", Nelson, []float64{2.1, 2.2, 0}, []Signal{{TwoOfThreeFar, 1}}},
		{"on either side", Nelson, []float64{2.1, 0, -2.2}, nil},
		{"four of five", Nelson, []float64{1.1, 1.2, 0, 1.3, 1.4}, []Signal{{FourOfFiveOff, 4}}},
		{"three of five", Nelson, []float64{1.1, 1.2, 0, 0.9, 1.4}, nil},
		{"eight on one side", WesternElectric, run(8, 0.5), []Signal{{LongOnOneSide, 7}}},
		{"eight are not nine", Nelson, run(8, 0.5), nil},
		{"nine on one side", Nelson, run(9, 0.5), []Signal{{LongOnOneSide, 8}}},
		{"broken by one on the line", WesternElectric, append(run(7, 0.5), 0, 0.5), nil},
		{"six steadily up", Nelson, []float64{-.5, -.3, -.1, .1, .3, .5}, []Signal{{SteadyTrend, 5}}},
		{"six steadily down", Nelson, []float64{.5, .3, .1, -.1, -.3, -.5}, []Signal{{SteadyTrend, 5}}},
		{"two equal stop a trend", Nelson, []float64{-.5, -.3, -.1, -.1, .3, .5}, nil},
		{"five up", Nelson, []float64{-.5, -.3, -.1, .1, .3}, nil},
		{"fourteen by turns", Nelson, saw(14), []Signal{{Alternating, 13}}},
		{"thirteen by turns", Nelson, saw(13), nil},
		{"fifteen calm", Nelson, append(saw(12), 0.2, 0.3, -0.1), []Signal{{TooCalm, 14}}},
		{"eight never near", Nelson, []float64{1.1, -1.1, -1.2, 1.3, 1.1, -1.1, -1.5, 1.4}, []Signal{{NeverNearCenter, 7}}},
		{"eight of nine never near", Nelson, []float64{1.1, -1.1, -1.2, 1.3, 0.5, 1.1, -1.1, -1.5, 1.4}, nil},
		{"trends are no Western Electric rule", WesternElectric, []float64{-.5, -.3, -.1, .1, .3, .5}, nil},
		{"nothing", Nelson, nil, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := c.set.Signals(c.values, level); !slices.Equal(got, c.want) {
				t.Errorf("%s.Signals(%v) = %v, want %v", c.set.Name, c.values, got, c.want)
			}
		})
	}
	if got := Nelson.Signals(run(20, 5), Level{0, 0}); got != nil {
		t.Errorf("Signals without spread = %v, want none", got)
	}
}

// Turning values upside down, or scaling them with their level, changes no
// signal.
func TestSignalsMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		quarters := rapid.SliceOfN(rapid.IntRange(-16, 16), 0, 40).Draw(t, "quarters")
		var values, mirrored, scaled []float64
		for _, q := range quarters {
			v := float64(q) / 4 // exact, and with it every sum
			values = append(values, v)
			mirrored, scaled = append(mirrored, -v), append(scaled, 8+4*v)
		}
		want := Nelson.Signals(values, Level{0, 1})
		if got := Nelson.Signals(mirrored, Level{0, 1}); !slices.Equal(got, want) {
			t.Errorf("mirrored %v, want %v", got, want)
		}
		if got := Nelson.Signals(scaled, Level{8, 4}); !slices.Equal(got, want) {
			t.Errorf("scaled %v, want %v", got, want)
		}
	})
}

func TestRuleWords(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range Nelson.Rules {
		words := Nelson.Words(r)
		if words == "" || seen[words] {
			t.Errorf("Words(%d) = %q, want words of its own", r, words)
		}
		seen[words] = true
	}
	if WesternElectric.Words(LongOnOneSide) == Nelson.Words(LongOnOneSide) {
		t.Error("8 and 9 in a row are worded alike")
	}
	if got := Nelson.Words(0); got != "" {
		t.Errorf("Words(0) = %q, want none", got)
	}
}

// How often each pattern comes by chance, from elementary probability: 8 in a
// row 2/2^8, 9 in a row 2/2^9, 6 steadily 2/6!, 15 calm 0.6827^15, 8 off
// 0.3173^8, and about 0.003 for two of three between 2 and 3.
func TestPatternShares(t *testing.T) {
	for _, c := range []struct {
		rule   Rule
		set    RuleSet
		window int
		want   float64
	}{
		{LongOnOneSide, WesternElectric, 8, 0.0078125}, {LongOnOneSide, Nelson, 9, 0.00390625},
		{SteadyTrend, Nelson, 6, 0.0027778}, {TooCalm, Nelson, 15, 0.003261}, {NeverNearCenter, Nelson, 8, 0.00010277},
	} {
		random := rand.New(rand.NewPCG(3, uint64(c.rule)))
		const tries = 400000
		found := 0
		values := make([]float64, c.window)
		for range tries {
			for i := range values {
				values[i] = random.NormFloat64()
			}
			if c.set.broken(c.rule, values) {
				found++
			}
		}
		share := float64(found) / tries
		if spread := math.Sqrt(c.want / tries); math.Abs(share-c.want) > 4*spread {
			t.Errorf("%s comes by chance in %v, want %v -+ %v", c.set.Words(c.rule), share, c.want, 4*spread)
		}
	}
}

// meanRunLength simulates how many normal values pass on average to the first
// signal.
func meanRunLength(set RuleSet, rounds int) float64 {
	random := rand.New(rand.NewPCG(7, 11))
	total := 0
	for range rounds {
		var off []float64
		for {
			off = append(off, random.NormFloat64())
			total++
			if slices.ContainsFunc(set.Rules, func(r Rule) bool { return set.broken(r, off) }) {
				break
			}
		}
	}
	return float64(total) / float64(rounds)
}

// The limits after few values are narrower. Worked out apart from this program.
func TestSmoothingEarly(t *testing.T) {
	s := Smoothing{Target: 0, Sigma: 2.0539, Weight: 0.3}
	out := s.Run(run(20, 0))
	for at, want := range map[int]float64{1: 1.84851, 2: 2.25639, 3: 2.43141, 20: 2.58843} {
		if got := out[at-1].Upper; !near(got, want, 6e-6) {
			t.Errorf("upper limit after %d values = %v, want %v", at, got, want)
		}
	}
	if !(Smoothed{Value: 3, Lower: -1, Upper: 1}).Outside() || (Smoothed{Value: 0, Lower: -1, Upper: 1}).Outside() || !(Smoothed{Value: -3, Lower: -1, Upper: 1}).Outside() {
		t.Error("Outside does not follow the limits")
	}
}

// A weight of one is the values themselves.
func TestSmoothingOfOne(t *testing.T) {
	s := Smoothing{Target: 5, Sigma: 1, Weight: 1}
	for i, x := range s.Run([]float64{1, 7, 5}) {
		if want := []float64{1, 7, 5}[i]; x.Value != want || x.Upper != 8 || x.Lower != 2 {
			t.Errorf("Run[%d] = %v, want %v within 2 to 8", i, x, want)
		}
	}
}

// The two sums of mirrored values change places, and a longer decision takes
// longer.
func TestCusumLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-3, 3), 1, 40).Draw(t, "values")
		c := Cusum{Slack: 0.5, Decision: 4}
		mirrored := make([]float64, len(values))
		for i, v := range values {
			mirrored[i] = -v
		}
		a, b := c.Run(values), c.Run(mirrored)
		for i := range a {
			if a[i].High != b[i].Low || a[i].Low != b[i].High || c.Signal(a[i]) != -c.Signal(b[i]) {
				t.Fatalf("sums %v and mirrored %v", a[i], b[i])
			}
		}
	})
	for _, shift := range []float64{0, 0.5, 1, 3} {
		four, five := Cusum{Slack: 0.5, Decision: 4}.RunLength(1, shift), Cusum{Slack: 0.5, Decision: 5}.RunLength(1, shift)
		if !(four < five) {
			t.Errorf("run lengths at shift %v: %v for 4, %v for 5", shift, four, five)
		}
	}
	scaled := Cusum{Target: 90, Slack: 0.25, Decision: 2.5}.RunLength(0.5, 0.5)
	if want := (Cusum{Slack: 0.5, Decision: 5}).RunLength(1, 1); !near(scaled, want, 1e-9) {
		t.Errorf("RunLength in halves = %v, want %v", scaled, want)
	}
}
