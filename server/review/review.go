package review

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"brakeside/calc/spc"
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
	mostShown   = 200 // readings in the run chart
	mostListed  = 6   // rows of a list beside which there is a page of its own
	worstGroups = 3
)

type reviewView struct {
	Frame       web.Frame
	Choice      filterView
	Facts       []web.Pair
	Doings      []doingLine // what is worth doing now
	Groups      []groupLine
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
	Mean, Spread, Share, Words      string
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
	far, u := worst(cells), s.Ruler(r.Context())
	for i, cell := range cells {
		line := groupOf(u, cell, v.Choice)
		line.Worst = slices.Contains(far, i)
		v.Groups = append(v.Groups, line)
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
	if n := len(proposals); n > 0 {
		v.Doings = append(v.Doings, doingLine{say.Counted(n, "change") + " of a printed stop proposed.", "/review/stops", "Look at the stops"})
	}
	alarms, err := s.book.Alarms(r.Context())
	if err != nil {
		return err
	}
	since := s.Now().Add(-lessons.AlarmLasts)
	for _, a := range alarms {
		at, err := time.Parse(time.RFC3339, a.Received)
		if err == nil && at.After(since) && (c.Brake == "" || c.Brake == a.Brake) {
			v.Doings = append(v.Doings, doingLine{s.alarmWords(a, at), "/review/cell?" + url.Values{"brake": {a.Brake}}.Encode(), "Its readings"})
		}
	}
	return nil
}

func (s *Section) alarmWords(a lessons.Alarm, at time.Time) string {
	way := "flatter"
	if !a.More {
		way = "further"
	}
	return fmt.Sprintf("%s has moved: by %s its bends had come to go %s than what was known of it. "+
		"Look at the stop and at its scale.", a.Brake, s.When(at), way)
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

func groupOf(u say.Ruler, c store.Cell, v filterView) groupLine {
	line := groupLine{
		Material: c.Material, Thickness: u.Sheet(c.Thickness.MM()), Bar: c.Bar, Brake: c.Brake, N: c.N,
		Mean: chart.Signed(c.Mean) + "°", Share: say.Share(c.InTolerance, c.Made), Words: reading(c),
		Address: "/review/cell?" + v.with(c).Encode(),
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
	if c.N < lessons.LeastToJudge {
		return "too few to judge"
	}
	switch mean := c.Mean.CentiDeg(); {
	case mean >= leastMean:
		return "bends too far: stop the leaf sooner"
	case mean <= -leastMean:
		return "bends too little: stop the leaf later"
	case 10*c.InTolerance < goodTenths*c.Made:
		return "spreads too wide: look at clamping, nose setback and sheet"
	}
	return "good"
}

// worst picks the groups whose mean error is likely the largest, of those that
// are judged and not good: means of few readings are drawn towards the mean of
// all before they are compared, see spc.Shrunk.
func worst(cells []store.Cell) []int {
	var squares, freedom float64
	for _, c := range cells {
		squares, freedom = squares+float64(c.Spread*c.Spread)*float64(c.N-1), freedom+float64(c.N-1)
	}
	var judged []int
	var known []spc.Known
	for i, c := range cells {
		if c.N >= lessons.LeastToJudge && squares > 0 {
			judged = append(judged, i)
			known = append(known, spc.Known{Value: float64(c.Mean), Variance: squares / freedom / float64(c.N)})
		}
	}
	likely := make(map[int]float64, len(judged))
	for k, v := range spc.Shrunk(known) {
		likely[judged[k]] = math.Abs(v)
	}
	judged = slices.DeleteFunc(judged, func(i int) bool { return reading(cells[i]) == "good" })
	slices.SortStableFunc(judged, func(a, b int) int { return cmp.Compare(likely[b], likely[a]) })
	return judged[:min(len(judged), worstGroups)]
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
	w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="readings-%s.csv"`, s.Now().Format("2006-01-02")))
	if err := report.WriteCSV(r.Context(), w, s.Store); err != nil {
		s.Log.Error("export broke off", "request", web.TicketOf(r).ID, "error", err)
		panic(http.ErrAbortHandler)
	}
	return nil
}
