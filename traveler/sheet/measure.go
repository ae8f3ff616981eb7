package sheet

import (
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// gaugeHeight is the height of where the nose line lies, on one line.
const gaugeHeight = 5.2

// gaugeTall is its height in a column of a width: what has no room on one line is
// set on as many as it needs.
func gaugeTall(s *page.Set, step traveler.Step, width float64) float64 {
	tall := max(gaugeHeight, canvas.Small.Height(phrase.Gauge(s.In(), s.Blank, step), width-gaugeValue(s, step))+0.6)
	if step.BackStop != 0 {
		tall += gaugeHeight
	}
	return tall
}

// gaugeValue is the width of the label and the distance.
func gaugeValue(s *page.Set, step traveler.Step) float64 {
	width := canvas.SmallBold.Width(wordsNoseLine) + 1.5
	if step.Gauge != 0 {
		width += canvas.Strongly.Width(phrase.GaugeFigure(s.In(), s.Blank, step)) + 1.5
	}
	return width
}

// drawGauge is where the nose line lies: how far from what, where the drawing of
// the blank has it, and where the back stop is set for it.
func drawGauge(s *page.Set, c canvas.Canvas, b canvas.Box, step traveler.Step) {
	if step.BackStop != 0 {
		var stop canvas.Box
		stop, b = b.CutBottom(gaugeHeight)
		drawBackStop(s.In(), c, stop, step)
	}
	front, b := b.CutLeft(gaugeValue(s, step))
	label, value := front.CutLeft(canvas.SmallBold.Width(wordsNoseLine) + 1.5)
	c.Write(label, canvas.SmallBold, wordsNoseLine)
	if step.Gauge != 0 {
		c.Write(value, canvas.Strongly, phrase.GaugeFigure(s.In(), s.Blank, step))
	}
	words := phrase.Gauge(s.In(), s.Blank, step)
	if b.H <= gaugeHeight {
		c.Write(b, canvas.Plain, words)
		return
	}
	c.Flow(b.Middle(b.W, b.H-0.6), canvas.Small, words)
}

// drawBackStop is how far behind the hinge line the face of the back stop is set.
func drawBackStop(in unit.System, c canvas.Canvas, b canvas.Box, step traveler.Step) {
	label, b := b.CutLeft(canvas.SmallBold.Width(wordsBackStop) + 1.5)
	c.Write(label, canvas.SmallBold, wordsBackStop)
	value, b := b.CutLeft(canvas.Strongly.Width(in.Figure(step.BackStop)) + 1.5)
	c.Write(value, canvas.Strongly, in.Figure(step.BackStop))
	c.Write(b, canvas.Plain, phrase.FromHinge)
}

// checkHeight is the height of one line of sizes to check.
const checkHeight = 5.8

// checksHeight is the height of all of them in a column of a width.
func checksHeight(in unit.System, step traveler.Step, width float64) float64 {
	sum := 0.0
	for _, line := range checkLines(in, step, width) {
		sum += lineHeight(in, line, width-labelWidth())
	}
	return max(checkHeight, sum)
}

// lineHeight is the height of a line of sizes in a width: what is too long for it
// even alone takes more lines.
func lineHeight(in unit.System, line []phrase.Check, width float64) float64 {
	return linesOf(checkHeight, canvas.Small, line[0].Words, width-checkBesideWords(in, line[0]))
}

// checkLines lays the sizes to check on lines, as many on one as have room.
func checkLines(in unit.System, step traveler.Step, width float64) [][]phrase.Check {
	var out [][]phrase.Check
	free := 0.0
	for _, check := range phrase.Checks(step) {
		if step.Flattening != nil && check.Kind == traveler.HemCheck {
			continue // measured when it is flat: it stands in the row of the flattening
		}
		wide := checkWidth(in, check)
		if n := len(out); n > 0 && wide <= free {
			out[n-1] = append(out[n-1], check)
			free -= wide
			continue
		}
		out, free = append(out, []phrase.Check{check}), width-labelWidth()-wide
	}
	return out
}

// Widths of a size to check.
const (
	checkBox   = 12.0
	checkSpace = 1.5
)

// checkWidth is the room that one size needs.
func checkWidth(in unit.System, check phrase.Check) float64 {
	return canvas.Small.Width(check.Words) + checkBesideWords(in, check)
}

// checkBesideWords is what stands beside its words: the figure and its box.
func checkBesideWords(in unit.System, check phrase.Check) float64 {
	return canvas.Strongly.Width(in.Figure(check.Size)) + checkBox + 2*checkSpace
}

// drawChecks are the sizes to measure after this bend, each with a box to write it
// in.
func drawChecks(in unit.System, c canvas.Canvas, b canvas.Box, step traveler.Step) {
	lines := checkLines(in, step, b.W)
	label, b := b.CutLeft(labelWidth())
	if len(lines) > 0 {
		label, _ = label.CutTop(checkHeight)
		c.Write(label, canvas.SmallBold, wordsCheck)
	}
	for _, line := range lines {
		var row canvas.Box
		row, b = b.CutTop(lineHeight(in, line, b.W))
		shares := make([]float64, len(line))
		for i, check := range line {
			shares[i] = checkWidth(in, check)
		}
		for i, cell := range row.Columns(shares...) {
			drawCheck(in, c, cell, line[i])
		}
	}
}

// drawCheck is one size with its box.
func drawCheck(in unit.System, c canvas.Canvas, b canvas.Box, check phrase.Check) {
	room, b := b.CutRight(checkBox)
	c.Frame(room.Middle(room.W-0.5, 5.4), draw.Grid)
	_, b = b.CutRight(0.5)
	if check.Size != 0 {
		var value canvas.Box
		value, b = b.CutRight(canvas.Strongly.Width(in.Figure(check.Size)) + checkSpace)
		c.Write(value, canvas.Strongly, in.Figure(check.Size))
	}
	c.Write(b, canvas.Plain, check.Words)
}
