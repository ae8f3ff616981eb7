// Package chart draws readings as a run chart: the error of each bend in the
// order the bends were made, with the tolerance and the mean.
//
// A chart is a drawing list like the printed sheet, so it goes to a screen or
// to paper. Nothing in it is told by colour alone: a reading in tolerance is a
// ring, one outside a black square.
package chart

import (
	"fmt"
	"math"
	"strconv"

	"brakeside/calc/spc"
	"brakeside/calc/unit"
	"brakeside/traveler/draw"
)

// Reading is one point of a run chart.
type Reading struct {
	Error     unit.Deg // measured less target, as bend angles: + is over-bent
	Tolerance unit.Deg // largest error allowed either way
}

// outside reports whether the error is larger than the tolerance.
func (r Reading) outside() bool {
	return math.Abs(float64(r.Error)) > float64(r.Tolerance)+1e-9
}

// Run is what a run chart shows, oldest reading first.
type Run struct {
	Title    string
	Readings []Reading
	Mean     unit.Deg // of the readings that are judged, drawn as a line
	First    int      // number of the first reading shown, counted from 1
}

// The paper of a chart, in millimetres: its size and the room for the scales.
const (
	width, height            = 180.0, 72.0
	leftRoom, rightRoom      = 17.0, 22.0
	topRoom, bottomRoom      = 5.0, 12.0
	plotWidth, plotHeight    = width - leftRoom - rightRoom, height - topRoom - bottomRoom
	letters                  = 4.2 // size of the type
	ring, square             = 1.1, 2.2
	mostRings                = 90 // more readings than this are drawn smaller
	middle                   = topRoom + plotHeight/2
	plotRight, plotBottom    = leftRoom + plotWidth, topRoom + plotHeight
	labelDrop, labelDistance = letters * 0.36, 1.5
)

// Draw gives the run chart as a page. A run without readings is a page that
// says so.
func Draw(run Run) *draw.Page {
	page := &draw.Page{Title: run.Title, Description: describe(run), Width: width, Height: height}
	if len(run.Readings) == 0 {
		page.Add(draw.Text{X: width / 2, Y: height / 2, Size: letters, Words: "No readings yet", Anchor: draw.Centre})
		return page
	}
	p := plot{run: run, limit: scaleFor(run)}
	page.Add(p.frame()...)
	page.Add(p.tolerance(1), p.tolerance(-1), p.mean())
	page.Add(p.names()...)
	page.Add(p.line())
	for i := range run.Readings {
		page.Add(p.mark(i))
	}
	return page
}

// describe is the chart in a sentence, for people who cannot see it.
func describe(run Run) string {
	var outside int
	for _, r := range run.Readings {
		if r.outside() {
			outside++
		}
	}
	return fmt.Sprintf("Run chart of %d angle errors in degrees, oldest first: mean %s, %d outside the tolerance.",
		len(run.Readings), Signed(run.Mean), outside)
}

// Signed prints an error in degrees with one decimal and always with its sign;
// an error that rounds to nothing has none.
func Signed(a unit.Deg) string { return SignedTo(a, 1) }

// SignedTo is Signed with so many decimals: two where a limit is at stake.
func SignedTo(a unit.Deg, decimals int) string {
	text := a.Text(decimals)
	if a > 0 && text != unit.Deg(0).Text(decimals) {
		return "+" + text
	}
	return text
}

// scaleFor gives the largest error the scale must show: a round number not
// less than any error or tolerance.
func scaleFor(run Run) float64 {
	most := 0.1
	for _, r := range run.Readings {
		most = math.Max(most, math.Max(math.Abs(float64(r.Error)), float64(r.Tolerance)))
	}
	power := math.Pow(10, math.Floor(math.Log10(most)))
	for _, times := range []float64{1, 2, 3, 4, 6, 10} {
		if times*power >= most*1.05 {
			return times * power
		}
	}
	return 20 * power
}

// plot places the readings of one run on the page.
type plot struct {
	run   Run
	limit float64
}

func (p plot) x(i int) float64 {
	if len(p.run.Readings) == 1 {
		return leftRoom + plotWidth/2
	}
	inset := math.Min(plotWidth/float64(2*len(p.run.Readings)), 6)
	return leftRoom + inset + (plotWidth-2*inset)*float64(i)/float64(len(p.run.Readings)-1)
}

func (p plot) y(a unit.Deg) float64 { return middle - float64(a)/p.limit*plotHeight/2 }

