package review

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/lessons"
	"brakeside/server/report"
	"brakeside/server/say"
	"brakeside/server/shelf"
	"brakeside/server/store"
	"brakeside/server/web"
)

const (
	mostShown  = 200 // readings in the run chart
	mostListed = 6   // rows of a list beside which there is a page of its own
)

type reviewView struct {
	Frame       web.Frame
	Choice      filterView
	Facts       []web.Pair
	Doings      []doingLine // what is worth doing now
	Moved       []movedLine // and about brakes
	Groups      []groupLine
	Charts      []groupChart // worst first
	Causes      []web.Pair
	Trend       template.HTML
	TrendWords  string
	Chart       template.HTML
	ChartWords  string
	Shown       int
	Least       int
	Unlogged    []sheetLine
	MoreUnlog   int
	Scans       []sheetLine
	Notes       []noteLine
	HasReadings bool
}

type doingLine struct{ Words, Address, Link string }

type groupLine struct {
	Material, Thickness, Bar, Brake string
	N                               int
	Mean, Today, Spread, Share      string
	Words                           string
	Address                         string
	Worst                           bool // likely among the farthest off
}

type noteLine struct{ Job, Part, Step, Words, By, When, Address string }

// ReviewPage is the owner's week on one screen: what came out, what to do, and
// where to look closer.
func (s *Section) ReviewPage(w http.ResponseWriter, r *http.Request) error {
	view := reviewView{Frame: s.Frame(r, "review"), Least: lessons.LeastToJudge}
	choice, shown, err := s.chooses(r, "/review")
	if err != nil {
		return err
	}
	view.Choice = shown
	for _, fill := range []func(*http.Request, store.Choice, *reviewView) error{s.fillFigures, s.fillDoings, s.fillCharts, s.fillLists} {
		if err := fill(r, choice, &view); err != nil {
			return err
		}
	}
	return s.Show(w, web.Page{Name: "owner/review", View: view})
}

// fillFigures puts in the counts and the groups.
func (s *Section) fillFigures(r *http.Request, c store.Choice, v *reviewView) error {
	totals, err := s.Store.Totals(r.Context(), c)
	if err != nil {
		return err
	}
	cells, err := s.Store.Cells(r.Context(), c)
	if err != nil {
		return err
	}
	pieces, err := s.Store.FirstPieces(r.Context(), c)
	if err != nil {
		return err
	}
	v.HasReadings = totals.Readings > 0
	groups, err := s.groupsToday(r, c, cells)
	if err != nil {
		return err
	}
	far, u := worst(groups), s.Ruler(r.Context())
	for i, g := range groups {
		line := groupOf(u, g, v.Choice)
		line.Worst = slices.Contains(far, i)
		v.Groups = append(v.Groups, line)
	}
	if v.Charts, err = chartsOf(groups, func(g group) (string, string) {
		name := fmt.Sprintf("%s %s, %s on %s", g.Material, u.Sheet(g.Thickness.MM()), say.Typed(g.Bar), say.Typed(g.Brake))
		return name, "/review/cell?" + v.Choice.with(g.Cell).Encode()
	}); err != nil {
		return err
	}
	v.Facts = web.Pairs(
		"First pieces passed", passRate(pieces), "Bends in tolerance", rate(totals.InTolerance, totals.Made),
		"Readings", strconv.Itoa(totals.Readings), "Sheets", strconv.Itoa(totals.Sheets),
		"Reworked", strconv.Itoa(totals.Reworked), "Scrapped", strconv.Itoa(totals.Scrapped),
	)
	for _, f := range []struct {
		n     int
		words string
	}{{totals.Lifted, "Bar lifted"}, {totals.Opened, "Setback opened"}, {totals.Torn, "Corner torn"}} {
		if f.n > 0 {
			v.Facts = append(v.Facts, web.Pair{Name: f.words, Value: strconv.Itoa(f.n)})
		}
	}
	v.Causes = causesOf(pieces)
	return nil
}

