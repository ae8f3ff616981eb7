package spc

import (
	"math"
	"math/rand/v2"
	"testing"

	"brakeside/calc/fault"
	"brakeside/testdata/checks"
)

// The page of the handbook carries rounding noise: 147.7333 and 18 are exact.
func components(c comparison) {
	switch c.row.ID {
	case "vc-nist744":
		a, err := NewOneWay(afterFirst(c.data()))
		a = must(c.t, a, err)
		between, inside := a.Freedom()
		c.value("SS_batch", a.SquaresBetween, 0.01)
		c.value("df_batch", between, 0)
		c.value("MS_batch", a.Between, 0.002)
		c.value("SS_error", a.SquaresInside, 0.011)
		c.value("df_error", inside, 0)
		c.value("MS_error", a.Inside, 0.0011)
	case "vc-dyestuff", "vc-dyestuff-blup":
		a, err := NewOneWay(c.data())
		a = must(c.t, a, err)
		if c.row.ID == "vc-dyestuff" {
			c.value("mean", a.Mean, 1e-9)
			return
		}
		c.value("shrink", a.Reliability(), 5e-7)
		c.values("effects", a.Effects(), 5e-4)
	default:
		voltages(c)
	}
}

// afterFirst drops the column that numbers the groups.
func afterFirst(rows [][]float64) [][]float64 {
	var out [][]float64
	for _, row := range rows {
		out = append(out, row[1:])
	}
	return out
}

// voltages is GUM H.5: ten days of five readings, known by their summaries. The
// guide rounds on its way, so F and the components may differ in the last place.
func voltages(c comparison) {
	const micro = 1e-6
	var days []Summary
	var inside []Spread
	for _, row := range c.data() {
		days = append(days, Summary{N: 5, Mean: row[1], Spread: row[2] * micro})
		inside = append(inside, Spread{row[2], 4})
	}
	a, err := OneWayOf(days)
	a = must(c.t, a, err)
	between, within := a.Freedom()
	switch c.row.ID {
	case "vc-gum-h5-mean":
		c.value("grand_mean_V", a.Mean, 5e-7)
		c.value("s_of_day_means_uV", math.Sqrt(a.Between/5)/micro, 0.5)
		c.value("s_pooled_uV", PooledSpread(inside).Value, 0.5)
	case "vc-gum-h5-F":
		c.value("F", a.F, 0.02)
		c.values("df", []float64{between, within}, 0)
	case "vc-gum-h5-u":
		c.value("s_a_uV", math.Sqrt(a.Between)/micro, 0.5)
		c.value("s_between_uV", math.Sqrt(a.BetweenVariance)/micro, 0.5)
		c.value("u_mean_uV", a.MeanUncertainty()/micro, 0.5)
	}
}

func gauge(c comparison) {
	switch c.row.ID {
	case "grr-level3":
		var spreads []Spread
		for _, sd := range c.list("level3_sd") {
			spreads = append(spreads, Spread{sd, c.in("df_each")})
		}
		pooled := PooledSpread(spreads)
		c.value("SS_sum", pooled.Value*pooled.Value*pooled.Freedom, 5e-7)
		c.value("pooled_s3", pooled.Value, 5e-5)
	case "grr-level3-raw":
		c.values("level3_sd", betweenRuns(c), 1e-4)
	case "grr-level1-sum":
		var spreads []Spread
		for _, sum := range c.list("SS") {
			spreads = append(spreads, Spread{math.Sqrt(sum / c.in("df_each")), c.in("df_each")})
		}
		pooled := PooledSpread(spreads)
		c.value("SS_sum", pooled.Value*pooled.Value*pooled.Freedom, 1e-9)
		c.value("df", pooled.Freedom, 0)
	case "grr-ndc":
		c.value("ndc", float64(Categories(c.in("sd_part"), c.in("sd_grr"))), 0)
	}
}

