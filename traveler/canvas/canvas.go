// Package canvas sets words, strokes and boxes on a page of marks.
//
// A page is laid out by cutting its box into smaller ones and filling those, so
// that what is drawn in two boxes cannot overlap. Words never leave their box: they
// are shrunk as far as their lettering allows, then cut. Lengths are millimetres on
// paper, from the top left corner.
package canvas

import "brakeside/traveler/draw"

// Canvas is a page being drawn.
type Canvas struct{ Page *draw.Page }

// Add puts marks on the page, over those that it has.
func (c Canvas) Add(marks ...draw.Mark) { c.Page.Add(marks...) }

// Write sets one line of words in a box, in the middle of its height; the words
// never leave it.
func (c Canvas) Write(b Box, l Lettering, words string) {
	l, words = l.Fitted(words, b.W)
	if words == "" {
		return
	}
	c.Add(l.At(b, words))
}

// Flow sets words in lines from the top of a box. What does not fit is shrunk,
// then cut. It gives the height it took.
func (c Canvas) Flow(b Box, l Lettering, words string) float64 {
	l, lines := l.wrapped(b, words)
	for i, line := range lines {
		row := Box{b.X, b.Y + float64(i)*LineStep*l.Size, b.W, LineStep * l.Size}
		c.Add(l.At(row, line))
	}
	return float64(len(lines)) * LineStep * l.Size
}

// Frame draws the edge of a box.
func (c Canvas) Frame(b Box, pen draw.Pen) { c.Add(draw.Box(pen, draw.NoFill, b.X, b.Y, b.W, b.H)) }

// Fill blackens or clears a box.
func (c Canvas) Fill(b Box, fill draw.Fill) { c.Add(draw.Box(draw.NoPen, fill, b.X, b.Y, b.W, b.H)) }

// Spot is a place on the page.
func Spot(x, y float64) draw.Point { return draw.Point{X: x, Y: y} }

// Line draws a stroke.
func (c Canvas) Line(pen draw.Pen, from, to draw.Point) {
	c.Add(draw.Line{X1: from.X, Y1: from.Y, X2: to.X, Y2: to.Y, Pen: pen})
}

// Arrow draws a stroke with a head at its end.
func (c Canvas) Arrow(pen draw.Pen, from, to draw.Point) {
	c.Add(draw.Line{X1: from.X, Y1: from.Y, X2: to.X, Y2: to.Y, Pen: pen, Arrows: draw.AtEnd})
}

// Picture puts the marks of a drawing on the page, its top left corner in the
// top left corner of a box.
func (c Canvas) Picture(p *draw.Page, x, y float64) { c.Add(draw.Moved(p.Marks, x, y)...) }