// causesOf counts why first pieces failed, the commonest first.
func causesOf(pieces []store.FirstPiece) []web.Pair {
	counts := map[string]int{}
	for _, p := range pieces {
		if !p.Passed {
			counts[lessons.CauseWords(p.Cause)]++
		}
	}
	var out []web.Pair
	for cause, n := range counts {
		out = append(out, web.Pair{Name: cause, Value: strconv.Itoa(n)})
	}
	slices.SortFunc(out, func(a, b web.Pair) int {
		if a.Value != b.Value {
			return counts[b.Name] - counts[a.Name]
		}
		return strings.Compare(a.Name, b.Name)
	})
	return out
}

// fillDoings puts in what is worth doing now: proposals and brakes that moved.
func (s *Section) fillDoings(r *http.Request, c store.Choice, v *reviewView) error {
	proposals, err := s.book.Proposals(r.Context())
	if err != nil {
		return err
	}
	open := 0
	for _, p := range proposals {
		if p.Open {
			open++
		}
	}
	if n := len(proposals) - open; n > 0 {
		v.Doings = append(v.Doings, doingLine{say.Counted(n, "change") + " of a printed stop proposed.", "/review/stops", "Look at the stops"})
	}
	if open > 0 {
		words := say.Counted(open, "stop") + " that nobody has decided about, printed from the log."
		v.Doings = append(v.Doings, doingLine{words, "/review/stops", "Hold or refuse"})
	}
	v.Moved, err = s.movedLines(r, c.Brake)
	if err != nil {
		return err
	}
	return s.fillDisagreement(r, v)
}

// fillDisagreement says that protractors or those who read them differ; not who,
// for a study tells that.
func (s *Section) fillDisagreement(r *http.Request, v *reviewView) error {
	d, is, err := s.book.Disagree(r.Context())
	if is {
		v.Doings = append(v.Doings, doingLine{
			fmt.Sprintf("The protractors, or how they are read, differ by about %s°. A gauge study tells which.", d.Apart.Text(1)),
			"/review/measuring", "Study them",
		})
	}
	return err
}

// fillCharts puts in the weeks and the last readings.
func (s *Section) fillCharts(r *http.Request, c store.Choice, v *reviewView) error {
	weeks, err := s.Store.Weeks(r.Context(), c)
	if err != nil {
		return err
	}
	if v.Trend, v.TrendWords, err = weekChart(weeks); err != nil {
		return err
	}
	recent, err := s.Store.Chosen(r.Context(), c, mostShown)
	if err != nil {
		return err
	}
	v.Shown = len(recent)
	v.Chart, v.ChartWords, err = reviewChart(recent)
	return err
}

// mostWeeks is how many weeks the trend shows.
const mostWeeks = 52

// weekChart draws the mean error of each week and how far it spreads.
func weekChart(weeks []store.Span) (template.HTML, string, error) {
	weeks = weeks[max(0, len(weeks)-mostWeeks):]
	g := chart.Graph{Title: "Mean angle error week by week", Axis: "week"}
	mean := chart.Series{Name: "mean", Look: chart.Rings}
	above := chart.Series{Name: "+ spread", Look: chart.Limit}
	below := chart.Series{Name: "- spread", Look: chart.Limit}
	few := 0
	for _, w := range weeks {
		if w.N < lessons.LeastToJudge {
			few++
		}
		mean.Values, mean.Marked = append(mean.Values, float64(w.Mean)), append(mean.Marked, w.N < lessons.LeastToJudge)
		above.Values = append(above.Values, float64(w.Mean+w.Spread))
		below.Values = append(below.Values, float64(w.Mean-w.Spread))
	}
	if len(weeks) == 0 {
		return "", "", nil
	}
	g.Series = []chart.Series{above, below, mean}
	g.First, g.Last = weekWords(weeks[0].Begins), weekWords(weeks[len(weeks)-1].Begins)
	if len(weeks) == 1 {
		g.Last = ""
	}
	g.Description = fmt.Sprintf("Mean angle error of %s, from %s to %s.",
		say.Counted(len(weeks), "week"), chart.Signed(weeks[0].Mean), chart.Signed(weeks[len(weeks)-1].Mean))
	drawn, err := web.Picture(chart.DrawGraph(g))
	words := fmt.Sprintf("%s. Rings are weekly means, dashed steps one spread to either side.", say.Counted(len(weeks), "week"))
	if few > 0 {
		words += fmt.Sprintf(" Black squares: weeks of fewer than %d readings, which say little.", lessons.LeastToJudge)
	}
	return drawn, words, err
}