// frame gives the scale at the left, the line of no error and the numbers of
// the first and last reading.
func (p plot) frame() []draw.Mark {
	marks := []draw.Mark{
		draw.Box(draw.ChartRule, draw.NoFill, leftRoom, topRoom, plotWidth, plotHeight),
		draw.Line{X1: leftRoom, Y1: middle, X2: plotRight, Y2: middle, Pen: draw.ChartRule},
	}
	for _, share := range []float64{-1, -0.5, 0, 0.5, 1} {
		value := unit.Deg(share * p.limit)
		y := p.y(value)
		marks = append(marks,
			draw.Line{X1: leftRoom - 1.2, Y1: y, X2: leftRoom, Y2: y, Pen: draw.ChartRule},
			draw.Text{X: leftRoom - 2, Y: y + labelDrop, Size: letters, Words: p.tick(value), Anchor: draw.Right})
	}
	return append(marks, p.numbers()...)
}

// tick prints a value of the scale with the decimals the scale needs.
func (p plot) tick(a unit.Deg) string {
	if p.limit >= 1 {
		return Signed(a)
	}
	text := a.Text(2)
	if a > 0 {
		text = "+" + text
	}
	return text
}

func (p plot) numbers() []draw.Mark {
	last := len(p.run.Readings) - 1
	y := plotBottom + letters + 1
	first := draw.Text{X: p.x(0), Y: y, Size: letters, Words: strconv.Itoa(p.run.First), Anchor: draw.Centre}
	caption := draw.Text{X: leftRoom + plotWidth/2, Y: y, Size: letters, Words: "reading, in the order made", Anchor: draw.Centre}
	if last == 0 {
		caption.Words = "reading " + strconv.Itoa(p.run.First)
		return []draw.Mark{caption}
	}
	end := draw.Text{X: p.x(last), Y: y, Size: letters, Words: strconv.Itoa(p.run.First + last), Anchor: draw.Centre}
	return []draw.Mark{first, caption, end}
}

// tolerance draws the limit on one side as steps: it may differ from one
// reading to the next.
func (p plot) tolerance(side unit.Deg) draw.Mark {
	points := []draw.Point{{X: leftRoom, Y: p.y(side * p.run.Readings[0].Tolerance)}}
	for i, r := range p.run.Readings {
		y := p.y(side * r.Tolerance)
		if last := points[len(points)-1]; last.Y != y {
			between := (p.x(i-1) + p.x(i)) / 2
			points = append(points, draw.Point{X: between, Y: last.Y}, draw.Point{X: between, Y: y})
		}
	}
	points = append(points, draw.Point{X: plotRight, Y: points[len(points)-1].Y})
	return draw.Path{Points: points, Pen: draw.Hidden}
}

func (p plot) mean() draw.Mark {
	y := p.y(p.run.Mean)
	return draw.Line{X1: leftRoom, Y1: y, X2: plotRight, Y2: y, Pen: draw.BendUp}
}

// names writes what the lines are at their right ends, moved apart where they
// would print over one another.
func (p plot) names() []draw.Mark {
	last := p.run.Readings[len(p.run.Readings)-1]
	upper, lower, mean := p.y(last.Tolerance), p.y(-last.Tolerance), p.y(p.run.Mean)
	switch {
	case mean < upper:
		mean = math.Min(mean, upper-letters)
	case mean > lower:
		mean = math.Max(mean, lower+letters)
	default:
		mean = math.Min(math.Max(mean, upper+letters), lower-letters)
	}
	name := func(y float64, words string) draw.Mark {
		return draw.Text{X: plotRight + labelDistance, Y: y + labelDrop, Size: letters, Words: words}
	}
	return []draw.Mark{name(upper, "tol. +"), name(mean, "mean"), name(lower, "tol. -")}
}

func (p plot) line() draw.Mark {
	points := make([]draw.Point, len(p.run.Readings))
	for i, r := range p.run.Readings {
		points[i] = draw.Point{X: p.x(i), Y: p.y(r.Error)}
	}
	return draw.Path{Points: points, Pen: draw.ChartLine}
}

func (p plot) mark(i int) draw.Mark {
	r, size := p.run.Readings[i], 1.0
	if len(p.run.Readings) > mostRings {
		size = 0.6
	}
	x, y := p.x(i), p.y(r.Error)
	if r.outside() {
		side := square * size
		return draw.Box(draw.ChartRule, draw.Black, x-side/2, y-side/2, side, side)
	}
	return draw.Arc{X: x, Y: y, Radius: ring * size, From: 0, To: 360, Pen: draw.ChartRule, Fill: draw.Paper}
}

// Summed draws a run with its mean, and says what the marks mean.
func Summed(run Run, errors []float64) (*draw.Page, string, error) {
	words := "Nothing to draw yet."
	if len(errors) > 0 {
		sum, err := spc.Summarize(errors)
		if err != nil {
			return nil, "", fmt.Errorf("run chart: %w", err)
		}
		run.Mean = unit.Deg(sum.Mean)
		words = fmt.Sprintf("n = %d. Rings are in tolerance, black squares are not; the dash-dotted line is the mean.", sum.N)
	}
	return Draw(run), words, nil
}
