package review

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"strings"
	"time"

	"brakeside/calc/learn"
	"brakeside/calc/spc"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/lessons"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

const (
	mostStudied = 100 // newest readings that the charts of a group show
	mostTabled  = 25  // of these, those that are listed
)

type cellView struct {
	Frame     web.Frame
	Choice    filterView
	Heading   string
	Facts     []web.Pair
	Figures   []figureView
	Signals   []string
	Western   []string
	Groups    groupsView
	Capable   []capableLine
	Judgement string
	Advice    *adviceView
	Readings  []pointLine
	Aside     []pointLine
	Shown     int
	Least     int
}

type capableLine struct{ Against, Tolerance, Share, Cp, Cpk, Pp, Ppk string }

type adviceView struct {
	Words   string
	Parts   []web.Pair
	Telling string // the bend that would tell apart what cannot be told
}

type pointLine struct{ Job, Piece, Step, Bend, Error, Stop, Pack, By, When, Words, Address string }

// CellPage looks closer at the readings of a choice: charts, what breaks their
// pattern, what the process holds, and the readings themselves.
func (s *Section) CellPage(w http.ResponseWriter, r *http.Request) error {
	choice, shown, err := s.chooses(r, "/review/cell")
	if err != nil {
		return err
	}
	view := cellView{
		Frame: s.Frame(r, "review"), Choice: shown,
		Heading: headingOf(s.Ruler(r.Context()), choice), Least: spc.LeastForJudgement,
	}
	samples, err := s.Store.Chosen(r.Context(), choice, mostStudied)
	if err != nil {
		return err
	}
	aside, err := s.Store.Aside(r.Context(), choice, mostTabled)
	if err != nil {
		return err
	}
	view.Shown = len(samples)
	for i := len(samples) - 1; i >= max(0, len(samples)-mostTabled); i-- {
		view.Readings = append(view.Readings, s.pointOf(samples[i]))
	}
	for _, x := range aside {
		line := s.pointOf(x)
		line.Words = asideWords(x)
		view.Aside = append(view.Aside, line)
	}
	if len(samples) > 0 {
		if err := s.study(r, choice, samples, &view); err != nil {
			return err
		}
	}
	return s.Show(w, web.Page{Name: "owner/cell", View: view})
}

// headingOf names what is chosen.
func headingOf(u say.Ruler, c store.Choice) string {
	var parts []string
	for _, text := range []string{c.Material, thicknessOf(u, c.Thickness), c.Bar, c.Brake, c.Part, c.Job} {
		if text != "" {
			parts = append(parts, text)
		}
	}
	if len(parts) == 0 {
		return "All readings"
	}
	return strings.Join(parts, ", ")
}

func thicknessOf(u say.Ruler, t unit.Micron) string {
	if t == 0 {
		return ""
	}
	return u.Sheet(t.MM())
}

func (s *Section) pointOf(x store.Sample) pointLine {
	line := pointLine{
		Job: x.Job, Piece: fmt.Sprint(x.Reading.Piece), Step: fmt.Sprint(x.Reading.Step),
		Bend: x.Bend().Text(1) + "°", Error: chart.Signed(x.Reading.Error.Deg()) + "°", Stop: x.StopBend.Text(1) + "°",
		Pack: x.Reading.Pack, By: x.Reading.By, Words: x.Reading.Note, Address: shelf.JobAddress(x.Code),
	}
	if at, err := time.Parse(time.RFC3339, x.Reading.Received); err == nil {
		line.When = s.When(at)
	}
	return line
}

// nearSupplement is how near to 180 less the target a reading lies that was
// probably the other angle of the corner. Common practice, no source.
const nearSupplement unit.CentiDeg = 800

// asideWords says why a reading is not averaged in.
func asideWords(x store.Sample) string {
	supplement := unit.Deg(180).CentiDeg() - x.Target
	switch {
	case x.Reading.State != progress.StateAsBent:
		return x.Reading.State
	case len(x.Reading.Against()) > 0:
		return say.FlagWords(x.Reading.Against())
	case max(x.Bend()-supplement, supplement-x.Bend()) < min(nearSupplement, max(x.Target-supplement, supplement-x.Target)):
		return fmt.Sprintf("near %s°: the opening was probably read for the bend angle, or the other way", supplement.Text(0))
	}
	return "too far off to be believed"
}

