package sheet

import (
	"cmp"
	"slices"
	"strconv"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// keyLine is the height of one line of the key, keySign the width of a mark in
// front of its words.
const (
	keyLine = 4.4
	keySign = 13.0
)

// keyText lists the lines of running text of the key.
func (s *sheet) keyText() []string {
	lines := []string{diagonalWords(s.Blank), weightWords(s.Blank)}
	if words := sumWords(s.Blank); words != "" {
		lines = append(lines, words)
	}
	return lines
}

// keyHeight is the height that the key of a view needs; without a view, what it
// may need at most.
func (s *sheet) keyHeight(v *blankView) float64 {
	height := 4 + keyLine + lineStep*large
	for _, words := range s.keyText() {
		height += small.height(words, keyWidth-3)
	}
	return height + float64(len(s.Blank.Lines)+len(keySigns))*keyLine + s.homelessHeight(v)
}

// homelessHeight is what the marks take that have no room on the metal.
func (s *sheet) homelessHeight(v *blankView) float64 {
	face, grain := 0.0, 0.0
	if v == nil || v.faceAt.w == 0 {
		face = faceHeight
	}
	if s.Part.Grain != "" && (v == nil || v.grainAt.w == 0) {
		_, h := grainSize(s.Part.Grain)
		grain = h + 1
	}
	if s.Part.Grain == "y" {
		return max(face, grain) // side by side
	}
	return face + grain
}

// keySpare is the foot of the key's column that the key leaves free.
func (s *sheet) keySpare(column box, v *blankView) box {
	spare, _ := column.cutBottom(max(0, column.h-s.keyHeight(v)))
	return spare
}

// key says in words and figures what the drawing shows.
func (s *sheet) key(c canvas, b box, v *blankView) {
	b, _ = b.cutTop(min(b.h, s.keyHeight(v)-3))
	top, b := b.cutTop(keyLine)
	c.write(top, smallBold, wordsBlank)
	c.write(top, small.ranged(), scaleWords(v.times))
	size, b := b.cutTop(lineStep * large)
	c.write(size, largely, blankSize(s.Blank))
	text := s.keyText()
	if left := v.leftOut(); left > 0 {
		text[1] = leftOutWords(left) // in the place of the weight
	}
	for _, words := range text {
		_, b = b.cutTop(c.flow(b, small, words))
	}
	_, b = b.cutTop(1)
	s.homeless(c, b, v)
	_, b = b.cutBottom(s.homelessHeight(v))
	b = c.keyMarks(b)
	for _, l := range byStep(s.Blank.Lines) {
		if b.h < keyLine-0.01 {
			return
		}
		var row box
		row, b = b.cutTop(keyLine)
		c.keyBend(row, l)
	}
}

// byStep puts bend lines in the order in which they are bent.
func byStep(lines []traveler.BendLine) []traveler.BendLine {
	return slices.SortedStableFunc(slices.Values(lines), func(a, b traveler.BendLine) int { return cmp.Compare(a.Step, b.Step) })
}

// keySigns explain the marks of the drawing.
var keySigns = []struct {
	pen   draw.Pen
	words string
}{
	{draw.Heavy, wordsKeyDatum},
	{draw.NoseLine, wordsKeyNose},
}

// keyMarks explains the strokes, and gives what is left of the box.
func (c canvas) keyMarks(b box) box {
	for _, k := range keySigns {
		var row box
		row, b = b.cutTop(keyLine)
		sign, words := row.cutLeft(keySign)
		c.line(k.pen, spot(sign.x+0.5, row.y+row.h/2), spot(sign.right()-2, row.y+row.h/2))
		c.write(words, small, k.words)
	}
	return b
}

// faceHeight is the height of the face's mark.
const faceHeight = 7.0

// homeless puts the face and grain marks at the foot of the key when the metal
// has no room for them.
func (s *sheet) homeless(c canvas, b box, v *blankView) {
	w, h := grainSize(v.grain)
	foot, _ := b.cutBottom(s.homelessHeight(v))
	if v.grain != "" && v.grainAt.w == 0 {
		var own box
		if v.grain == "y" {
			own, foot = foot.cutRight(w + 1)
		} else {
			own, foot = foot.cutBottom(h + 1)
		}
		c.grainMark(own.middle(w, h))
	}
	if v.faceAt.w == 0 {
		face, _ := foot.cutBottom(faceHeight)
		c.faceMark(face.middle(min(face.w, strongly.width(v.face)+3), faceHeight-0.5), v.face)
	}
}

// keyBend is one bend of the list: its step, its line as drawn, and its way.
func (c canvas) keyBend(row box, l traveler.BendLine) {
	number, rest := row.cutLeft(5)
	c.disc(spot(number.x+2, row.y+row.h/2), 2, strconv.Itoa(l.Step))
	sign, words := rest.cutLeft(keySign - 1)
	pen := draw.BendDown
	if l.Up {
		pen = draw.BendUp
	}
	c.line(pen, spot(sign.x+0.5, row.y+row.h/2), spot(sign.right()-1, row.y+row.h/2))
	c.write(words, small, listedBend(l))
}

// across is the side of a profile's blank that the legs add up to: the one
// square to the bend lines.
func across(b traveler.Blank) unit.Micron {
	for _, l := range b.Lines {
		if l.Line[0].X == l.Line[1].X {
			return b.Width
		}
	}
	return b.Height
}
