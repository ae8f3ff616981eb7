package review

import (
	"fmt"
	"html/template"
	"net/http"

	"brakeside/calc/learn"
	"brakeside/server/chart"
	"brakeside/server/say"
	"brakeside/server/web"
)

type replayView struct {
	Frame      web.Frame
	Choice     filterView
	Lines      []scoreLine
	Chart      template.HTML
	ChartWords string
	N          int
	Held       string
	Moved      string
}

type scoreLine struct {
	Of                            string
	N                             int
	Learned, Printed, Last, Table string
}

// ReplayPage tells how well past readings would have been foretold, each from
// earlier ones only.
func (s *Section) ReplayPage(w http.ResponseWriter, r *http.Request) error {
	choice, shown, err := s.chooses(r, "/review/replay")
	if err != nil {
		return err
	}
	view := replayView{Frame: s.Frame(r, "review"), Choice: shown}
	replayed, err := s.book.Replay(r.Context(), choice)
	if err != nil {
		return err
	}
	view.N = replayed.All.N
	if view.N > 0 {
		view.Held = fmt.Sprintf("%.0f %%", 100*replayed.All.Held)
		view.Moved = say.Counted(replayed.Moved, "time")
		view.Lines = append(view.Lines, scoreOf("all", replayed.All))
	}
	for _, m := range replayed.Materials {
		view.Lines = append(view.Lines, scoreOf(m.Material, m.Score))
	}
	if view.Chart, view.ChartWords, err = replayChart(replayed.Courses); err != nil {
		return err
	}
	return s.Show(w, web.Page{Name: "owner/replay", View: view})
}

func scoreOf(name string, s learn.Score) scoreLine {
	return scoreLine{name, s.N, s.Learned.Text(2) + "°", s.Printed.Text(2) + "°", s.Last.Text(2) + "°", s.Table.Text(2) + "°"}
}

// replayChart draws how the three ways went over the readings.
func replayChart(course []learn.Score) (template.HTML, string, error) {
	if len(course) == 0 {
		return "", "", nil
	}
	learned := chart.Series{Name: "learned", Look: chart.Rings}
	last := chart.Series{Name: "last value", Look: chart.Dotted}
	table := chart.Series{Name: "table", Look: chart.Dashed}
	for _, c := range course {
		learned.Values = append(learned.Values, float64(c.Learned))
		last.Values = append(last.Values, float64(c.Last))
		table.Values = append(table.Values, float64(c.Table))
	}
	newest := course[len(course)-1]
	g := chart.Graph{
		Title: "How far off each way of telling the springback was", Axis: "hundred readings", First: "1", FromZero: true,
		Series: []chart.Series{table, last, learned},
		Description: fmt.Sprintf("Mean error of three ways over %s of a hundred readings; "+
			"in the last: learned %s, last value %s, table %s degrees.",
			say.Counted(len(course), "run"), newest.Learned.Text(2), newest.Last.Text(2), newest.Table.Text(2)),
	}
	if len(course) > 1 {
		g.Last = fmt.Sprint(len(course))
	}
	drawn, err := web.Picture(chart.DrawGraph(g))
	return drawn, "Mean error without its sign, a hundred readings at a time, oldest first. The lower the better; " +
		"what is left at the bottom is the protractor and the metal itself.", err
}