// study puts in everything that is worked out from the readings.
func (s *Section) study(r *http.Request, c store.Choice, samples []store.Sample, v *cellView) error {
	errors, whole := errorsOf(samples), make([]unit.CentiDeg, len(samples))
	for i, x := range samples {
		whole[i] = x.Reading.Error
	}
	sum, err := spc.SummarizeWhole(whole, 0.01)
	if err != nil {
		return err
	}
	run, err := spc.NewRunChart(errors)
	if err != nil {
		return err
	}
	v.Facts = append(v.Facts, summaryFacts(sum, errors)...)
	if v.Figures, err = controlFigures(run, samples); err != nil {
		return err
	}
	v.Signals, v.Western = patternWords(run, spc.Nelson), patternWords(run, spc.WesternElectric)
	if v.Groups, err = grouped(r, samples); err != nil {
		return err
	}
	s.capable(r.Context(), samples, v)
	return s.advised(r, c, samples, v)
}

func errorsOf(samples []store.Sample) []float64 {
	out := make([]float64, len(samples))
	for i, x := range samples {
		out[i] = float64(x.Reading.Error.Deg())
	}
	return out
}

func summaryFacts(sum spc.Summary, errors []float64) []web.Pair {
	facts := web.Pairs(
		"n", fmt.Sprint(sum.N),
		"Mean error", chart.SignedTo(unit.Deg(sum.Mean), 2)+"°",
		"Worst", chart.Signed(unit.Deg(sum.Worst))+"°",
	)
	if sum.N > 1 {
		held := sum.MeanInterval(0.95)
		facts = append(facts, web.Pair{Name: "Spread", Value: unit.Deg(sum.Spread).Text(2) + "°"},
			web.Pair{
				Name:  "True mean, 95 %",
				Value: chart.SignedTo(unit.Deg(held.Low), 2) + "° to " + chart.SignedTo(unit.Deg(held.High), 2) + "°",
			})
	}
	if trend, err := spc.NewTrend(errors); err == nil {
		words := "none that n can tell"
		if trend.Moves() {
			words = chart.Signed(unit.Deg(trend.WholeMove)) + "° over these readings"
		}
		facts = append(facts, web.Pair{Name: "Trend", Value: words})
	}
	return facts
}

// patternWords words the patterns found, each rule once.
func patternWords(run spc.RunChart, set spc.RuleSet) []string {
	times, last := map[spc.Rule]int{}, map[spc.Rule]int{}
	for _, signal := range run.Signals(set) {
		times[signal.Rule]++
		last[signal.Rule] = signal.At + 1
	}
	var out []string
	for _, rule := range set.Rules {
		switch n := times[rule]; {
		case n == 1:
			out = append(out, fmt.Sprintf("%s, at reading %d", set.Words(rule), last[rule]))
		case n > 1:
			out = append(out, fmt.Sprintf("%s, at %d readings, the last of them reading %d", set.Words(rule), n, last[rule]))
		}
	}
	return out
}

