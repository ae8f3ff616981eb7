package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
	"slices"
)

// Sizes of the row before the first bend, without its sentences.
const (
	prepareTitle = 5.0
	tickLine     = 4.8
)

// sentences are what is said before the first bend.
func sentences(s *page.Set) []string {
	said := []string{phrase.Pencil(s.Traveler), wordsStart, phrase.Run(s.Traveler)}
	if slices.ContainsFunc(s.Steps, func(t traveler.Step) bool { return t.Place != traveler.Middle }) {
		said = append(said, wordsEnds)
	}
	if len(s.Steps) > 0 && s.Steps[0].Bench != nil {
		said = append(said, wordsPictures)
	}
	return said
}

// prepare is the row before the first bend: what to look at first, how the
// pieces run, and where the bar's edge lies on the nose line.
func prepare(s *page.Set, ticks []string) page.Block {
	width := s.Body().W - numberWidth - noseColumn - 2
	height := prepareTitle + tickLine*float64(len(tickLines(ticks, width))) + mirrorHeight(s, width)
	for _, words := range sentences(s) {
		height += canvas.Small.Height(words, width)
	}
	return page.Solid(max(height, noseSketchHeight(s)), func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: wordsPrepare, Level: 1})
		c.Frame(b, draw.Outline)
		number, b := b.CutLeft(numberWidth)
		drawNumber(c, number, "0")
		c.Line(draw.Thin, canvas.Spot(number.Right(), b.Y), canvas.Spot(number.Right(), b.Bottom()))
		nose, b := b.CutRight(noseColumn)
		c.Line(draw.Thin, canvas.Spot(nose.X, b.Y), canvas.Spot(nose.X, b.Bottom()))
		drawNoseSketch(s, c, nose.Inset(noseBorder))
		drawTicks(s, c, b.Inset(1), ticks)
	})
}

// drawTicks are the boxes to tick, then the sentences and the mirror check.
func drawTicks(s *page.Set, c canvas.Canvas, b canvas.Box, ticks []string) {
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
		line, b = b.CutBottom(canvas.Small.Height(said[i], b.W))
		c.Flow(line, canvas.Small, said[i])
	}
	lines := tickLines(ticks, b.W)
	for i, row := range b.Rows(len(lines)) {
		for _, words := range lines[i] {
			var cell canvas.Box
			cell, row = row.CutLeft(tickWidth(words))
			page.Tick(c, cell, words)
		}
	}
}

// tickWidth is what a box to tick takes of a line, with its words.
func tickWidth(words string) float64 { return page.TickWidth + canvas.Plain.Width(words) + tickGap }

// tickGap is what is left free behind a box to tick and its words.
const tickGap = 2.0

// tickLines lays the boxes on lines of a width.
func tickLines(words []string, width float64) [][]string {
	var lines [][]string
	free := 0.0
	for _, w := range words {
		wide := tickWidth(w)
		if len(lines) == 0 || wide > free {
			lines, free = append(lines, nil), width+tickGap
		}
		lines[len(lines)-1] = append(lines[len(lines)-1], w)
		free -= wide
	}
	return lines
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