// betweenRuns gives, wafer by wafer, the spread of the means of two runs.
func betweenRuns(c comparison) []float64 {
	type key struct{ wafer, run float64 }
	averages := map[key][]float64{}
	for _, row := range c.data() {
		if row[2] == c.in("probe") {
			k := key{row[1], row[0]}
			averages[k] = append(averages[k], row[7])
		}
	}
	var out []float64
	for wafer := 138.0; wafer <= 142; wafer++ {
		var runs []float64
		for run := 1.0; run <= 2; run++ {
			s, err := Summarize(averages[key{wafer, run}])
			runs = append(runs, must(c.t, s, err).Mean)
		}
		s, err := Summarize(runs)
		out = append(out, must(c.t, s, err).Spread)
	}
	return out
}

func outliers(c comparison) {
	s, err := FindStray(c.list("values"), c.in("alpha"))
	s = must(c.t, s, err)
	c.value("G", s.Distance, 1e-4)
	c.value("critical", s.Limit, 5e-4)
	if s.At != 7 || s.Suspicious() != c.row.Outputs["outlier"] {
		c.t.Errorf("FindStray = %+v, want the eighth value, suspicious %v", s, c.row.Outputs["outlier"])
	}
}

func sampleSize(c comparison) {
	test := Test{FalseAlarm: c.in("alpha"), Miss: c.in("beta")}
	c.value("n_t", float64(test.ValuesToSee(c.in("delta_over_sigma"))), 0)
}

// shrinkage compares with batting averages and eight schools. The remembered
// errors come of averages with more digits than were printed.
func shrinkage(c comparison) {
	if c.row.Inputs["y"] != nil {
		var all []Known
		se := c.list("se")
		for i, y := range c.list("y") {
			all = append(all, Known{y, se[i] * se[i]})
		}
		c.value("pooled", Pooled(all).Value, 0.06)
		c.value("variance", Pooled(all).Variance, 0.06)
		return
	}
	averages, rest := checks.Column(c.t, c.data(), 1), checks.Column(c.t, c.data(), 3)
	s, err := Summarize(averages)
	s = must(c.t, s, err)
	variance := s.Mean * (1 - s.Mean) / 45
	shrunk := Shrunk(equallyKnown(averages, variance))
	switch c.row.ID {
	case "shr-js-factor":
		c.value("grand_mean", s.Mean, 5e-4)
		c.value("c", (shrunk[0]-s.Mean)/(averages[0]-s.Mean), 5e-4)
	case "shr-js-estimates":
		c.values("estimates", shrunk, 1.01e-3)
	case "shr-js-error":
		raw, ours, better := errors(averages, rest), errors(shrunk, rest), 0
		for i := range rest {
			if math.Abs(shrunk[i]-rest[i]) < math.Abs(averages[i]-rest[i]) {
				better++
			}
		}
		c.value("TSE_mle", raw, 0.002)
		c.value("TSE_js", ours, 0.001)
		c.value("players_better", float64(better), 0)
	case "shr-js-arcsine-err":
		raw, truth := arcsine(averages), arcsine(rest)
		c.value("mle", errors(raw, truth), 0.03)
		c.value("js", errors(Shrunk(equallyKnown(raw, 1)), truth), 0.03)
	}
}

func equallyKnown(values []float64, variance float64) []Known {
	var out []Known
	for _, v := range values {
		out = append(out, Known{v, variance})
	}
	return out
}

// arcsine makes the variance of an average of 45 about one.
func arcsine(averages []float64) []float64 {
	var out []float64
	for _, p := range averages {
		out = append(out, math.Sqrt(45)*math.Asin(2*p-1))
	}
	return out
}

func errors(guesses, truth []float64) float64 {
	var sum float64
	for i := range truth {
		sum += (guesses[i] - truth[i]) * (guesses[i] - truth[i])
	}
	return sum
}

// The worked example of the AIAG manual: ten parts, three people, three times
// each. Readings from memory; the results are its printed ones, by ANOVA with
// the difference part by part counted as repeatability.
func TestGaugeStudyManual(t *testing.T) {
	study := Study{Readings: [][][]float64{
		turns([]float64{0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36},
			[]float64{0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25},
			[]float64{0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31}),
		turns([]float64{0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68},
			[]float64{0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62},
			[]float64{0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50}),
		turns([]float64{0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49},
			[]float64{-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77},
			[]float64{-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16}),
	}}
	r, err := study.Analyze()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"repeatability", r.Repeatability, 0.199933}, {"reproducibility", r.Reproducibility, 0.226838},
		{"measuring", r.Measuring, 0.302373}, {"bend to bend", r.BendToBend, 1.042327},
		{"categories", float64(r.Categories), 4},
	} {
		if !near(c.got, c.want, 5e-6) {
			t.Errorf("%s = %v, want %v", c.name, c.got, c.want)
		}
	}
}

