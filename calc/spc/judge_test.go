package spc

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"brakeside/calc/fault"
	"brakeside/testdata/checks"
)

func normal(random *rand.Rand, count int) []float64 {
	out := make([]float64, count)
	for i := range out {
		out[i] = random.NormFloat64()
	}
	return out
}

// Cp against a formula worked by hand from the moving ranges, and Pp from the
// sample standard deviation.
func TestNewCapability(t *testing.T) {
	values := checks.Column(t, checks.Data(t, "NIST_flowrate_10.txt"), 0)
	c, err := NewCapability(values, Tolerance{40, 60})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		name      string
		got, want float64
	}{
		{"Cp", c.Cp.Value, 20 / (6 * 1.664137)}, {"Cpk", c.Cpk.Value, (60 - 50.81) / (3 * 1.664137)},
		{"Pp", c.Pp.Value, 20 / (6 * 2.033852)}, {"Ppk", c.Ppk.Value, (60 - 50.81) / (3 * 2.033852)},
	} {
		if !near(x.got, x.want, 1e-5) {
			t.Errorf("%s = %v, want %v", x.name, x.got, x.want)
		}
	}
	for name, i := range map[string]Index{"Cp": c.Cp, "Cpk": c.Cpk, "Pp": c.Pp, "Ppk": c.Ppk} {
		if !(i.Low < i.Value && i.Value < i.High) {
			t.Errorf("%s = %+v is not inside its interval", name, i)
		}
	}
	if !(c.Pp.High-c.Pp.Low < c.Pp.Value/c.Cp.Value*(c.Cp.High-c.Cp.Low)) {
		t.Errorf("the moving ranges know less than all values together: %+v, %+v", c.Cp, c.Pp)
	}
	if _, err := NewCapability(values, Tolerance{60, 40}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("NewCapability(limits exchanged) = %v, want Invalid", err)
	}
}

// The approximate interval of Cpk by the published formula, worked by hand: 30
// values of mean 97 and spread 1.6 between 90 and 100.
func TestActualInterval(t *testing.T) {
	actual := Tolerance{90, 100}.Actual(97, 1.6)
	held := Estimate{N: 30, Freedom: 29, Confidence: 0.95}.OfActual(actual)
	if !near(actual, 0.625, 1e-9) || !near(held.Low, 0.42475, 1e-4) || !near(held.High, 0.82525, 1e-4) {
		t.Errorf("Actual = %v in %v, want 0.625 in 0.42475 to 0.82525", actual, held)
	}
}

// A mean off the target costs: 16 where 14 is wanted, spread 2, 8 to 20.
func TestAimed(t *testing.T) {
	if got := (Tolerance{8, 20}).Aimed(Summary{N: 30, Mean: 16, Spread: 2}, 14); !near(got, 0.70711, 5e-6) {
		t.Errorf("Aimed = %v, want 0.70711", got)
	}
}

// The stated intervals hold the truth about as often as they say, and the
// spread from moving ranges has the freedom it claims.
func TestIntervalsHold(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 9))
	const rounds, size = 3000, 20
	tolerance := Tolerance{-3, 3}
	var cp, pp, ppk, mean, spread int
	var relative []float64
	for range rounds {
		values := normal(random, size)
		c, err := NewCapability(values, tolerance)
		if err != nil {
			t.Fatal(err)
		}
		s, _ := Summarize(values)
		relative = append(relative, c.Within)
		for _, x := range []struct {
			count *int
			in    Interval
			truth float64
		}{{&cp, c.Cp.Interval, 1}, {&pp, c.Pp.Interval, 1}, {&ppk, c.Ppk.Interval, 1}, {&mean, s.MeanInterval(0.95), 0}, {&spread, s.SpreadInterval(0.95), 1}} {
			if x.in.Low <= x.truth && x.truth <= x.in.High {
				*x.count++
			}
		}
	}
	for name, count := range map[string]int{"Cp": cp, "Pp": pp, "Ppk": ppk, "mean": mean, "spread": spread} {
		if share := float64(count) / rounds; share < 0.93 || share > 0.97 {
			t.Errorf("the interval of %s holds the truth in %.3f of cases, want 0.95", name, share)
		}
	}
	s, _ := Summarize(relative)
	if freedom := 1 / (2 * s.Spread * s.Spread); math.Abs(freedom/rangeFreedom(size)-1) > 0.1 {
		t.Errorf("moving ranges of %d values show %.1f degrees of freedom, rangeFreedom says %.1f", size, freedom, rangeFreedom(size))
	}
}

// The limits of the adjusted statistic in tables: 0.631 at 10 percent, 0.752 at
// 5, 0.873 at 2.5, 1.035 at 1. Source: Stephens (1974), from memory.
func TestPoorFit(t *testing.T) {
	for limit, want := range map[float64]float64{0.631: 0.10, 0.752: 0.05, 0.873: 0.025, 1.035: 0.01} {
		if got := poorFit(limit); math.Abs(got/want-1) > 0.03 {
			t.Errorf("poorFit(%v) = %v, want %v", limit, got, want)
		}
	}
	last := 1.0
	for a := 0.01; a < 200; a *= 1.1 {
		if got := poorFit(a); !(got <= last+2e-3 && got >= 0) {
			t.Errorf("poorFit(%v) = %v after %v: it must fall", a, got, last)
		} else {
			last = got
		}
	}
}

