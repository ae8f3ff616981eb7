package canvas

import (
	"cmp"
	"slices"
	"strings"

	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// MillimetresPerPoint is one printer's point in millimetres.
const MillimetresPerPoint = 25.4 / 72

// Sizes of type. Nothing on the sheet is set smaller than Smallest, which can be
// read at arm's length, but words that would be cut there: they go down to Finest.
const (
	Finest   = 5 * MillimetresPerPoint
	Smallest = 9 * MillimetresPerPoint
	Body     = 10 * MillimetresPerPoint
	Strong   = 12 * MillimetresPerPoint
	Large    = 15 * MillimetresPerPoint
)

// CapHeight is the height of capital letters of the Go fonts as a share of the
// type size, measured in the font files; digits are 0.741.
const CapHeight = 0.723

// Descent is how far the lowest letters reach below the base line, as a share
// of the type size, measured in the same files.
const Descent = 0.21

// Descends reports whether any of the words may reach below the base line.
func Descends(words string) bool {
	return strings.ContainsFunc(words, func(r rune) bool {
		return r > '~' && r != '°' && r != '±' || strings.ContainsRune("gjpqyQ,;_()[]{}|/@$&", r)
	})
}

// LineStep is the distance of two lines of running text, as a share of the size.
const LineStep = 1.2

// Lettering is how words are set: the face, the size wanted and the least size
// they are shrunk to before they are broken into lines.
type Lettering struct {
	Face        draw.Face
	Size, Least float64
	Anchor      draw.Anchor
	White       bool
}

// The letterings of the sheet. All may be shrunk to the smallest size.
var (
	Small     = Lettering{Face: draw.Regular, Size: Smallest, Least: Smallest}
	Plain     = Lettering{Face: draw.Regular, Size: Body, Least: Smallest}
	Bold      = Lettering{Face: draw.Bold, Size: Body, Least: Smallest}
	SmallBold = Lettering{Face: draw.Bold, Size: Smallest, Least: Smallest}
	Strongly  = Lettering{Face: draw.Bold, Size: Strong, Least: Smallest}
	Largely   = Lettering{Face: draw.Bold, Size: Large, Least: Smallest}
)

// Of is the lettering at another size; it may still be shrunk as far as before.
func (l Lettering) Of(size float64) Lettering {
	l.Size = size
	if l.Least > size {
		l.Least = size
	}
	return l
}

// Centred puts the words in the middle of their box.
func (l Lettering) Centred() Lettering { l.Anchor = draw.Centre; return l }

// Ranged puts the words at the right edge of their box.
func (l Lettering) Ranged() Lettering { l.Anchor = draw.Right; return l }

// Inverse sets the words white, on what is filled with black.
func (l Lettering) Inverse() Lettering { l.White = true; return l }

// Width is how wide the words are at the size wanted.
func (l Lettering) Width(words string) float64 { return letter.Width(words, l.Face, l.Size) }

// Fits reports whether the words fit a width on one line when they are shrunk as
// far as they may.
func (l Lettering) Fits(words string, width float64) bool { return l.Of(l.Least).Width(words) <= width }

// fitted shrinks the lettering until words that fit a width do, and cleans them.
func (l Lettering) fitted(words string, width float64) (Lettering, string) {
	if wide := l.Width(words); wide > width && wide > 0 {
		l.Size = max(l.Least, l.Size*width/wide*0.999)
	}
	return l, letter.Fit(words, l.Face, l.Size, width)
}

// At is the text mark of words that fit the box.
func (l Lettering) At(b Box, words string) draw.Text {
	x := b.X
	switch l.Anchor {
	case draw.Centre:
		x = b.X + b.W/2
	case draw.Right:
		x = b.Right()
	}
	return draw.Text{
		X: x, Y: b.Y + b.H/2 + CapHeight*l.Size/2, Size: l.Size, Words: words,
		Face: l.Face, Anchor: l.Anchor, MaxWidth: b.W, White: l.White,
	}
}

// wrapped gives the lines that fit a box, at the largest size at which all do.
// A word is broken only where it must be at the least size, and words are cut
// only where not even the finest letters have room for them.
func (l Lettering) wrapped(b Box, words string) (Lettering, []string) {
	finest := min(Finest, l.Least)
	for {
		lines := letter.Wrap(words, l.Face, l.Size, b.W)
		room := max(1, int(b.H/(LineStep*l.Size)+1e-6))
		broken := l.Size > l.Least && l.Width(longest(words)) > b.W
		switch {
		case len(lines) <= room && !broken:
			return l, lines
		case l.Size > l.Least:
			l.Size = max(l.Least, l.Size*0.95)
		case l.Size > finest:
			l.Size = max(finest, l.Size*0.95)
		default:
			lines = lines[:room]
			lines[room-1] = letter.Fit(lines[room-1]+letter.Ellipsis, l.Face, l.Size, b.W)
			return l, lines
		}
	}
}

// longest is the word with the most letters.
func longest(words string) string {
	return slices.MaxFunc(append(strings.Fields(words), ""), func(a, b string) int { return cmp.Compare(len(a), len(b)) })
}

// mostLines is how many lines words are given at most; what takes more is set finer.
const mostLines = 6

// Height is what Canvas.Flow would take for the words in a column of that width:
// six lines at most.
func (l Lettering) Height(words string, width float64) float64 {
	return float64(min(mostLines, len(letter.Wrap(words, l.Face, l.Size, width)))) * LineStep * l.Size
}