// controlFigures draws the readings as control charts.
func controlFigures(run spc.RunChart, samples []store.Sample) ([]figureView, error) {
	first, last := "1", fmt.Sprint(len(run.Values))
	if len(run.Values) == 1 {
		last = ""
	}
	marked := make([]bool, len(run.Values))
	for _, at := range run.Outside() {
		marked[at] = true
	}
	single := chart.Graph{
		Title: "Single readings", Axis: "reading, in the order made", First: first, Last: last,
		Series: []chart.Series{{Values: run.Values, Look: chart.Rings, Marked: marked}},
		Levels: []chart.Level{{Name: "mean", Value: run.Mean, Look: chart.Dotted}},
	}
	ranges := append([]float64{math.NaN()}, run.MovingRanges...)
	moving := chart.Graph{
		Title: "Moving ranges", Axis: "from reading to reading", First: first, Last: last, FromZero: true,
		Series: []chart.Series{{Values: ranges, Look: chart.Rings}},
		Levels: []chart.Level{{Name: "mean", Value: run.MeanRange, Look: chart.Dotted}},
	}
	limits := fmt.Sprintf("Limits are drawn from %d readings on.", spc.LeastForLimits)
	if l := run.Limits; l != nil {
		single.Levels = append(single.Levels,
			chart.Level{Name: "limit", Value: l.Upper, Look: chart.Dashed},
			chart.Level{Name: "limit", Value: l.Lower, Look: chart.Dashed})
		moving.Levels = append(moving.Levels, chart.Level{Name: "limit", Value: l.RangeUpper, Look: chart.Dashed})
		limits = fmt.Sprintf("Limits from the readings themselves, three standard deviations away: %s° to %s°; "+
			"black squares lie outside. They are not the tolerance.",
			chart.SignedTo(unit.Deg(l.Lower), 2), chart.SignedTo(unit.Deg(l.Upper), 2))
	}
	single.Description = fmt.Sprintf("Control chart of %d single angle errors, mean %s.", len(run.Values), chart.Signed(unit.Deg(run.Mean)))
	moving.Description = fmt.Sprintf("Ranges from each reading to the next, mean %s.", unit.Deg(run.MeanRange).Text(2))
	out := []figureView{{"Single readings", "", limits}, {"Moving ranges", "", "How far each reading lies from the one before."}}
	for i, g := range []chart.Graph{single, moving} {
		drawn, err := web.Picture(chart.DrawGraph(g))
		if err != nil {
			return nil, err
		}
		out[i].Drawing = drawn
	}
	if run.Limits == nil || run.Sigma == 0 {
		return out, nil
	}
	drift, err := driftFigures(run)
	if err != nil {
		return nil, err
	}
	normal, err := normalFigure(run.Values, samples)
	return append(append(out, drift...), normal), err
}

// The weights of the charts for drift; usual values, see calc/spc.
const (
	smoothWeight  = 0.2
	cusumSlack    = 0.5 // standard deviations
	cusumDecision = 5.0
)

// driftFigures draws the errors smoothed and added up, about no error.
func driftFigures(run spc.RunChart) ([]figureView, error) {
	smoothing := spc.Smoothing{Target: 0, Sigma: run.Sigma, Weight: smoothWeight}
	var average, upper, lower []float64
	var marked []bool
	for _, x := range smoothing.Run(run.Values) {
		average, upper, lower, marked = append(average, x.Value), append(upper, x.Upper), append(lower, x.Lower), append(marked, x.Outside())
	}
	cusum := spc.Cusum{Slack: cusumSlack * run.Sigma, Decision: cusumDecision * run.Sigma}
	var high, low []float64
	signals := 0
	for _, x := range cusum.Run(run.Values) {
		high, low = append(high, x.High), append(low, -x.Low)
		if cusum.Signal(x) != 0 {
			signals++
		}
	}
	last := fmt.Sprint(len(run.Values))
	smooth := chart.Graph{
		Title: "Smoothed errors", Axis: "reading", First: "1", Last: last,
		Description: "Exponentially weighted means of the errors with their limits about no error.",
		Series: []chart.Series{
			{Values: upper, Look: chart.Dashed, Name: "limit"},
			{Values: lower, Look: chart.Dashed, Name: "limit"},
			{Values: average, Look: chart.Rings, Marked: marked},
		},
	}
	sums := chart.Graph{
		Title: "Added-up errors", Axis: "reading", First: "1", Last: last,
		Description: fmt.Sprintf("Cumulative sums of the errors beyond a slack; %d values beyond the decision level.", signals),
		Series: []chart.Series{
			{Values: high, Look: chart.Plain, Name: "too far"},
			{Values: low, Look: chart.Dotted, Name: "too flat"},
		},
		Levels: []chart.Level{
			{Name: "decide", Value: cusum.Decision, Look: chart.Dashed},
			{Name: "decide", Value: -cusum.Decision, Look: chart.Dashed},
		},
	}
	a, err := web.Picture(chart.DrawGraph(smooth))
	if err != nil {
		return nil, err
	}
	b, err := web.Picture(chart.DrawGraph(sums))
	every := cusum.RunLength(run.Sigma, 0)
	return []figureView{
		{"Smoothed (EWMA)", a, fmt.Sprintf("Each reading is averaged in with a weight of %v; "+
			"small lasting shifts show first here.", smoothWeight)},
		{"Added up (CUSUM)", b, fmt.Sprintf("What lies beyond half a standard deviation is added up; "+
			"past the dashed lines the level has moved. A steady brake gets there by chance about once in %.0f readings.", every)},
	}, err
}

