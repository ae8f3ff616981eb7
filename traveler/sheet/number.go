package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/view"
)

// numberLetters are the digits of step numbers, 10.4 mm high; only three of them
// must be smaller.
var numberLetters = canvas.Lettering{Face: draw.Bold, Size: 14.4, Least: 9.5}

// numberWidth is the width of the column of step numbers.
const numberWidth = 18.0

// drawNumber is the black tab with a step's number, at the top of its column.
func drawNumber(c canvas.Canvas, b canvas.Box, number string) {
	tab, _ := b.CutTop(15)
	c.Fill(tab, draw.Black)
	c.Write(tab.Inset(0.5), numberLetters.Centred().Inverse(), number)
}

// drawFacing tells under the number which bend it is, which face lies up, and that
// the part stays as it lies, where nothing above the row moves it; what is left
// of the column.
func drawFacing(c canvas.Canvas, b canvas.Box, step traveler.Step) (rest canvas.Box) {
	_, b = b.CutTop(15.5)
	name, b := b.CutTop(canvas.LineStep * (canvas.Body + canvas.Smallest))
	if name = name.Inset(0.2); canvas.Bold.Fits(step.BendWord(), name.W) { // else the name takes the line of the word
		var words canvas.Box
		name, words = name.CutTop(canvas.LineStep*canvas.Body - 0.4)
		c.Write(words, canvas.Small.Centred(), wordsFace)
	}
	c.Write(name, canvas.Bold.Centred(), step.BendWord())
	letter, b := b.CutTop(8.4)
	c.Write(letter, canvas.Lettering{Face: draw.Bold, Size: 9, Least: canvas.Smallest}.Centred(), step.FaceUp)
	up, b := b.CutTop(canvas.LineStep * canvas.Smallest)
	c.Write(up, canvas.Small.Centred(), wordsUp)
	if step.Number > 1 && len(phrase.Turns(step)) == 0 {
		var stays canvas.Box
		stays, b = b.CutTop(canvas.LineStep * canvas.Smallest)
		c.Write(stays, canvas.SmallBold.Centred(), wordsNoTurn)
	}
	return b
}

// gaugeFigure is how far the nose line lies from what it is measured from, in figures.
func gaugeFigure(s *page.Set, step traveler.Step) string {
	if step.Gauge == 0 {
		return ""
	}
	return phrase.GaugeFigure(s.In(), s.Blank, step)
}

// leastLay is the least side of the picture of how the part is laid, and mostLay its
// greatest height.
const (
	leastLay = 9.0
	mostLay  = 20.0
)

// drawLay shows from above how the part is laid, where there is room for it.
func drawLay(c canvas.Canvas, b canvas.Box, step traveler.Step, gauge string) {
	if step.Lay == nil || b.H < leastLay {
		return
	}
	b.H = min(b.H, mostLay)
	c.Picture(view.Lay(step, gauge, b.W, b.H, 0), b.X, b.Y)
}
