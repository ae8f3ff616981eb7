package sheet

import (
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/caution"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/view"
)

// stopTall is the type size of the stop angle: digits of 7.4 mm.
const stopTall = 10.2

// Heights and widths of a step's row.
const (
	leastRow   = 38.8
	mostRow    = 60.0
	viewsWidth = 64.0
	codeWidth  = 23.0
)

// row is one bend: what is done to the part before it, the bend itself, and all
// cautions that are true of it, the gravest first.
func row(s *page.Set, i int) page.Block {
	step := s.Steps[i]
	todo := handling(s, i)
	cautions := caution.Together(step.Cautions)
	over := todo.height(s.Body().W)
	for _, one := range cautions {
		over += caution.Height(one, s.Body().W)
	}
	least := over + max(leastRow, setHeight(s, step))
	return page.Block{Least: least, Most: max(least, mostRow+over), Row: true, Draw: func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: phrase.Bookmark(step), Level: 1})
		top, b := b.CutTop(todo.height(b.W))
		todo.draw(c, top)
		c.Frame(b, draw.Outline)
		for _, one := range slices.Backward(cautions) {
			var foot canvas.Box
			foot, b = b.CutBottom(caution.Height(one, b.W))
			c.Line(draw.Thin, canvas.Spot(foot.X, foot.Y), canvas.Spot(foot.Right(), foot.Y))
			caution.Draw(c, foot, one)
		}
		number, b := b.CutLeft(numberWidth)
		drawNumber(c, number, strconv.Itoa(step.Number))
		drawLay(c, drawFacing(c, number, step).Inset(0.8), step, gaugeFigure(s, step))
		c.Line(draw.Thin, canvas.Spot(number.Right(), number.Y), canvas.Spot(number.Right(), number.Bottom()))
		drawBend(s, c, b, i)
	}}
}

// setWidth is the width of the column of what to set and check.
func setWidth(s *page.Set) float64 {
	return s.Body().W - numberWidth - viewsWidth - codeColumn(s) - 2.5
}

// drawBend is the row without its number: the end views, what to set, and the code
// with the boxes for the angles.
func drawBend(s *page.Set, c canvas.Canvas, b canvas.Box, i int) {
	step := s.Steps[i]
	views, b := b.CutLeft(viewsWidth)
	code, b := b.CutRight(codeColumn(s))
	c.Line(draw.Thin, canvas.Spot(views.Right(), b.Y), canvas.Spot(views.Right(), b.Bottom()))
	c.Line(draw.Thin, canvas.Spot(code.X, b.Y), canvas.Spot(code.X, b.Bottom()))
	drawViews(s.In(), c, views.Inset(rowBorder), step)
	_, b = b.CutLeft(0.5)
	drawSet(s, c, b.Inset(rowBorder), step)
	if i < len(s.Codes.Steps) {
		own := s.Codes.Steps[i]
		own.Stamp(c, code.X+(code.W-own.Around())/2, code.Y+0.2)
		_, code = code.CutTop(own.Around() + 0.4)
	}
	drawPieces(s, c, code, "°")
}

// drawPieces are the boxes for what is measured on the first piece and the last, or on
// the only one.
func drawPieces(s *page.Set, c canvas.Canvas, b canvas.Box, unit string) {
	if s.Quantity == 1 {
		drawMeasured(c, b, wordsMeasuredNow, unit)
		return
	}
	halves := b.Rows(2)
	drawMeasured(c, halves[0], wordsFirst, unit)
	drawMeasured(c, halves[1], wordsLast, unit)
}

// codeColumn is wide enough for the widest code of the steps.
func codeColumn(s *page.Set) float64 {
	width := codeWidth
	for _, own := range s.Codes.Steps {
		width = max(width, own.Around()+0.8)
	}
	return width
}

// drawMeasured is where what was measured is written, in its unit.
func drawMeasured(c canvas.Canvas, b canvas.Box, label, unit string) {
	c.Line(draw.Thin, canvas.Spot(b.X, b.Y), canvas.Spot(b.Right(), b.Y))
	wide := canvas.Small.Width(label[strings.LastIndexByte(label, ' ')+1:]) + 0.5
	words, room := canvas.Box{X: b.X + 0.6, Y: b.Y + 0.3, W: b.W - 1.2, H: b.H - 0.3}.CutLeft(wide)
	c.Flow(words, canvas.Small, label)
	c.Write(room, canvas.Plain.Ranged(), unit)
}

// drawViews shows the bend before and after, the clamped side, and the nose
// setback with its boxes.
func drawViews(in unit.System, c canvas.Canvas, b canvas.Box, step traveler.Step) {
	setback, b := b.CutBottom(6.6)
	drawNoseSetback(in, c, setback, step)
	sides := []string{phrase.Clamped(step)}
	if !canvas.Small.Fits(sides[0], b.W) {
		sides = phrase.Sides(step)
	}
	caption, b := b.CutBottom(float64(len(sides)) * canvas.LineStep * canvas.Smallest)
	for i, line := range caption.Rows(len(sides)) {
		c.Write(line, canvas.Small, sides[i])
	}
	top, b := b.CutTop(canvas.LineStep * canvas.Smallest)
	if step.Bench != nil {
		drawBench(c, b, step)
	} else { // an older traveler
		drawPair(c, b, func(wide, high float64) (before, after *draw.Page) { return view.Pair(step, wide, high) })
		c.Write(top, canvas.Small, wordsBefore)
	}
	c.Write(top, canvas.Small.Ranged(), wordsAfter)
	if step.Tight { // between the two, where no long name can push it off the end
		c.Write(top, canvas.SmallBold.Centred(), phrase.Tight(in, step))
	}
}

