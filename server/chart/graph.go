package chart

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler/draw"
)

// Look is how a series is drawn. What a series is can be told from its line and
// its marks, never from a colour.
type Look int

// The looks.
const (
	Rings   Look = iota // a line with rings; marked values are black squares
	Plain               // a line
	Dashed              // a dashed line
	Dotted              // a dash-dotted line
	Limit               // a dashed line as steps, for limits that change
	Squares             // a line with black squares
)

// Series is one row of values of a graph. A NaN leaves a gap.
type Series struct {
	Name   string // printed at its right end
	Values []float64
	Look   Look
	Marked []bool // with Rings: values that stand out
}

// Level is a line across the whole graph.
type Level struct {
	Name  string
	Value float64
	Look  Look
}

// Graph is values over their order.
type Graph struct {
	Title, Description string // for screen readers
	Axis               string // what one step to the right is
	First, Last        string // under the ends of the axis
	Series             []Series
	Levels             []Level
	FromZero           bool // the scale begins at 0; else it reaches as far down as up
}

// count is the number of values of the longest series.
func (g Graph) count() int {
	n := 0
	for _, s := range g.Series {
		n = max(n, len(s.Values))
	}
	return n
}

// most is the largest value to show, without its sign.
func (g Graph) most() float64 {
	most := 0.1
	for _, s := range g.Series {
		for _, v := range s.Values {
			if !math.IsNaN(v) {
				most = max(most, math.Abs(v))
			}
		}
	}
	for _, l := range g.Levels {
		most = max(most, math.Abs(l.Value))
	}
	return most
}

// DrawGraph gives the graph as a page, as large as a run chart. One without
// values is a page that says so.
func DrawGraph(g Graph) *draw.Page {
	page := &draw.Page{Title: g.Title, Description: g.Description, Width: width, Height: height}
	if g.count() == 0 {
		page.Add(draw.Text{X: width / 2, Y: height / 2, Size: letters, Words: "Nothing to draw yet", Anchor: draw.Centre})
		return page
	}
	p := graphPlot{g, rounded(g.most())}
	page.Add(p.frame()...)
	for _, l := range g.Levels {
		y := p.y(l.Value)
		page.Add(draw.Line{X1: leftRoom, Y1: y, X2: plotRight, Y2: y, Pen: penOf(l.Look)})
	}
	for _, s := range g.Series {
		page.Add(p.line(s)...)
	}
	for _, s := range g.Series {
		page.Add(p.marks(s)...)
	}
	page.Add(p.names()...)
	return page
}

// rounded is a round number not less than a value and a little room.
func rounded(most float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(most)))
	for _, times := range []float64{1, 2, 3, 4, 6, 10} {
		if times*power >= most*1.05 {
			return times * power
		}
	}
	return 20 * power
}

func penOf(l Look) draw.Pen {
	switch l {
	case Dashed, Limit:
		return draw.Hidden
	case Dotted:
		return draw.BendUp
	case Plain, Rings, Squares:
		return draw.ChartLine
	}
	return draw.ChartRule
}

// graphPlot places a graph on its page.
type graphPlot struct {
	graph Graph
	limit float64
}

func (p graphPlot) x(i int) float64 {
	n := p.graph.count()
	if n == 1 {
		return leftRoom + plotWidth/2
	}
	inset := math.Min(plotWidth/float64(2*n), 6)
	return leftRoom + inset + (plotWidth-2*inset)*float64(i)/float64(n-1)
}

func (p graphPlot) y(v float64) float64 {
	if p.graph.FromZero {
		return plotBottom - v/p.limit*plotHeight
	}
	return middle - v/p.limit*plotHeight/2
}

// frame gives the box, the scale and the words under it.
func (p graphPlot) frame() []draw.Mark {
	marks := []draw.Mark{draw.Box(draw.ChartRule, draw.NoFill, leftRoom, topRoom, plotWidth, plotHeight)}
	shares := []float64{-1, -0.5, 0, 0.5, 1}
	if p.graph.FromZero {
		shares = []float64{0, 0.25, 0.5, 0.75, 1}
	} else {
		marks = append(marks, draw.Line{X1: leftRoom, Y1: middle, X2: plotRight, Y2: middle, Pen: draw.ChartRule})
	}
	for _, share := range shares {
		y := p.y(share * p.limit)
		marks = append(marks,
			draw.Line{X1: leftRoom - 1.2, Y1: y, X2: leftRoom, Y2: y, Pen: draw.ChartRule},
			draw.Text{X: leftRoom - 2, Y: y + labelDrop, Size: letters, Words: p.tick(share * p.limit), Anchor: draw.Right})
	}
	return append(marks, p.under()...)
}

// under writes what lies at the ends of the axis and what it counts.
func (p graphPlot) under() []draw.Mark {
	var marks []draw.Mark
	for _, t := range []struct {
		x      float64
		words  string
		anchor draw.Anchor
	}{{leftRoom, p.graph.First, draw.Left}, {leftRoom + plotWidth/2, p.graph.Axis, draw.Centre}, {plotRight, p.graph.Last, draw.Right}} {
		if t.words != "" {
			marks = append(marks, draw.Text{X: t.x, Y: plotBottom + letters + 1, Size: letters, Words: t.words, Anchor: t.anchor})
		}
	}
	return marks
}

// tick prints a value of the scale with the decimals the scale needs.
func (p graphPlot) tick(v float64) string {
	decimals := max(0, int(math.Ceil(-math.Log10(p.limit)+0.7)))
	text := unit.Deg(v).Text(min(decimals, 3))
	if v > 0 && !p.graph.FromZero {
		text = "+" + text
	}
	return text
}