// bin is how wide a bar of a histogram is: what most protractors are read to.
const bin = 0.5

// normalFigure shows how the errors lie beside a normal distribution.
func normalFigure(errors []float64, samples []store.Sample) (figureView, error) {
	sum, err := spc.Summarize(errors)
	if err != nil {
		return figureView{}, err
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, e := range errors {
		low, high = min(low, math.Round(e/bin)), max(high, math.Round(e/bin))
	}
	bins := int(high-low) + 1
	h := chart.Histogram{
		Title: "How the errors lie", Axis: "error", First: low * bin, Step: bin,
		Counts: make([]int, bins), Expected: make([]float64, bins),
	}
	for _, e := range errors {
		h.Counts[int(math.Round(e/bin)-low)]++
	}
	for i := range h.Expected {
		middle := h.First + bin*float64(i)
		h.Expected[i] = float64(sum.N) * (spc.Tolerance{Lower: middle - bin/2, Upper: middle + bin/2}).Share(sum.Mean, sum.Spread)
	}
	largest := samples[len(samples)-1].Tolerance.Deg()
	h.Limits = []float64{-float64(largest), float64(largest)}
	drawn, err := web.Picture(chart.DrawHistogram(h))
	words := "Bars: how often each error came. Line: a normal distribution of the same mean and spread. Dashed: the tolerance."
	if fit, err := spc.NewNormality(errors); err == nil {
		words += fmt.Sprintf(" Anderson-Darling %.2f, p = %.2f: ", fit.Adjusted, fit.Chance)
		switch {
		case fit.N < spc.LeastForJudgement:
			words += fmt.Sprintf("too few to judge, %d are asked for.", spc.LeastForJudgement)
		case fit.Chance < 0.05:
			words += "not quite normal. Readings to half a degree alone can do that; so can two lots or two habits mixed."
		default:
			words += "nothing speaks against a normal distribution."
		}
	}
	return figureView{"How the errors lie", drawn, words}, err
}

// capable compares with the tolerance on the sheets, and with ISO 2768-1 for the
// shortest leg.
func (s *Section) capable(ctx context.Context, samples []store.Sample, v *cellView) {
	errors := errorsOf(samples)
	asked := samples[len(samples)-1].Tolerance.Deg()
	mixed := false
	shortest := unit.MM(math.Inf(1))
	for _, x := range samples {
		mixed = mixed || x.Tolerance.Deg() != asked
		asked = min(asked, x.Tolerance.Deg())
		if leg := s.legOf(ctx, x); leg > 0 {
			shortest = min(shortest, leg)
		}
	}
	name := "the sheets' own"
	if mixed {
		name = "the tightest of the sheets'"
	}
	v.Capable = append(v.Capable, capableFor(errors, name, asked))
	if !math.IsInf(float64(shortest), 1) {
		if iso, err := tolerance.Medium.Angle(shortest); err == nil {
			v.Capable = append(v.Capable, capableFor(errors, fmt.Sprintf("ISO 2768-1 m, leg of %s", s.Ruler(ctx).Size(shortest)), iso))
		}
	}
	v.Judgement = fmt.Sprintf("Cp asks whether the spread from reading to reading fits into the tolerance, "+
		"Cpk also whether it is centred; Pp and Ppk take the whole spread. "+
		"In brackets: where the true value lies, 95 %%. Below 1 more than 3 in 1000 come out wrong. "+
		"Nothing is concluded from fewer than %d readings.", spc.LeastForJudgement)
}

// legOf is the leg that an angle was measured on: as logged, else the shorter
// drawn side of the angle. 0 when the sheet does not say.
func (s *Section) legOf(ctx context.Context, x store.Sample) unit.MM {
	if x.Reading.Leg != nil {
		return x.Reading.Leg.MM()
	}
	if step, found := s.stepOf(ctx, x); found {
		return step.ShorterLeg().MM()
	}
	return 0
}

func (s *Section) stepOf(ctx context.Context, x store.Sample) (traveler.Step, bool) {
	kept, err := s.Store.TravelerByCode(ctx, x.Code)
	if err != nil {
		return traveler.Step{}, false
	}
	return progress.StepOf(kept.Traveler, x.Reading.Step)
}

func capableFor(errors []float64, against string, t unit.Deg) capableLine {
	line := capableLine{Against: against, Tolerance: "± " + t.Text(2) + "°"}
	inside := 0
	for _, e := range errors {
		if math.Abs(e) <= float64(t)+1e-9 {
			inside++
		}
	}
	line.Share = rate(inside, len(errors))
	c, err := spc.NewCapability(errors, spc.Tolerance{Lower: -float64(t), Upper: float64(t)})
	if err != nil || c.N < spc.LeastForJudgement || c.Within == 0 {
		return line
	}
	index := func(i spc.Index) string { return fmt.Sprintf("%.2f (%.2f to %.2f)", i.Value, i.Low, i.High) }
	line.Cp, line.Cpk, line.Pp, line.Ppk = index(c.Cp), index(c.Cpk), index(c.Pp), index(c.Ppk)
	return line
}

// advised says where to stop next for the newest of the readings, and why.
func (s *Section) advised(r *http.Request, c store.Choice, samples []store.Sample, v *cellView) error {
	if c.Material == "" || c.Thickness == 0 || c.Bar == "" || c.Brake == "" {
		return nil
	}
	last := samples[len(samples)-1]
	kept, err := s.Store.TravelerByCode(r.Context(), last.Code)
	if err != nil {
		return err
	}
	ask := lessons.Ask{Angle: last.Target, Cell: store.CellKey{
		Material: c.Material, Thickness: c.Thickness, Radius: lessons.RadiusOf(kept.Traveler, last.Reading.Step), Brake: c.Brake, Bar: c.Bar,
	}}
	a, known, err := s.book.Next(r.Context(), ask)
	if err != nil || !known {
		return err
	}
	parts, err := s.book.Explain(r.Context(), ask)
	if err != nil {
		return err
	}
	v.Advice = &adviceView{Words: fmt.Sprintf("For %s° of any lot: stop at a bend angle of %s°, give or take %s° (%s). "+
		"A reading should then lie within %s° of the target, 19 times in 20.",
		last.Target.Text(1), a.Stop.Text(1), a.SD.Text(1), a.From, (2 * a.ReadingSD).Text(1))}
	if v.Advice.Telling, err = s.telling(r.Context(), ask, last); err != nil {
		return err
	}
	for _, p := range parts {
		v.Advice.Parts = append(v.Advice.Parts, web.Pair{Name: p.Words, Value: chart.Signed(p.Degrees) + "° ± " + p.SD.Text(1)})
	}
	return nil
}

// telling says what the readings cannot tell apart, and the one bend that would.
func (s *Section) telling(ctx context.Context, ask lessons.Ask, last store.Sample) (string, error) {
	ask.Pack = last.Reading.Pack
	if ask.Pack == "" {
		kept, err := s.Store.TravelerByCode(ctx, last.Code)
		if err != nil {
			return "", err
		}
		ask.Pack = lessons.PackOf(kept.Traveler)
	}
	which, err := s.book.Telling(ctx, ask)
	switch which {
	case learn.AtTwoAngles:
		return "Whether the zero of the scale is off or the metal springs back more cannot be told apart yet. " +
			"Bend one strip to 45° and to 90°: that tells.", err
	case learn.FromTwoPacks:
		return "Whether it is this lot or the material cannot be told apart yet. Bend the same part from another lot: that tells.", err
	}
	return "", err
}
