package sheet

import (
	"strconv"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/view"
)

// leastFlatten is the height that the pictures of a hem being flattened and the
// boxes need; what is done may need more. mostFlatten is how much more is of use.
const (
	leastFlatten = 33.0
	mostFlatten  = 6.0
)

// flattenRow is the second doing of a hem, in a row of its own under that in
// which it is turned up: what is done in order, with the hem before and after,
// and its width to check.
func flattenRow(s *page.Set, i int) page.Block {
	step := s.Steps[i]
	least := max(leastFlatten, flattenTall(s.In(), *step.Flattening, s.Body().W-numberWidth-viewsWidth-codeColumn(s)-flattenEdge))
	return page.Block{Least: least, Most: least + mostFlatten, Row: true, Draw: func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		number, b := b.CutLeft(numberWidth)
		drawNumber(c, number, strconv.Itoa(step.Number)+"a")
		drawFacing(c, number, step)
		views, b := b.CutLeft(viewsWidth)
		boxes, b := b.CutRight(codeColumn(s))
		for _, x := range []float64{number.Right(), views.Right(), boxes.X} {
			c.Line(draw.Thin, canvas.Spot(x, b.Y), canvas.Spot(x, b.Bottom()))
		}
		drawPair(c, views.Inset(rowBorder), func(wide, high float64) (before, after *draw.Page) { // begun, and flat under the bar
			return view.FlatPair(*step.Flattening, wide, high)
		})
		_, b = b.CutLeft(0.5)
		drawFlattenSteps(s.In(), c, b.Inset(rowBorder), *step.Flattening)
		drawPieces(s, c, boxes, s.In().String())
	}}
}

// flattenEdge is what a column of words leaves free at its sides.
const flattenEdge = 2.5

// flattenTall is how high the words of a hem's flattening are in a column.
func flattenTall(in unit.System, f traveler.Flattening, width float64) float64 {
	tall := flattenEdge + checkHeight + canvas.LineStep*canvas.Strongly.Size
	for _, words := range phrase.FlattenSteps(in, f) {
		tall += canvas.Small.Height(words, width)
	}
	return tall
}

// drawFlattenSteps is what is done, and the size to check when it is done.
func drawFlattenSteps(in unit.System, c canvas.Canvas, b canvas.Box, f traveler.Flattening) {
	check, b := b.CutBottom(checkHeight)
	label, check := check.CutLeft(labelWidth())
	c.Write(label, canvas.SmallBold, wordsCheck)
	words, check := check.CutLeft(min(canvas.Plain.Width(phrase.Hem(f))+1.5, check.W-canvas.Strongly.Width(in.Figure(f.Width))))
	c.Write(words, canvas.Plain, phrase.Hem(f))
	c.Write(check, canvas.Strongly, in.Figure(f.Width))
	title, b := b.CutTop(canvas.LineStep * canvas.Strongly.Size)
	c.Write(title, canvas.Strongly, phrase.Flatten(in, f))
	for _, words := range phrase.FlattenSteps(in, f) {
		var line canvas.Box
		line, b = b.CutTop(canvas.Small.Height(words, b.W))
		c.Flow(line, canvas.Small, words)
	}
}
