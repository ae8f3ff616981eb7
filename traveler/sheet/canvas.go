package sheet

import (
	"strings"

	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// point is one printer's point in millimetres.
const point = 25.4 / 72

// Sizes of type. Nothing on the sheet is set smaller than smallest, which can
// be read at arm's length.
const (
	smallest = 9 * point
	body     = 10 * point
	strong   = 12 * point
	large    = 15 * point
)

// capHeight is the height of capital letters of the Go fonts as a share of the
// type size, measured in the font files; digits are 0.741.
const capHeight = 0.723

// descent is how far the lowest letters reach below the base line, as a share
// of the type size, measured in the same files.
const descent = 0.21

// descends reports whether any of the words may reach below the base line.
func descends(words string) bool {
	return strings.ContainsFunc(words, func(r rune) bool {
		return r > '~' && r != '°' && r != '±' || strings.ContainsRune("gjpqyQ,;_()[]{}|/@$&", r)
	})
}

// lineStep is the distance of two lines of running text, as a share of the size.
const lineStep = 1.2

// lettering is how words are set: the face, the size wanted and the least size
// they may be shrunk to before they are cut with an ellipsis.
type lettering struct {
	face        draw.Face
	size, least float64
	anchor      draw.Anchor
	white       bool
}

// The letterings of the sheet.
var (
	small     = lettering{face: draw.Regular, size: smallest, least: smallest}
	plain     = lettering{face: draw.Regular, size: body, least: smallest}
	bold      = lettering{face: draw.Bold, size: body, least: smallest}
	smallBold = lettering{face: draw.Bold, size: smallest, least: smallest}
	strongly  = lettering{face: draw.Bold, size: strong, least: smallest}
	largely   = lettering{face: draw.Bold, size: large, least: smallest}
)

func (l lettering) of(size float64) lettering {
	l.size = size
	if l.least > size {
		l.least = size
	}
	return l
}

func (l lettering) centred() lettering { l.anchor = draw.Centre; return l }
func (l lettering) ranged() lettering  { l.anchor = draw.Right; return l }
func (l lettering) inverse() lettering { l.white = true; return l }

// width is how wide the words are at the size wanted.
func (l lettering) width(words string) float64 { return letter.Width(words, l.face, l.size) }

// fitted shrinks the lettering as far as it may so that the words fit a width,
// then cuts the words.
func (l lettering) fitted(words string, width float64) (lettering, string) {
	if wide := l.width(words); wide > width && wide > 0 {
		l.size = max(l.least, l.size*width/wide*0.999)
	}
	return l, letter.Fit(words, l.face, l.size, width)
}

// canvas is a page being drawn, with the steps that the sheet's blocks share.
type canvas struct{ page *draw.Page }

func (c canvas) add(marks ...draw.Mark) { c.page.Add(marks...) }

// write sets one line of words in a box, in the middle of its height; the words
// never leave it.
func (c canvas) write(b box, l lettering, words string) {
	l, words = l.fitted(words, b.w)
	if words == "" {
		return
	}
	c.add(l.at(b, words))
}

// at is the text mark of words that fit the box.
func (l lettering) at(b box, words string) draw.Text {
	x := b.x
	switch l.anchor {
	case draw.Centre:
		x = b.x + b.w/2
	case draw.Right:
		x = b.right()
	}
	return draw.Text{
		X: x, Y: b.y + b.h/2 + capHeight*l.size/2, Size: l.size, Words: words,
		Face: l.face, Anchor: l.anchor, MaxWidth: b.w, White: l.white,
	}
}

// flow sets words in lines from the top of a box. What does not fit is shrunk,
// then cut. It gives the height it took.
func (c canvas) flow(b box, l lettering, words string) float64 {
	l, lines := l.wrapped(b, words)
	for i, line := range lines {
		row := box{b.x, b.y + float64(i)*lineStep*l.size, b.w, lineStep * l.size}
		c.add(l.at(row, line))
	}
	return float64(len(lines)) * lineStep * l.size
}

// wrapped gives the lines that fit a box, at the largest size at which all do.
func (l lettering) wrapped(b box, words string) (lettering, []string) {
	for {
		lines := letter.Wrap(words, l.face, l.size, b.w)
		room := max(1, int(b.h/(lineStep*l.size)+1e-6))
		if len(lines) <= room {
			return l, lines
		}
		if l.size <= l.least {
			lines = lines[:room]
			lines[room-1] = letter.Fit(lines[room-1]+letter.Ellipsis, l.face, l.size, b.w)
			return l, lines
		}
		l.size = max(l.least, l.size*0.95)
	}
}

// height is what flow would take for the words in a column of that width.
func (l lettering) height(words string, width float64) float64 {
	return float64(len(letter.Wrap(words, l.face, l.size, width))) * lineStep * l.size
}

// frame draws the edge of a box.
func (c canvas) frame(b box, pen draw.Pen) { c.add(draw.Box(pen, draw.NoFill, b.x, b.y, b.w, b.h)) }

// fill blackens or clears a box.
func (c canvas) fill(b box, fill draw.Fill) { c.add(draw.Box(draw.NoPen, fill, b.x, b.y, b.w, b.h)) }

// spot is a place on the page.
func spot(x, y float64) draw.Point { return draw.Point{X: x, Y: y} }

// line draws a stroke.
func (c canvas) line(pen draw.Pen, from, to draw.Point) {
	c.add(draw.Line{X1: from.X, Y1: from.Y, X2: to.X, Y2: to.Y, Pen: pen})
}

// arrow draws a stroke with a head at its end.
func (c canvas) arrow(pen draw.Pen, from, to draw.Point) {
	c.add(draw.Line{X1: from.X, Y1: from.Y, X2: to.X, Y2: to.Y, Pen: pen, Arrows: draw.AtEnd})
}

// disc draws a black disc with a white number in it.
func (c canvas) disc(at draw.Point, radius float64, number string) {
	c.add(draw.Arc{X: at.X, Y: at.Y, Radius: radius, From: 0, To: 360, Fill: draw.Black})
	c.write(box{at.X - radius, at.Y - radius, 2 * radius, 2 * radius}.inset(radius*0.14), smallBold.centred().inverse(), number)
}

// picture puts the marks of a drawing on the page, its top left corner in the
// top left corner of a box.
func (c canvas) picture(p *draw.Page, x, y float64) { c.add(draw.Moved(p.Marks, x, y)...) }