// turns puts one person's turns, each over all parts, together part by part.
func turns(all ...[]float64) [][]float64 {
	out := make([][]float64, len(all[0]))
	for _, turn := range all {
		for i, v := range turn {
			out[i] = append(out[i], v)
		}
	}
	return out
}

// Two people, three bends, twice each, worked by hand: both persons read the
// same but for the second's half degree more, and nobody differs from himself
// by more than 0.2.
func TestGaugeStudyShop(t *testing.T) {
	study := Study{Readings: [][][]float64{{{90.0, 90.2}, {89.0, 89.2}, {91.0, 91.2}}, {{90.5, 90.7}, {89.5, 89.7}, {91.5, 91.7}}}}
	r, err := study.Analyze()
	if err != nil {
		t.Fatal(err)
	}
	// Inside: six pairs 0.2 apart, sum of squares 6 x 0.02, no interaction, so
	// 8 degrees of freedom: 0.12/8. Persons: 0.5 apart, mean square 6 x 2 x
	// 0.25^2 = 0.75. Bends: means -1, 0, 1 about theirs, mean square 4 x 2/2.
	repeat := 0.12 / 8
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"repeatability", r.Repeatability, math.Sqrt(repeat)},
		{"reproducibility", r.Reproducibility, math.Sqrt((0.75 - repeat) / 6)},
		{"bend to bend", r.BendToBend, math.Sqrt((4 - repeat) / 4)},
		{"freedom", r.Repeats.Freedom, 8},
		{"share of a tolerance of 1 degree", r.ToleranceShare(Tolerance{-1, 1}), 3 * r.Measuring},
	} {
		if !near(c.got, c.want, 1e-9) {
			t.Errorf("%s = %v, want %v", c.name, c.got, c.want)
		}
	}
	if !(r.Interval.Low < r.Repeatability && r.Repeatability < r.Interval.High) {
		t.Errorf("interval %v does not hold %v", r.Interval, r.Repeatability)
	}
}

func TestGaugeJudge(t *testing.T) {
	for _, c := range []struct {
		name      string
		measuring float64
		want      GaugeVerdict
	}{
		{"fine", 0.25, Good}, {"middling", 0.26, Usable}, {"just", 0.5, Usable}, {"too much", 0.51, Noise}, {"nothing known", math.NaN(), Noise},
	} {
		if got := (GaugeResult{Measuring: c.measuring}).Judge(MostAngleNoise); got != c.want {
			t.Errorf("%s: Judge(%v) = %v, want %v", c.name, c.measuring, got, c.want)
		}
	}
}

func TestGaugeRefusals(t *testing.T) {
	for name, s := range map[string]Study{
		"nothing":       {},
		"one person":    {Readings: [][][]float64{{{1, 2}, {1, 2}}}},
		"one turn":      {Readings: [][][]float64{{{1}, {1}}, {{1}, {1}}}},
		"a gap":         {Readings: [][][]float64{{{1, 2}, {1, 2}}, {{1, 2}, {1}}}},
		"fewer bends":   {Readings: [][][]float64{{{1, 2}, {1, 2}}, {{1, 2}}}},
		"not a number":  {Readings: [][][]float64{{{1, 2}, {1, 2}}, {{1, 2}, {1, math.NaN()}}}},
		"one bend only": {Readings: [][][]float64{{{1, 2}}, {{1, 2}}}},
	} {
		if _, err := s.Analyze(); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: Analyze() = %v, want Invalid", name, err)
		}
	}
}

