package blank

import (
	"strconv"

	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/sign"
)

// faceHeight is the height of the face's mark.
const faceHeight = 7.0

// halfWords is half the height of the words beside a step's number.
const halfWords = 1.5

// leader runs from words that stand beside what they name, and ends there in a dot
// (ISO 128-2: a dot for what lies within an outline); the zero value is none.
type leader struct{ from, to draw.Point }

func (l leader) draw(c canvas.Canvas) {
	if l != (leader{}) {
		c.Line(draw.Thin, l.from, l.to)
		c.Add(draw.Arc{X: l.to.X, Y: l.to.Y, Radius: leaderDot, To: 360, Fill: draw.Black})
	}
}

// moved is a leader put somewhere else; none stays none.
func (l leader) moved(by draw.Point) leader {
	if l == (leader{}) {
		return l
	}
	return leader{canvas.Spot(l.from.X+by.X, l.from.Y+by.Y), canvas.Spot(l.to.X+by.X, l.to.Y+by.Y)}
}

// leaderDot is the radius of the dot at the end of a leader.
const leaderDot = 0.45

// lineLabel is a step's number on its bend line, with the way and the angle
// where there is room.
type lineLabel struct {
	canvas.Box
	step   int
	words  string
	leader leader // where it stands beside its line
}

// draw puts the label into its box: level, or reading upwards in an upright
// one.
func (l lineLabel) draw(c canvas.Canvas) {
	b := l.Box
	l.leader.draw(c)
	if l.words != "" {
		c.Fill(b.Inset(sign.DiscRadius-halfWords), draw.Paper)
	}
	if b.H > b.W {
		sign.Disc(c, canvas.Spot(b.X+sign.DiscRadius, b.Bottom()-sign.DiscRadius), sign.DiscRadius, strconv.Itoa(l.step))
		text := canvas.SmallBold.At(b, l.words)
		text.X, text.Y, text.Turn, text.MaxWidth = b.X+sign.DiscRadius+canvas.CapHeight*canvas.Smallest/2, b.Bottom()-2*sign.DiscRadius-1, 90, b.H
		c.Add(text)
		return
	}
	sign.Disc(c, canvas.Spot(b.X+sign.DiscRadius, b.Y+sign.DiscRadius), sign.DiscRadius, strconv.Itoa(l.step))
	_, rest := b.CutLeft(2*sign.DiscRadius + 1)
	c.Write(rest, canvas.SmallBold, l.words)
}

// Sizes of the marks on the metal.
const (
	grainLength = 24.0
	grainDepth  = 6.0
)

// grainSize is the size of the grain's mark, which lies along x or stands along y.
func grainSize(grain string) (w, h float64) {
	if grain == "y" {
		return grainDepth, grainLength
	}
	return grainLength, grainDepth
}

// holeLabel is the diameter of a hole beside it.
type holeLabel struct {
	canvas.Box
	words string
}

// drawFaceMark frames which face lies up.
func drawFaceMark(c canvas.Canvas, b canvas.Box, words string) {
	c.Frame(b, draw.Outline)
	c.Write(b.Inset(1), canvas.Strongly.Centred(), words)
}

// drawGrainMark is an arrow with two heads along the rolling direction.
func drawGrainMark(c canvas.Canvas, b canvas.Box) {
	m := draw.Line{Pen: draw.Thin, Arrows: draw.AtBoth}
	if b.W > b.H {
		words, shaft := b.CutTop(4)
		c.Write(words, canvas.Small.Centred(), wordsGrain)
		m.X1, m.X2, m.Y1, m.Y2 = b.X, b.Right(), shaft.Y+1, shaft.Y+1
		c.Add(m)
		return
	}
	text := canvas.Small.At(b, wordsGrain)
	text.X, text.Y = b.X+canvas.CapHeight*canvas.Smallest, b.Y+b.H/2+canvas.Small.Width(wordsGrain)/2
	text.Turn, text.MaxWidth = 90, b.H
	m.X1, m.X2, m.Y1, m.Y2 = b.X+5, b.X+5, b.Bottom(), b.Y
	c.Add(text, m)
}

// wordsGrain stands at the arrow of the grain.
const wordsGrain = "GRAIN"

// faceName is the name of a face on the metal, in the word of the rows, with its
// drawn sizes where there is room.
type faceName struct {
	canvas.Box // upright for words that read upwards
	words      string
	leader     leader // where it stands beside its face
}

// faceHigh is the height of a face's name on paper.
const faceHigh = 1.1 * canvas.Smallest

// draw writes the name on a patch of paper, so that a line under it ends at it.
func (f faceName) draw(c canvas.Canvas) {
	f.leader.draw(c)
	c.Fill(f.Box, draw.Paper)
	if f.W >= f.H {
		c.Write(f.Box, canvas.SmallBold.Centred(), f.words)
		return
	}
	text := canvas.SmallBold.At(f.Box, f.words)
	text.X, text.Y, text.Turn, text.MaxWidth = f.X+f.W/2+canvas.CapHeight*canvas.Smallest/2, f.Bottom()-0.3, 90, f.H
	c.Add(text)
}