// NIST's case studies call the heat flow meter normal (e-Handbook 1.4.2.8, from
// memory) and lottery numbers are uniform. A test at 5 percent refuses about one
// normal set in twenty.
func TestNewNormality(t *testing.T) {
	flow, err := NewNormality(checks.Column(t, checks.Data(t, "Zarr13.txt"), 0))
	if err != nil || flow.Chance < 0.5 {
		t.Errorf("NewNormality(heat flow) = %+v, %v, want normal", flow, err)
	}
	lottery, err := NewNormality(checks.Column(t, checks.Data(t, "Lottery.txt"), 0))
	if err != nil || lottery.Chance > 0.01 {
		t.Errorf("NewNormality(lottery) = %+v, %v, want not normal", lottery, err)
	}
	random := rand.New(rand.NewPCG(2, 3))
	refused := 0
	for range 2000 {
		n, err := NewNormality(normal(random, 25))
		if err != nil {
			t.Fatal(err)
		}
		if n.Chance < 0.05 {
			refused++
		}
	}
	if refused < 70 || refused > 130 {
		t.Errorf("%d of 2000 normal sets refused at 5 percent, want about 100", refused)
	}
	far, err := NewNormality(append(run(30, 0), append(saw(10), 1e6)...))
	if err != nil || math.IsInf(far.Statistic, 0) || math.IsNaN(far.Chance) {
		t.Errorf("NewNormality(one far out) = %+v, %v, want finite", far, err)
	}
}

func TestFindStrayNone(t *testing.T) {
	s, err := FindStray([]float64{1, 2, 3, 4, 5}, 0.05)
	if err != nil || s.Suspicious() {
		t.Errorf("FindStray(1..5) = %+v, %v, want nothing suspicious", s, err)
	}
}

// How many readings show a shift: 11 for one standard deviation, as published;
// fewer for a larger one.
func TestValuesToSee(t *testing.T) {
	test := Test{FalseAlarm: 0.05, Miss: 0.1}
	last := math.MaxInt
	for _, shift := range []float64{0.25, 0.5, 1, 2, 4} {
		n := test.ValuesToSee(shift)
		if n >= last || n < 2 {
			t.Errorf("ValuesToSee(%v) = %d after %d", shift, n, last)
		}
		last = n
	}
}

func TestNewTrend(t *testing.T) {
	t.Run("a straight line", func(t *testing.T) {
		values := []float64{1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5}
		got, err := NewTrend(values)
		if err != nil || !near(got.PerValue, 0.5, 1e-9) || !near(got.WholeMove, 3.5, 1e-9) || !got.Moves() {
			t.Errorf("NewTrend(line) = %+v, %v, want half a value each", got, err)
		}
	})
	t.Run("nothing but noise", func(t *testing.T) {
		random := rand.New(rand.NewPCG(4, 4))
		moves := 0
		for range 1000 {
			got, err := NewTrend(normal(random, 20))
			if err != nil {
				t.Fatal(err)
			}
			if got.Moves() {
				moves++
			}
		}
		if moves < 30 || moves > 75 {
			t.Errorf("%d of 1000 noises move, want about 50", moves)
		}
	})
	t.Run("too few", func(t *testing.T) {
		if _, err := NewTrend([]float64{1, 2, 3}); fault.KindOf(err) != fault.Invalid {
			t.Errorf("NewTrend(3 values) = %v, want Invalid", err)
		}
	})
}

func TestNewFitRefusals(t *testing.T) {
	y := []float64{1, 2, 3, 5}
	for name, columns := range map[string][][]float64{
		"a short column": {{1, 2}}, "a column twice": {{1, 2, 3, 4}, {2, 4, 6, 8}}, "a constant column": {{1, 1, 1, 1}},
		"more columns than values": {{1, 2, 3, 4}, {1, 4, 9, 16}, {1, 8, 27, 64}}, "not a number": {{1, 2, 3, math.NaN()}},
	} {
		if _, err := NewFit(y, columns...); fault.KindOf(err) != fault.Invalid {
			t.Errorf("NewFit(%s) = %v, want Invalid", name, err)
		}
	}
}

// Pooling is the same in any order.
func TestPooledSpread(t *testing.T) {
	all := []Spread{{1, 4}, {2, 8}, {0.5, 1}}
	a := PooledSpread(all)
	slices.Reverse(all)
	if b := PooledSpread(all); !near(a.Value, b.Value, 1e-12) || a.Freedom != 13 {
		t.Errorf("PooledSpread = %v and %v", a, b)
	}
	if got := PooledSpread(nil); got != (Spread{}) {
		t.Errorf("PooledSpread(none) = %v, want nothing", got)
	}
}

// A display of 0.1 degrees alone is 0.029 degrees uncertain (GUM F.2.2.1).
func TestRoundingSpread(t *testing.T) {
	if got := RoundingSpread(0.1); !near(got, 0.0288675, 1e-6) {
		t.Errorf("RoundingSpread(0.1) = %v, want 0.0288675", got)
	}
}

// The chance changes its formula at 0.2, 0.34 and 0.6 and ends at 13 (D'Agostino and
// Stephens, Goodness-of-Fit Techniques, 1986, table 4.9, from memory); the values are
// worked out by hand from it, near enough to each limit for the neighbour to differ.
func TestPoorFitOnEachSide(t *testing.T) {
	for a, want := range map[float64]float64{
		0.19: 0.8994, 0.21: 0.8611, 0.33: 0.5145, 0.35: 0.4728, 0.45: 0.2760, 0.59: 0.1240, 0.61: 0.1128,
	} {
		if got := poorFit(a); math.Abs(got-want) > 3e-4 {
			t.Errorf("poorFit(%v) = %v, want %v", a, got, want)
		}
	}
	if poorFit(12.9) <= poorFit(13) || poorFit(13) != poorFit(26) {
		t.Errorf("poorFit falls to 13 and stays there: %v, %v, %v", poorFit(12.9), poorFit(13), poorFit(26))
	}
}