// Simulated groups with known components are estimated without bias.
func TestOneWayRecovers(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var between, inside float64
	const rounds = 400
	for range rounds {
		var packs [][]float64
		for range 6 {
			middle := 0.7 * random.NormFloat64()
			pack := make([]float64, 5)
			for i := range pack {
				pack[i] = middle + 0.5*random.NormFloat64()
			}
			packs = append(packs, pack)
		}
		a, err := NewOneWay(packs)
		if err != nil {
			t.Fatal(err)
		}
		between += a.BetweenVariance / rounds
		inside += a.InsideVariance / rounds
	}
	if !near(between, 0.49, 0.04) || !near(inside, 0.25, 0.01) {
		t.Errorf("variance between %v and inside %v, want 0.49 and 0.25", between, inside)
	}
}

// A group that looks like the others is not moved; no variance stays no
// variance.
func TestOneWayAlike(t *testing.T) {
	a, err := NewOneWay([][]float64{{1, 3}, {2, 2}, {3, 1}})
	if err != nil || a.BetweenVariance != 0 || a.Reliability() != 0 || a.F != 0 || a.Chance != 1 {
		t.Errorf("NewOneWay(alike) = %+v, %v, want nothing between", a, err)
	}
	a, err = NewOneWay([][]float64{{1, 1}, {2, 2}})
	if err != nil || !math.IsInf(a.F, 1) || a.Chance != 0 || a.Reliability() != 1 {
		t.Errorf("NewOneWay(no scatter inside) = %+v, %v, want all between", a, err)
	}
	for name, groups := range map[string][][]float64{"none": nil, "one": {{1, 2}}, "single values": {{1}, {2}}, "unequal": {{1, 2}, {1, 2, 3}}, "empty": {{1, 2}, {}}} {
		if _, err := NewOneWay(groups); fault.KindOf(err) != fault.Invalid {
			t.Errorf("NewOneWay(%s) = %v, want Invalid", name, err)
		}
	}
}

// The eight schools by the moment estimate: Q below its degrees of freedom
// leaves no variance. Worked out apart from this program.
func TestDifferences(t *testing.T) {
	y, se := []float64{28, 8, -3, 7, -1, 1, 18, 12}, []float64{15, 10, 16, 11, 9, 11, 10, 18}
	var all []Known
	for i := range y {
		all = append(all, Known{y[i], se[i] * se[i]})
	}
	if d := NewDifferences(all); !near(d.Q, 4.70708, 5e-6) || d.Freedom != 7 || d.Variance != 0 {
		t.Errorf("NewDifferences(schools) = %+v, want Q 4.70708, 7, 0", d)
	}
	if d := NewDifferences([]Known{{0, 1}, {10, 1}}); !near(d.Variance, 49, 1e-9) {
		t.Errorf("NewDifferences(0, 10) = %+v, want variance 49: half the squared distance less 1", d)
	}
	if d := NewDifferences([]Known{{3, 1}}); d != (Differences{}) {
		t.Errorf("NewDifferences(one) = %+v, want nothing", d)
	}
}

// Two conjugate updates by hand.
func TestKnownWith(t *testing.T) {
	for _, c := range []struct{ a, b, want Known }{
		{Known{90, 0.25}, Known{90.6, 0.09}, Known{90.4411764706, 0.0661764706}},
		{Known{0, 4}, Known{1, 1}, Known{0.8, 0.8}},
	} {
		got := c.a.With(c.b)
		if !near(got.Value, c.want.Value, 1e-9) || !near(got.Variance, c.want.Variance, 1e-9) {
			t.Errorf("%v.With(%v) = %v, want %v", c.a, c.b, got, c.want)
		}
		if swapped := c.b.With(c.a); !near(swapped.Value, got.Value, 1e-12) {
			t.Errorf("the order matters: %v and %v", got, swapped)
		}
	}
}

// The less a value is known, the more it moves; few stay where they are.
func TestShrunk(t *testing.T) {
	few := []Known{{1, 1}, {2, 1}, {9, 1}}
	for i, v := range Shrunk(few) {
		if v != few[i].Value {
			t.Errorf("Shrunk(three)[%d] = %v, want %v", i, v, few[i].Value)
		}
	}
	got := Shrunk([]Known{{0, 0.01}, {0.2, 0.01}, {-0.1, 0.01}, {0.1, 0.01}, {1, 0.01}, {1, 1}})
	if !(got[4] > 0.95 && got[5] < 0.7 && got[5] > 0.2) {
		t.Errorf("Shrunk = %v: the well known 1 should stay, the other move to the rest", got)
	}
}