// afterWidth is the width of the end view beside the picture of the bend.
const afterWidth = 23.0

// drawBench shows the part half bent in the brake, and the end view when it is bent.
func drawBench(c canvas.Canvas, b canvas.Box, step traveler.Step) {
	end, room := b.CutRight(afterWidth)
	_, room = room.CutRight(1)
	c.Picture(view.Bench(step, room.W, room.H, nameSize), room.X, room.Y)
	_, after := view.Pair(step, end.W, end.H)
	c.Picture(after, end.X, end.Y)
}

// nameSize is the size of the names in a picture.
const nameSize = canvas.Smallest

// drawPair shows what is before and what is after, with an arrow between them.
func drawPair(c canvas.Canvas, b canvas.Box, pair func(wide, high float64) (before, after *draw.Page)) {
	half := (b.W - 4) / 2
	before, after := pair(half, b.H)
	c.Picture(before, b.X, b.Y)
	c.Picture(after, b.Right()-half, b.Y)
	mid := b.Y + b.H/2
	c.Arrow(draw.Outline, canvas.Spot(b.X+half+0.4, mid), canvas.Spot(b.Right()-half-0.2, mid))
}

// drawNoseSetback is the nose setback and boxes for what was set at both ends: unequal
// ends bend a taper. A round bar is set by its axis.
func drawNoseSetback(in unit.System, c canvas.Canvas, b canvas.Box, step traveler.Step) {
	words, setback := wordsNoseSetback, step.NoseSetback
	if step.ContactLine != 0 {
		words, setback = wordsAxisSetback, step.ContactLine
	}
	label, b := b.CutLeft(canvas.SmallBold.Width(words) + 1)
	c.Write(label, canvas.SmallBold, words)
	right, b := b.CutRight(12.5)
	left, value := b.CutRight(13)
	c.Write(value, canvas.Strongly, in.Figure(setback))
	drawWriteIn(c, left, "L")
	drawWriteIn(c, right, "R")
}

// drawWriteIn is a box to write in with its letter in front.
func drawWriteIn(c canvas.Canvas, b canvas.Box, label string) {
	_, b = b.CutLeft(0.8)
	letter, room := b.CutLeft(2.9)
	c.Write(letter, canvas.SmallBold, label)
	c.Frame(room.Middle(room.W, room.H-0.8), draw.Grid)
}

// stopHeight is the height of the stop.
const stopHeight = 10.8

// setHeight is what the column of what is set needs.
func setHeight(s *page.Set, step traveler.Step) float64 {
	width := setWidth(s)
	return 2*rowBorder + stopHeight + barNeeds(s, step, width).height() + gaugeTall(s, step, width) + checksHeight(s.In(), step, width)
}

// rowBorder is the free edge around what stands in a column of a row.
const rowBorder = 1.0

// drawSet is what the operator sets and checks: stop, bar, nose line and size.
// Where the springback figure comes from is told when the row has room for it,
// and with more room the bar's edge on the nose line is drawn large, with words;
// else it stands small behind the bar's name.
func drawSet(s *page.Set, c canvas.Canvas, b canvas.Box, step traveler.Step) {
	stop, b := b.CutTop(stopHeight)
	drawStop(s, c, stop, step)
	check, b := b.CutBottom(checksHeight(s.In(), step, b.W))
	drawChecks(s.In(), c, check, step)
	gauge, b := b.CutBottom(gaugeTall(s, step, b.W))
	drawGauge(s, c, gauge, step)
	needs := barNeeds(s, step, b.W)
	barHeight := needs.height()
	if b.H-barHeight > canvas.LineStep*canvas.Smallest {
		var from canvas.Box
		from, b = b.CutTop(canvas.LineStep * canvas.Smallest)
		words := phrase.Springback(s.Brake, step)
		if !canvas.Small.Fits(words, from.W) {
			words, _, _ = strings.Cut(words, ":")
		}
		c.Write(from, canvas.Small, words)
	}
	small := b.H-barHeight <= noseHeight
	if !small {
		var nose canvas.Box
		nose, b = b.CutBottom(noseHeight)
		drawNoseClose(c, nose.Inset(0.4), step)
	}
	_, b = b.CutTop(max(0, min(4, (b.H-barHeight)/2)))
	free := noseSmallWidth + 0.5
	if !small || !canvas.Strongly.Fits(needs.words, b.W-labelWidth()-free) {
		free = 0 // no word of the bar is given up for it
	} else {
		drawNoseSmall(c, canvas.Box{X: b.Right() - noseSmallWidth, Y: b.Y + 0.2, W: noseSmallWidth, H: barName - 0.6}, step)
	}
	drawBar(s.In(), c, b, step, needs, free)
}

// drawStop is the one number for the stop, in the scale that is painted on this
// brake, and the angle the part is to have.
func drawStop(s *page.Set, c canvas.Canvas, b canvas.Box, step traveler.Step) {
	big := canvas.Lettering{Face: draw.Bold, Size: stopTall, Least: stopTall}
	label, b := b.CutLeft(canvas.Strongly.Width(wordsStop) + 1.5)
	word, scale := label.CutTop(6)
	c.Write(word, canvas.Strongly, wordsStop)
	c.Write(scale, canvas.Small, phrase.ScaleReads(s.Brake.Reads))
	value, b := b.CutLeft(big.Width(phrase.Angle(step.Stop)) + 0.1)
	c.Write(value, big, phrase.Angle(step.Stop))
	_, b = b.CutLeft(1.5)
	rows := b.Rows(2)
	c.Write(rows[0], canvas.Largely.Of(13*canvas.MillimetresPerPoint), phrase.Target(step))
	c.Write(rows[1], canvas.Plain.Of(11*canvas.MillimetresPerPoint), phrase.Opening(step))
}
