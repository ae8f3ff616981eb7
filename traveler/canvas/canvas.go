// Package canvas sets words, strokes and boxes on a page of marks.
//
// A page is laid out by cutting its box into smaller ones and filling those, so
// that what is drawn in two boxes cannot overlap. Words never leave their box, and
// are not cut as long as they can be read: they are shrunk as far as their
// lettering allows, then broken into the lines that the box has room for, then set
// smaller still. Lengths are millimetres on paper, from the top left corner.
package canvas

import "brakeside/traveler/draw"

// Canvas is a page being drawn.
type Canvas struct{ Page *draw.Page }

// Add puts marks on the page, over those that it has.
func (c Canvas) Add(marks ...draw.Mark) { c.Page.Add(marks...) }

// Write sets words in the middle of the height of a box, on one line if its
// lettering can be shrunk to that.
func (c Canvas) Write(b Box, l Lettering, words string) {
	if l.Fits(words, b.W) {
		if l, words = l.fitted(words, b.W); words != "" {
			c.Add(l.At(b, words))
		}
		return
	}
	l, lines := l.wrapped(b, words)
	height := float64(len(lines)) * LineStep * l.Size
	c.lines(Box{b.X, b.Y + (b.H-height)/2, b.W, height}, l, lines)
}

// Flow sets words in lines from the top of a box. It gives the height it took.
func (c Canvas) Flow(b Box, l Lettering, words string) float64 {
	l, lines := l.wrapped(b, words)
	c.lines(b, l, lines)
	return float64(len(lines)) * LineStep * l.Size
}

// lines sets lines from the top of a box.
func (c Canvas) lines(b Box, l Lettering, lines []string) {
	for i, line := range lines {
		c.Add(l.At(Box{b.X, b.Y + float64(i)*LineStep*l.Size, b.W, LineStep * l.Size}, line))
	}
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
