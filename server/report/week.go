package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"brakeside/server/chart"
	"brakeside/server/store"
	"brakeside/traveler/draw"
)

// Week is what the review of a week shows.
type Week struct {
	Shop      string
	At        time.Time    // the end of the week
	Cells     []store.Cell // of the week
	All       []store.Cell // of all time
	Totals    store.Totals
	First     []store.FirstPiece
	Unlogged  int
	OldScans  int
	Proposals int
	Moved     []string // brakes that moved
	Weeks     []store.Span
	Least     int // readings from which a group is judged
}

// How much of each list fits on the page.
const (
	mostCells = 7
	mostWeeks = 26
)

// Pages lays the week out on one page.
func (w Week) Pages() []*draw.Page {
	p := newPaper("Review of the week", "First pieces, angle errors by material, what went wrong and what to look at.")
	p.line(7, draw.Bold, w.Shop)
	p.line(4, draw.Regular, "Review of the week to "+w.At.Format("2 January 2006")+". Bends as made, before rework; + is over-bent.")
	p.facts([]Fact{
		{"First pieces passed", w.passed()},
		{"Bends in tolerance", fmt.Sprintf("%d of %d", w.Totals.InTolerance, w.Totals.Made)},
		{"Readings", decimal(w.Totals.Readings) + " on " + counted(w.Totals.Sheets, "sheet")},
		{"Reworked, scrapped", decimal(w.Totals.Reworked) + ", " + decimal(w.Totals.Scrapped)},
		{"Sheets printed, not logged", decimal(w.Unlogged)},
		{"Replaced sheets scanned", decimal(w.OldScans)},
	})
	for _, line := range w.remarks() {
		p.line(body, draw.Regular, line)
	}
	p.heading("Angle error of the week")
	w.cells(p, w.Cells)
	p.heading("Of all time")
	w.cells(p, w.All)
	p.heading("Mean error week by week")
	p.drawing(w.trend())
	return p.finish("Groups of fewer than " + decimal(w.Least) + " readings say too little to act on.")
}

func (w Week) passed() string {
	n := 0
	for _, f := range w.First {
		if f.Passed {
			n++
		}
	}
	return fmt.Sprintf("%d of %d", n, len(w.First))
}

// remarks are the sentences worth a line: causes, flags, brakes, proposals.
func (w Week) remarks() []string {
	var out []string
	causes := map[string]int{}
	for _, f := range w.First {
		if !f.Passed {
			cause := f.Cause
			if cause == "" {
				cause = "not said"
			}
			causes[cause]++
		}
	}
	if len(causes) > 0 {
		out = append(out, "First pieces failed by cause: "+tally(causes)+".")
	}
	flags := map[string]int{}
	for name, n := range map[string]int{"bar lifted": w.Totals.Lifted, "setback opened": w.Totals.Opened, "corner torn": w.Totals.Torn} {
		if n > 0 {
			flags[name] = n
		}
	}
	if len(flags) > 0 {
		out = append(out, "Noted at the brake: "+tally(flags)+".")
	}
	out = append(out, w.Moved...)
	if w.Proposals > 0 {
		out = append(out, counted(w.Proposals, "change")+" of a printed stop proposed: see the review.")
	}
	return out
}

// tally words counts, the largest first.
func tally(counts map[string]int) string {
	var names []string
	for name := range counts {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		if counts[a] != counts[b] {
			return counts[b] - counts[a]
		}
		return strings.Compare(a, b)
	})
	for i, name := range names {
		names[i] = fmt.Sprintf("%s %d", name, counts[name])
	}
	return strings.Join(names, ", ")
}

var cellColumns = []column{
	{"material", 36, false}, {"mm", 13, true}, {"bar", 25, false}, {"brake", 33, false},
	{"n", 13, true}, {"mean", 16, true}, {"spread", 17, true}, {"in tolerance", inner - 153, true},
}

func (w Week) cells(p *paper, cells []store.Cell) {
	if len(cells) == 0 {
		p.line(body, draw.Regular, "No readings.")
		return
	}
	shown := slices.Clone(cells)
	slices.SortStableFunc(shown, func(a, b store.Cell) int { return b.N - a.N })
	shown = shown[:min(len(shown), mostCells)]
	var rows [][]string
	for _, c := range shown {
		spread := ""
		if c.N > 1 {
			spread = c.Spread.Text(2)
		}
		rows = append(rows, []string{
			c.Material, c.Thickness.Text(2), c.Bar, c.Brake, decimal(c.N), chart.Signed(c.Mean), spread,
			fmt.Sprintf("%d of %d", c.InTolerance, c.Made),
		})
	}
	p.table(cellColumns, rows)
	if more := len(cells) - len(shown); more > 0 {
		p.line(body, draw.Regular, "and "+counted(more, "group")+" with fewer readings")
	}
}

func (w Week) trend() *draw.Page {
	weeks := w.Weeks[max(0, len(w.Weeks)-mostWeeks):]
	g := chart.Graph{Title: "Mean angle error week by week", Axis: "week"}
	mean := chart.Series{Look: chart.Rings}
	for _, x := range weeks {
		mean.Values, mean.Marked = append(mean.Values, float64(x.Mean)), append(mean.Marked, x.N < w.Least)
	}
	g.Series = []chart.Series{mean}
	if len(weeks) > 1 {
		g.First, g.Last = weeks[0].Begins, weeks[len(weeks)-1].Begins
	}
	return chart.DrawGraph(g)
}
