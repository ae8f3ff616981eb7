package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"slices"
)

// The column of the sketch before the first bend: how wide it is, how much is left free
// around, how wide the sketch, and what is left free beside it.
const (
	noseColumn = 50.0
	noseBorder = 1.0
	noseSketch = 11.0
	noseGap    = 1.5
)

// noseSays is what is told beside the sketch, and whether any bar has an edge.
func noseSays(s *page.Set) (words string, edged bool) {
	if slices.ContainsFunc(s.Steps, func(t traveler.Step) bool { return t.ContactLine == 0 }) {
		return wordsNoseHalf, true
	}
	return wordsAxisOver, false
}

// noseSketchHeight is what the sketch needs for its words, with a little more: words that
// miss their room by what a float rounds off are set smaller.
func noseSketchHeight(s *page.Set) float64 {
	words, _ := noseSays(s)
	return 2*noseBorder + canvas.LineStep*canvas.Smallest + canvas.Small.Height(words, noseColumn-2*noseBorder-noseSketch-noseGap) + 0.1
}

// drawNoseSketch shows from above, much enlarged, how the bar's edge lies on the
// line, or where all are round its axis: a line on the wrong side of the edge is a
// wrong leg.
func drawNoseSketch(s *page.Set, c canvas.Canvas, b canvas.Box) {
	picture, words := b.CutLeft(noseSketch)
	says, edged := noseSays(s)
	if edged {
		drawEdgeOnLine(c, picture, wordsBarSeen)
	} else {
		drawAxisOverLine(c, picture)
	}
	_, words = words.CutLeft(noseGap)
	top, words := words.CutTop(canvas.LineStep * canvas.Smallest)
	c.Write(top, canvas.SmallBold, wordsNoseLine)
	c.Flow(words, canvas.Small, says)
}

// Sizes of the sketch in a step's row.
const (
	noseHeight = 9.0
	noseWidth  = 24.0
)

// lineFace is the face that the blank is marked on: the one that is drawn up.
const lineFace = "A"

// drawNoseClose is the same sketch in a step's row. Where turning the part over has
// put the marked face underneath, it is the line on the other one that shows.
func drawNoseClose(c canvas.Canvas, b canvas.Box, step traveler.Step) {
	picture, words := b.CutLeft(noseWidth)
	_, words = words.CutLeft(1.5)
	if step.ContactLine != 0 {
		drawAxisOverLine(c, picture)
		c.Flow(words, canvas.Small, wordsAxisOver)
		return
	}
	drawEdgeOnLine(c, picture, "")
	if step.FaceUp != lineFace {
		c.Flow(words, canvas.Small, wordsNoseFaceB)
		return
	}
	c.Flow(words, canvas.Small, wordsNoseShows)
}

// noseSmallWidth is the width of the sketch in a row that has no room for words.
const noseSmallWidth = 10.0

// drawNoseSmall is noseClose without its words.
func drawNoseSmall(c canvas.Canvas, b canvas.Box, step traveler.Step) {
	if step.ContactLine != 0 {
		drawAxisOverLine(c, b)
		return
	}
	drawEdgeOnLine(c, b, "")
}

// What is said of a round bar, whose front hangs in the air.
const (
	wordsAxisSetback = "AXIS SETBACK"
	wordsAxisOver    = "Axis over the line: marks on the bar's ends to the line's ends."
)

// drawAxisOverLine has the axis of a round bar over the line, which goes on past
// its ends.
func drawAxisOverLine(c canvas.Canvas, b canvas.Box) {
	bar, line := b.Inset(b.H/5), b.Y+b.H/2
	c.Add(draw.Box(draw.Outline, draw.Grey, bar.X, bar.Y, bar.W, bar.H))
	c.Line(draw.Hidden, canvas.Spot(bar.X, line), canvas.Spot(bar.Right(), line))
	for _, end := range [][2]float64{{b.X, bar.X}, {bar.Right(), b.Right()}} {
		c.Line(draw.NoseLine, canvas.Spot(end[0], line), canvas.Spot(end[1], line))
	}
}

// drawBarEdge draws the bar from above in the upper part of a box, its front edge
// towards the operator, with a name if it is given one, and gives the metal in
// front of it.
func drawBarEdge(c canvas.Canvas, b canvas.Box, name string) (bar, metal canvas.Box) {
	bar, metal = b.CutTop(b.H * 0.52)
	c.Add(draw.Box(draw.Outline, draw.Grey, bar.X, bar.Y, bar.W, bar.H))
	if name != "" {
		c.Write(canvas.Box{X: bar.X + 3, Y: bar.Y + 1.5, W: bar.W - 6, H: 5}, canvas.SmallBold.Centred(), name)
	}
	return bar, metal
}

// shownLine is how much of the width of the enlarged line shows.
const shownLine = 1.6

// drawEdgeOnLine has half of the line in front of the bar and half under it.
func drawEdgeOnLine(c canvas.Canvas, b canvas.Box, name string) {
	bar, metal := drawBarEdge(c, b, name)
	shown := min(shownLine, metal.H/2)
	c.Fill(canvas.Box{X: metal.X, Y: metal.Y, W: metal.W, H: shown}, draw.Black)
	c.Line(draw.Hidden, canvas.Spot(bar.X+0.5, bar.Bottom()-shown), canvas.Spot(bar.Right()-0.5, bar.Bottom()-shown))
}
