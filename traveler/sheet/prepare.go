package sheet

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
)

// Sizes of the row before the first bend, without its sentences.
const (
	prepareHeight = 16.2
	noseColumn    = 48.0
)

// sentences are what is said before the first bend.
func sentences(s *page.Set) []string {
	return []string{wordsStart, phrase.Pencil(s.Traveler), phrase.Run(s.Traveler)}
}

// prepare is the row before the first bend: what to look at first, how the
// pieces run, and where the bar's edge lies on the nose line.
func prepare(s *page.Set) page.Block {
	width := s.Body().W - numberWidth - noseColumn - 2
	height := prepareHeight + mirrorHeight(s, width)
	for _, words := range sentences(s) {
		height += canvas.Plain.Height(words, width)
	}
	return page.Solid(height, func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: wordsPrepare, Level: 1})
		c.Frame(b, draw.Outline)
		number, b := b.CutLeft(numberWidth)
		drawNumber(c, number, "0")
		c.Line(draw.Thin, canvas.Spot(number.Right(), b.Y), canvas.Spot(number.Right(), b.Bottom()))
		nose, b := b.CutRight(noseColumn)
		c.Line(draw.Thin, canvas.Spot(nose.X, b.Y), canvas.Spot(nose.X, b.Bottom()))
		drawNoseSketch(s, c, nose.Inset(1))
		drawTicks(s, c, b.Inset(1))
	})
}

// drawTicks are the boxes to tick, then the sentences and the mirror check.
func drawTicks(s *page.Set, c canvas.Canvas, b canvas.Box) {
	top, b := b.CutTop(canvas.LineStep * canvas.Body)
	label, rest := top.CutLeft(canvas.Bold.Width(wordsPrepare) + 1.2)
	c.Write(label, canvas.Bold, wordsPrepare)
	c.Write(rest, canvas.Bold, phrase.OnBrake(s.Brake))
	if s.MirrorMark != nil {
		var line canvas.Box
		line, b = b.CutBottom(mirrorHeight(s, b.W))
		drawMirrorLine(s, c, line)
	}
	said := sentences(s)
	for i := len(said) - 1; i >= 0; i-- {
		var line canvas.Box
		line, b = b.CutBottom(canvas.Plain.Height(said[i], b.W))
		c.Flow(line, canvas.Plain, said[i])
	}
	words := phrase.Prepare(s.Brake)
	for i, row := range b.Rows((len(words) + 1) / 2) {
		for k, cell := range row.Columns(12.5, 14.5) {
			if n := 2*i + k; n < len(words) {
				page.Tick(c, cell, words[n])
			}
		}
	}
}

// mirrorWidth is the width of the lozenge in front of the mirror check.
const mirrorWidth = 2*sign.MirrorReach + 2

// mirrorHeight is what the mirror check takes of the row before the first bend.
func mirrorHeight(s *page.Set, width float64) float64 {
	if s.MirrorMark == nil {
		return 0
	}
	return canvas.Bold.Height(s.MirrorCheck, width-mirrorWidth) + 0.6
}

// drawMirrorLine names the marked feature: a blank laid down wrong way up is seen
// before it is bent.
func drawMirrorLine(s *page.Set, c canvas.Canvas, b canvas.Box) {
	mark, words := b.CutLeft(mirrorWidth)
	sign.Mirror(c, mark.Centre())
	c.Write(words, canvas.Bold, s.MirrorCheck)
}
