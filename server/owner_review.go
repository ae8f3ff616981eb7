package server

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"time"

	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/store"
)

const (
	// leastToJudge is how many readings a group needs before it is worth acting
	// on. Common practice, no source.
	leastToJudge = 5
	mostShown    = 200 // readings in the run chart
)

type reviewView struct {
	Frame                                frameView
	Materials, Thicknesses, Bars, Brakes []optionView
	Periods                              []optionView
	Groups                               []groupLine
	Chart                                template.HTML
	ChartWords                           string
	Shown, Least                         int
}

type optionView struct {
	Value, Words string
	Chosen       bool
}

type groupLine struct {
	Material, Thickness, Bar, Brake string
	N                               int
	Mean, Spread, Share, Words      string
}

// periods are what the page can look back over, in days; 0 is all.
var periods = []struct {
	days  int
	words string
}{{0, "all time"}, {7, "7 days"}, {30, "30 days"}, {90, "90 days"}, {365, "a year"}}

func (s *Server) reviewPage(w http.ResponseWriter, r *http.Request) error {
	everything, err := s.store.ReviewCells(r.Context(), store.Filter{})
	if err != nil {
		return err
	}
	view := reviewView{Frame: s.frame(r, "review"), Least: leastToJudge}
	filter := view.choose(r, everything)
	if days := chosenDays(r); days > 0 {
		filter.Since = s.now().AddDate(0, 0, -days)
	}
	cells, err := s.store.ReviewCells(r.Context(), filter)
	if err != nil {
		return err
	}
	for _, cell := range cells {
		view.Groups = append(view.Groups, groupOf(cell))
	}
	filter.Limit = mostShown
	recent, err := s.store.Recent(r.Context(), filter)
	if err != nil {
		return err
	}
	view.Shown = len(recent)
	if view.Chart, view.ChartWords, err = reviewChart(recent); err != nil {
		return err
	}
	return s.show(w, page{0, "owner/review", view})
}

func chosenDays(r *http.Request) int {
	days, err := strconv.Atoi(r.URL.Query().Get("days"))
	if err != nil || days < 0 || days > 3650 {
		return 0
	}
	return days
}

// choose fills the lists of choices and gives the filter that the address asks
// for. A choice that is not in a list is no choice.
func (v *reviewView) choose(r *http.Request, cells []store.Cell) store.Filter {
	query := r.URL.Query()
	var filter store.Filter
	pick := func(name string, of func(store.Cell) string) (options []optionView, chosen string) {
		for _, value := range distinct(cells, of) {
			is := value == query.Get(name)
			if is {
				chosen = value
			}
			options = append(options, optionView{Value: value, Chosen: is})
		}
		return options, chosen
	}
	v.Materials, filter.Material = pick("material", func(c store.Cell) string { return c.Material })
	v.Bars, filter.Bar = pick("bar", func(c store.Cell) string { return c.Bar })
	v.Brakes, filter.Brake = pick("brake", func(c store.Cell) string { return c.Brake })
	var thickness string
	v.Thicknesses, thickness = pick("thickness", thicknessWords)
	for _, c := range cells {
		if thickness != "" && thicknessWords(c) == thickness {
			filter.Thickness = c.Thickness
		}
	}
	for _, p := range periods {
		v.Periods = append(v.Periods, optionView{strconv.Itoa(p.days), p.words, p.days == chosenDays(r)})
	}
	return filter
}

func thicknessWords(c store.Cell) string { return c.Thickness.Text(2) + " mm" }

// distinct gives the values of one property, each once, in order.
func distinct(cells []store.Cell, of func(store.Cell) string) []string {
	var values []string
	for _, c := range cells {
		values = append(values, of(c))
	}
	slices.Sort(values)
	return slices.Compact(values)
}

func groupOf(c store.Cell) groupLine {
	line := groupLine{
		Material: c.Material, Thickness: thicknessWords(c), Bar: c.Bar, Brake: c.Brake, N: c.N,
		Mean: chart.Signed(c.Mean) + "°", Share: share(c.InTolerance, c.N), Words: reading(c),
	}
	if c.N > 1 {
		line.Spread = c.Spread.Text(2) + "°"
	}
	return line
}

// What makes a group's figures worth a word; common practice, no source.
const (
	leastMean  = unit.CentiDeg(30) // a mean error from which on the stop is off
	goodTenths = 9                 // of ten readings, those in tolerance when the spread is right
)

// reading says what a group's figures mean, if they say anything: a mean that is
// off is put right at the stop, a wide spread at the brake.
func reading(c store.Cell) string {
	if c.N < leastToJudge {
		return "too few to judge"
	}
	switch mean := c.Mean.CentiDeg(); {
	case mean >= leastMean:
		return "bends too far: stop the leaf sooner"
	case mean <= -leastMean:
		return "bends too little: stop the leaf later"
	case 10*c.InTolerance < goodTenths*c.N:
		return "spreads too wide: look at clamping, nose setback and sheet"
	}
	return "good"
}

func reviewChart(recent []store.Sample) (template.HTML, string, error) {
	run := chart.Run{Title: "Angle errors of the readings chosen", First: 1}
	var errors []float64
	for _, sample := range recent {
		run.Readings = append(run.Readings, chart.Reading{
			Error: sample.Reading.Error.Deg(), Tolerance: sample.Tolerance.Deg(),
		})
		errors = append(errors, float64(sample.Reading.Error.Deg()))
	}
	return runChart(run, errors)
}

// reviewCSV streams all readings. An answer that breaks off in the middle is
// cut off, not ended, so that it cannot be taken for a whole file.
func (s *Server) reviewCSV(w http.ResponseWriter, r *http.Request) error {
	_ = http.NewResponseController(w).SetWriteDeadline(s.now().Add(10 * time.Minute))
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="readings-%s.csv"`, s.now().Format("2006-01-02")))
	if err := WriteCSV(r.Context(), w, s.store); err != nil {
		s.log.Error("export broke off", "request", ticketOf(r).id, "error", err)
		panic(http.ErrAbortHandler)
	}
	return nil
}