// line draws the line of a series, in pieces where values are missing.
func (p graphPlot) line(s Series) []draw.Mark {
	var marks []draw.Mark
	var piece []draw.Point
	end := func() {
		if len(piece) > 1 {
			marks = append(marks, draw.Path{Points: piece, Pen: penOf(s.Look)})
		}
		piece = nil
	}
	for i, v := range s.Values {
		if math.IsNaN(v) {
			end()
			continue
		}
		x, y := p.x(i), p.y(v)
		if s.Look == Limit {
			half := (p.x(1) - p.x(0)) / 2
			if len(s.Values) == 1 {
				half = plotWidth / 2
			}
			piece = append(piece, draw.Point{X: max(leftRoom, x-half), Y: y}, draw.Point{X: min(plotRight, x+half), Y: y})
			continue
		}
		piece = append(piece, draw.Point{X: x, Y: y})
	}
	end()
	return marks
}

func (p graphPlot) marks(s Series) []draw.Mark {
	if s.Look != Rings && s.Look != Squares {
		return nil
	}
	size := 1.0
	if p.graph.count() > mostRings {
		size = 0.6
	}
	var marks []draw.Mark
	for i, v := range s.Values {
		switch x, y := p.x(i), p.y(v); {
		case math.IsNaN(v):
		case s.Look == Squares, i < len(s.Marked) && s.Marked[i]:
			side := square * size
			marks = append(marks, draw.Box(draw.ChartRule, draw.Black, x-side/2, y-side/2, side, side))
		default:
			marks = append(marks, draw.Arc{X: x, Y: y, Radius: ring * size, From: 0, To: 360, Pen: draw.ChartRule, Fill: draw.Paper})
		}
	}
	return marks
}

// names writes what the lines are at their right ends, from the top down and
// moved apart where they would print over one another.
func (p graphPlot) names() []draw.Mark {
	type name struct {
		y     float64
		words string
	}
	var all []name
	for _, s := range p.graph.Series {
		for i := len(s.Values) - 1; i >= 0 && s.Name != ""; i-- {
			if !math.IsNaN(s.Values[i]) {
				all = append(all, name{p.y(s.Values[i]), s.Name})
				break
			}
		}
	}
	for _, l := range p.graph.Levels {
		if l.Name != "" {
			all = append(all, name{p.y(l.Value), l.Name})
		}
	}
	for i := range all { // few: sorted by hand, stable
		for k := i; k > 0 && all[k].y < all[k-1].y; k-- {
			all[k], all[k-1] = all[k-1], all[k]
		}
	}
	for i := 1; i < len(all); i++ {
		all[i].y = max(all[i].y, all[i-1].y+letters)
	}
	for i := len(all) - 1; i >= 0; i-- { // push up what ran off the bottom
		most := plotBottom - letters*float64(len(all)-1-i)
		all[i].y = min(all[i].y, most)
	}
	var marks []draw.Mark
	for _, n := range all {
		marks = append(marks, draw.Text{
			X: plotRight + labelDistance, Y: n.y + labelDrop, Size: letters, Words: n.words, MaxWidth: rightRoom - labelDistance,
		})
	}
	return marks
}

// Histogram is how often values came, in bins of one width, beside how often a
// normal distribution would bring them.
type Histogram struct {
	Title, Axis string
	First, Step float64 // the middle of the first bin, and the width of each
	Counts      []int
	Expected    []float64 // of the normal distribution, as long as Counts; nil for none
	Limits      []float64 // values at which a line stands, such as a tolerance
}

// DrawHistogram gives the histogram as a page.
func DrawHistogram(h Histogram) *draw.Page {
	page := &draw.Page{Title: h.Title, Description: h.describe(), Width: width, Height: height}
	if len(h.Counts) == 0 {
		page.Add(draw.Text{X: width / 2, Y: height / 2, Size: letters, Words: "Nothing to draw yet", Anchor: draw.Centre})
		return page
	}
	most := 1.0
	for i, c := range h.Counts {
		most = max(most, float64(c))
		if h.Expected != nil {
			most = max(most, h.Expected[i])
		}
	}
	p := graphPlot{Graph{FromZero: true, Series: []Series{{Values: make([]float64, len(h.Counts))}}}, rounded(most)}
	page.Add(p.frame()...)
	bin := plotWidth / float64(len(h.Counts))
	x := func(v float64) float64 { return leftRoom + bin*((v-h.First)/h.Step+0.5) }
	var curve []draw.Point
	for i, c := range h.Counts {
		middle := h.First + h.Step*float64(i)
		if c > 0 {
			page.Add(draw.Box(draw.ChartRule, draw.Hatched, x(middle)-bin*0.4, p.y(float64(c)), bin*0.8, plotBottom-p.y(float64(c))))
		}
		if h.Expected != nil {
			curve = append(curve, draw.Point{X: x(middle), Y: p.y(h.Expected[i])})
		}
		if every := 1 + (len(h.Counts)-1)/12; i%every == 0 {
			page.Add(draw.Text{X: x(middle), Y: plotBottom + letters, Size: letters * 0.9, Words: Signed(unit.Deg(middle)), Anchor: draw.Centre})
		}
	}
	if len(curve) > 1 {
		page.Add(draw.Path{Points: curve, Pen: draw.ChartLine})
	}
	for _, v := range h.Limits {
		if at := x(v); at >= leftRoom && at <= plotRight {
			page.Add(draw.Line{X1: at, Y1: topRoom, X2: at, Y2: plotBottom, Pen: draw.Hidden})
		}
	}
	return page
}

func (h Histogram) describe() string {
	var bins []string
	for i, c := range h.Counts {
		if c > 0 {
			bins = append(bins, fmt.Sprintf("%s: %d", Signed(unit.Deg(h.First+h.Step*float64(i))), c))
		}
	}
	return "How often each value came. " + strings.Join(bins, "; ") + "."
}
