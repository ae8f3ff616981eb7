package sheet

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
)

// prepareHeight is the height of the row before the first bend.
const prepareHeight = 24.6 + canvas.LineStep*canvas.Body

// prepare is the row before the first bend: what to look at first, how the
// pieces run, and where the bar's edge lies on the nose line.
func prepare(s *page.Set) page.Block {
	height := prepareHeight
	if s.MirrorMark != nil {
		height += mirrorHeight
	}
	return page.Solid(height, func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: wordsPrepare, Level: 1})
		c.Frame(b, draw.Outline)
		number, b := b.CutLeft(numberWidth)
		drawNumber(c, number, "0")
		c.Line(draw.Thin, canvas.Spot(number.Right(), b.Y), canvas.Spot(number.Right(), b.Bottom()))
		nose, b := b.CutRight(48)
		c.Line(draw.Thin, canvas.Spot(nose.X, b.Y), canvas.Spot(nose.X, b.Bottom()))
		drawNoseSketch(c, nose.Inset(1))
		drawTicks(s, c, b.Inset(1))
	})
}

// drawTicks are the boxes to tick, and the words on the run.
func drawTicks(s *page.Set, c canvas.Canvas, b canvas.Box) {
	top, b := b.CutTop(canvas.LineStep * canvas.Body)
	label, rest := top.CutLeft(canvas.Bold.Width(wordsPrepare) + 1.2)
	c.Write(label, canvas.Bold, wordsPrepare)
	c.Write(rest, canvas.Bold, phrase.OnBrake(s.Brake))
	if s.MirrorMark != nil {
		var line canvas.Box
		line, b = b.CutBottom(mirrorHeight)
		drawMirrorLine(s, c, line)
	}
	run, b := b.CutBottom(canvas.LineStep * canvas.Body)
	c.Write(run, canvas.Plain, phrase.Run(s.Traveler))
	start, b := b.CutBottom(canvas.LineStep * canvas.Body)
	c.Write(start, canvas.Plain, wordsStart)
	pencil, b := b.CutBottom(canvas.LineStep * canvas.Body)
	c.Write(pencil, canvas.Plain, phrase.Pencil(s.Traveler))
	words := phrase.Prepare(s.Brake)
	for i, row := range b.Rows((len(words) + 1) / 2) {
		for k, cell := range row.Columns(12.5, 14.5) {
			if n := 2*i + k; n < len(words) {
				page.Tick(c, cell, words[n])
			}
		}
	}
}

// mirrorHeight is what the mirror check takes of the row before the first bend.
const mirrorHeight = canvas.LineStep*canvas.Body + 0.6

// drawMirrorLine names the marked feature: a blank laid down wrong way up is seen
// before it is bent.
func drawMirrorLine(s *page.Set, c canvas.Canvas, b canvas.Box) {
	mark, words := b.CutLeft(2*sign.MirrorReach + 2)
	sign.Mirror(c, mark.Centre())
	c.Write(words, canvas.Bold, s.MirrorCheck)
}