func weekWords(day string) string {
	at, err := time.Parse("2006-01-02", day)
	if err != nil {
		return day
	}
	return at.Format("2 Jan 06")
}

// fillLists puts in what was not logged, old sheets and what was said.
func (s *Section) fillLists(r *http.Request, c store.Choice, v *reviewView) error {
	unlogged, err := s.unlogged(r, c)
	if err != nil {
		return err
	}
	v.MoreUnlog = max(0, len(unlogged)-mostListed)
	v.Unlogged = unlogged[:min(len(unlogged), mostListed)]
	scans, err := s.oldScans(r, c)
	if err != nil {
		return err
	}
	v.Scans = scans[:min(len(scans), mostListed)]
	noted, err := s.Store.Noted(r.Context(), c, mostListed)
	if err != nil {
		return err
	}
	for _, x := range noted {
		v.Notes = append(v.Notes, s.noteOf(x))
	}
	return nil
}

func (s *Section) noteOf(x store.Sample) noteLine {
	line := noteLine{
		Job: x.Job, Part: x.Part, Step: fmt.Sprintf("piece %d, step %d", x.Reading.Piece, x.Reading.Step),
		Words: say.FlagWords(x.Reading.Flags), By: x.Reading.By, Address: shelf.JobAddress(x.Code),
	}
	if x.Reading.Note != "" {
		line.Words = strings.TrimPrefix(line.Words+"; "+x.Reading.Note, "; ")
	}
	if at, err := time.Parse(time.RFC3339, x.Reading.Received); err == nil {
		line.When = s.When(at)
	}
	return line
}

func groupOf(u say.Ruler, g group, v filterView) groupLine {
	c := g.Cell
	line := groupLine{
		Material: c.Material, Thickness: u.Sheet(c.Thickness.MM()), Bar: c.Bar, Brake: c.Brake, N: c.N,
		Mean: chart.SignedTo(c.Mean, 2) + "°", Share: say.Share(c.InTolerance, c.Made), Words: g.reading(),
		Address: "/review/cell?" + v.with(c).Encode(),
	}
	if c.N > 1 {
		line.Spread = c.Spread.Text(2) + "°"
	}
	if len(g.errors) > 0 {
		line.Today = chart.SignedTo(unit.Deg(g.Summary.Mean), 2) + "°"
	}
	return line
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
	page, words, err := chart.Summed(run, errors)
	if err != nil {
		return "", "", err
	}
	drawn, err := web.Picture(page)
	return drawn, words, err
}

// ReviewCSV streams all readings. An answer that breaks off in the middle is
// cut off, not ended, so that it cannot be taken for a whole file.
func (s *Section) ReviewCSV(w http.ResponseWriter, r *http.Request) error {
	_ = http.NewResponseController(w).SetWriteDeadline(s.Now().Add(10 * time.Minute))
	w.Header().Set("Content-Type", web.CSVKind)
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="readings-%s.csv"`, s.Now().Format("2006-01-02")))
	if err := report.WriteCSV(r.Context(), w, s.ListFormat(r), s.Store); err != nil {
		s.Log.Error("export broke off", "request", web.TicketOf(r).ID, "error", err)
		panic(http.ErrAbortHandler)
	}
	return nil
}
