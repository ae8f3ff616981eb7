package review

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/lessons"
	"brakeside/server/store"
	"brakeside/server/web"
)

// What the review looks at of each group.
const (
	mostOfGroup = 50 // newest readings
	mostGroups  = 24 // the groups with the most readings
	mostCharts  = 6  // of them, those that are drawn
	worstGroups = 3  // and those that are marked in the table
)

// What makes a group's figures worth a word; common practice, no source.
const (
	leastMean  = unit.CentiDeg(30) // a mean error from which on the stop is off
	goodTenths = 9                 // of ten readings, those in tolerance when the spread is right
)

// group is a group of readings and how they would have come out at the stop that
// sheets are printed with today: readings from before a change of the stop and from
// after it count alike.
type group struct {
	store.Cell
	errors    []float64 // at today's stop, the newest readings, oldest first
	tolerance []unit.Deg
	spc.Summary
	moved    bool // the scale of its brake has, and nobody said what was done
	proposed unit.Deg
}

// groupsToday works the groups out. Those with few readings, where there are many
// groups, are left as they were logged.
func (s *Section) groupsToday(r *http.Request, c store.Choice, cells []store.Cell) ([]group, error) {
	out := make([]group, len(cells))
	order := make([]int, len(cells))
	for i := range cells {
		out[i].Cell, order[i] = cells[i], i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cells[b].N - cells[a].N })
	for _, i := range order[:min(len(order), mostGroups)] {
		if err := s.lookAt(r, c, &out[i]); err != nil {
			return nil, err
		}
	}
	return out, s.fillDecisions(r, out)
}

func (s *Section) lookAt(r *http.Request, c store.Choice, g *group) error {
	c.Material, c.Thickness, c.Bar, c.Brake = g.Material, g.Thickness, g.Bar, g.Brake
	samples, err := s.Store.Chosen(r.Context(), c, mostOfGroup)
	if err != nil {
		return err
	}
	today, err := s.book.Today(r.Context(), samples)
	if err != nil {
		return err
	}
	for i, e := range today {
		if !math.IsNaN(float64(e)) {
			g.errors, g.tolerance = append(g.errors, float64(e)), append(g.tolerance, samples[i].Tolerance.Deg())
		}
	}
	if len(g.errors) > 0 {
		g.Summary, err = spc.Summarize(g.errors)
	}
	return err
}

// fillDecisions puts in what waits for the owner about each group.
func (s *Section) fillDecisions(r *http.Request, groups []group) error {
	moved, err := s.book.Moved(r.Context())
	if err != nil {
		return err
	}
	proposals, err := s.book.Proposals(r.Context())
	if err != nil {
		return err
	}
	for i := range groups {
		g := &groups[i]
		g.moved = slices.ContainsFunc(moved, func(m lessons.Moved) bool { return m.First.Brake == g.Brake })
		for _, p := range proposals {
			if k := p.Cell; !p.Open && k.Material == g.Material && k.Thickness == g.Thickness && k.Bar == g.Bar && k.Brake == g.Brake {
				g.proposed = p.Change()
			}
		}
	}
	return nil
}

// judged reports whether there are enough readings to conclude anything.
func (g group) judged() bool {
	return g.Cell.N >= lessons.LeastToJudge && len(g.errors) >= lessons.LeastToJudge
}

// inside is how many of the readings would be in tolerance at today's stop.
func (g group) inside() (n int) {
	for i, e := range g.errors {
		if math.Abs(e) <= float64(g.tolerance[i])+1e-9 {
			n++
		}
	}
	return n
}

// off reports whether the mean at today's stop is off by as much as matters, and
// surely: beyond the interval that holds the true mean 19 times in 20.
func (g group) off() bool {
	held := g.MeanInterval(0.95)
	const hair = 1e-9
	return math.Abs(g.Summary.Mean) >= float64(leastMean.Deg())-hair && (held.Low > 0 || held.High < 0)
}

// reading says what the figures of a group ask for, in agreement with what is
// proposed: of the stop only what is proposed, or why nothing is.
func (g group) reading() string {
	switch {
	case g.moved:
		return "its scale has moved: set the zero"
	case !g.judged():
		return "too few to judge"
	case g.proposed > 0:
		return fmt.Sprintf("stop the leaf %s° later: proposed", g.proposed.Text(1))
	case g.proposed < 0:
		return fmt.Sprintf("stop the leaf %s° sooner: proposed", (-g.proposed).Text(1))
	case 10*g.inside() < goodTenths*len(g.errors) && !g.off():
		return "spreads too wide: look at clamping, nose setback and sheet"
	case g.off():
		return "off at today's stop, not surely enough to move it: log more"
	}
	return "good"
}

// groupChart is a small run chart of one group.
type groupChart struct {
	Drawing               template.HTML
	Heading, Words, Query string
}

// chartsOf draws the groups that are judged, or all when none is, worst first.
func chartsOf(groups []group, name func(group) (heading, address string)) ([]groupChart, error) {
	shown := slices.DeleteFunc(slices.Clone(groups), func(g group) bool { return len(g.errors) == 0 })
	likely := likelyMeans(shown)
	order := make([]int, len(shown))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(likely[b], likely[a]) })
	var out []groupChart
	for _, i := range order[:min(len(order), mostCharts)] {
		g := shown[i]
		run := chart.Run{First: 1, Mean: unit.Deg(g.Summary.Mean)}
		heading, address := name(g)
		run.Title = heading
		for k, e := range g.errors {
			run.Readings = append(run.Readings, chart.Reading{Error: unit.Deg(e), Tolerance: g.tolerance[k]})
		}
		drawn, err := web.Picture(chart.Draw(run))
		if err != nil {
			return nil, err
		}
		words := fmt.Sprintf("mean %s° at today's stop, %d of %d in tolerance: %s.",
			chart.SignedTo(unit.Deg(g.Summary.Mean), 2), g.inside(), len(g.errors), g.reading())
		out = append(out, groupChart{drawn, heading, words, address})
	}
	return out, nil
}

// likelyMeans are the sizes of the mean errors at today's stop as they likely are:
// means of few readings are drawn towards the mean of all, see spc.Shrunk.
func likelyMeans(groups []group) []float64 {
	var squares, freedom float64
	for _, g := range groups {
		squares, freedom = squares+g.Summary.Spread*g.Summary.Spread*float64(len(g.errors)-1), freedom+float64(len(g.errors)-1)
	}
	out := make([]float64, len(groups))
	if freedom == 0 || squares == 0 {
		for i, g := range groups {
			out[i] = math.Abs(g.Summary.Mean)
		}
		return out
	}
	var known []spc.Known
	for _, g := range groups {
		known = append(known, spc.Known{Value: g.Summary.Mean, Variance: squares / freedom / float64(len(g.errors))})
	}
	for i, v := range spc.Shrunk(known) {
		out[i] = math.Abs(v)
	}
	return out
}

// worst picks the groups whose mean error at today's stop is likely the largest, of
// those that are judged and not good.
func worst(groups []group) []int {
	var judged []int
	var known []group
	for i, g := range groups {
		if g.judged() {
			judged, known = append(judged, i), append(known, g)
		}
	}
	likely := map[int]float64{}
	for k, v := range likelyMeans(known) {
		likely[judged[k]] = v
	}
	judged = slices.DeleteFunc(judged, func(i int) bool { return groups[i].reading() == "good" })
	slices.SortStableFunc(judged, func(a, b int) int { return cmp.Compare(likely[b], likely[a]) })
	return judged[:min(len(judged), worstGroups)]
}
