package sheet

import (
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// prepareHeight is the height of the row before the first bend.
const prepareHeight = 24.6

// prepare is the row before the first bend: what to look at first, how the
// pieces run, and where the bar's edge lies on the nose line.
func (s *sheet) prepare() block {
	height := prepareHeight
	if s.MirrorMark != nil {
		height += mirrorHeight
	}
	return solid(height, func(c canvas, b box) {
		c.add(draw.Bookmark{Y: b.y, Words: wordsPrepare, Level: 1})
		c.frame(b, draw.Outline)
		number, b := b.cutLeft(numberWidth)
		c.number(number, "0")
		c.line(draw.Thin, spot(number.right(), b.y), spot(number.right(), b.bottom()))
		nose, b := b.cutRight(48)
		c.line(draw.Thin, spot(nose.x, b.y), spot(nose.x, b.bottom()))
		s.noseSketch(c, nose.inset(1))
		s.ticks(c, b.inset(1))
	})
}

// ticks are the boxes to tick, and the words on the run.
func (s *sheet) ticks(c canvas, b box) {
	top, b := b.cutTop(lineStep * body)
	label, rest := top.cutLeft(bold.width(wordsPrepare) + 1.2)
	c.write(label, bold, wordsPrepare)
	c.write(rest, bold, onBrakeWords(s.Brake))
	if s.MirrorMark != nil {
		var line box
		line, b = b.cutBottom(mirrorHeight)
		s.mirrorLine(c, line)
	}
	run, b := b.cutBottom(lineStep * body)
	c.write(run, plain, runWords(s.Traveler))
	start, b := b.cutBottom(lineStep * body)
	c.write(start, plain, wordsStart)
	words := prepareWords(s.Brake)
	for i, row := range b.rows((len(words) + 1) / 2) {
		for k, cell := range row.columns(12.5, 14.5) {
			if n := 2*i + k; n < len(words) {
				c.tick(cell, words[n])
			}
		}
	}
}

// tick is a box to tick and what it stands for.
func (c canvas) tick(b box, words string) {
	sign, rest := b.cutLeft(6)
	c.frame(box{sign.x, sign.y + (sign.h-4)/2, 4, 4}, draw.Outline)
	c.write(rest, plain, words)
}

// noseSketch shows from above, much enlarged, how the bar's edge lies on the
// line, or where all are round its axis: a line on the wrong side of the edge is a
// wrong leg.
func (s *sheet) noseSketch(c canvas, b box) {
	picture, words := b.cutLeft(17)
	says := wordsNoseHalf
	if slices.ContainsFunc(s.Steps, func(t traveler.Step) bool { return t.ContactLine == 0 }) {
		c.edgeOnLine(picture, wordsBarSeen)
	} else {
		c.axisOverLine(picture)
		says = wordsAxisOver
	}
	_, words = words.cutLeft(1.5)
	top, words := words.cutTop(lineStep * smallest)
	c.write(top, smallBold, wordsNoseLine)
	c.flow(words, small, says)
}

// Sizes of the sketch in a step's row.
const (
	noseHeight = 9.0
	noseWidth  = 24.0
)

// lineFace is the face that the blank is marked on: the one that is drawn up.
const lineFace = "A"

// noseClose is the same sketch in a step's row. Half of the line shows, or none
// of it, where turning the part over has put the marked face underneath.
func (c canvas) noseClose(b box, step traveler.Step) {
	picture, words := b.cutLeft(noseWidth)
	_, words = words.cutLeft(1.5)
	if step.ContactLine != 0 {
		c.axisOverLine(picture)
		c.flow(words, small, wordsAxisOver)
		return
	}
	if step.FaceUp != lineFace {
		c.edgeOverHidden(picture)
		c.flow(words, small, wordsNoseUnder)
		return
	}
	c.edgeOnLine(picture, "")
	c.flow(words, small, wordsNoseShows)
}

// noseSmallWidth is the width of the sketch in a row that has no room for words.
const noseSmallWidth = 10.0

// noseSmall is noseClose without its words.
func (c canvas) noseSmall(b box, step traveler.Step) {
	if step.ContactLine != 0 {
		c.axisOverLine(b)
		return
	}
	if step.FaceUp != lineFace {
		c.edgeOverHidden(b)
		return
	}
	c.edgeOnLine(b, "")
}

// barEdge draws the bar from above in the upper part of a box, its front edge
// towards the operator, with a name if it is given one, and gives the metal in
// front of it.
func (c canvas) barEdge(b box, name string) (bar, metal box) {
	bar, metal = b.cutTop(b.h * 0.52)
	c.add(draw.Box(draw.Outline, draw.Grey, bar.x, bar.y, bar.w, bar.h))
	if name != "" {
		c.write(box{bar.x + 3, bar.y + 1.5, bar.w - 6, 5}, smallBold.centred(), name)
	}
	return bar, metal
}

// shownLine is how much of the width of the enlarged line shows.
const shownLine = 1.6

// edgeOnLine has half of the line in front of the bar and half under it.
func (c canvas) edgeOnLine(b box, name string) {
	bar, metal := c.barEdge(b, name)
	shown := min(shownLine, metal.h/2)
	c.fill(box{metal.x, metal.y, metal.w, shown}, draw.Black)
	c.line(draw.Hidden, spot(bar.x+0.5, bar.bottom()-shown), spot(bar.right()-0.5, bar.bottom()-shown))
}

// What is said of a round bar, whose front hangs in the air.
const (
	wordsAxisSetback = "AXIS SETBACK"
	wordsAxisOver    = "Axis over the line: marks on the bar's ends to the line's ends."
)

// axisOverLine has the axis of a round bar over the line, which goes on past its
// ends.
func (c canvas) axisOverLine(b box) {
	bar, line := b.inset(b.h/5), b.y+b.h/2
	c.add(draw.Box(draw.Outline, draw.Grey, bar.x, bar.y, bar.w, bar.h))
	c.line(draw.Hidden, spot(bar.x, line), spot(bar.right(), line))
	for _, end := range [][2]float64{{b.x, bar.x}, {bar.right(), b.right()}} {
		c.line(draw.NoseLine, spot(end[0], line), spot(end[1], line))
	}
}

// edgeOverHidden has the whole line under the metal.
func (c canvas) edgeOverHidden(b box) {
	_, metal := c.barEdge(b, "")
	for _, y := range []float64{metal.y, metal.y + min(shownLine, metal.h/2)} {
		c.line(draw.Hidden, spot(metal.x+0.5, y), spot(metal.right()-0.5, y))
	}
	c.line(draw.Thin, spot(metal.x, metal.bottom()), spot(metal.right(), metal.bottom()))
}
