package blank

import (
	"cmp"
	"slices"
	"strconv"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
)

// keyWidth is the width of the column beside the blank.
const keyWidth = 56.0

// border is the free edge within the frame.
const border = 1.5

// keyLine is the height of one line of the key, keyStrip the width of a mark in
// front of its words.
const (
	keyLine   = 4.4
	keyStrip  = 13.0
	keyNumber = 5.0
	keyStroke = 9.0 // a bend's own, behind its number
)

// keyText lists the lines of running text of the key; nil for a view is before
// there is one.
func keyText(s *page.Set, v *drawing) []string {
	lines := []string{phrase.Diagonals(s.In(), s.Blank), phrase.Weight(s.Blank)}
	if s.In() == unit.Inch {
		lines = slices.Insert(lines, 0, wordsInches)
	}
	if words := phrase.Sum(s.In(), s.Blank); words != "" {
		lines = append(lines, words)
	}
	if words := phrase.Ways(s.Blank); words != "" {
		lines = append(lines, words)
	}
	for _, l := range s.Blank.Lines {
		if words := phrase.NoseEnds(s.In(), l); words != "" {
			lines = append(lines, words)
		}
	}
	if v != nil {
		lines = append(lines, v.listed()...)
	}
	return lines
}

// keyHeight is the height that the key of a view needs; without a view, what it
// may need at most.
func keyHeight(s *page.Set, v *drawing) float64 {
	height := 4 + keyLine + canvas.LineStep*canvas.Large
	for _, words := range keyText(s, v) {
		height += canvas.Small.Height(words, keyWidth-3)
	}
	for _, l := range s.Blank.Lines {
		height += keyBendHeight(s.In(), l)
	}
	return height + float64(len(keySigns(s.In())))*keyLine + homelessHeight(s, v)
}

// keyBendWidth is the width of what the list says of a bend.
const keyBendWidth = keyWidth - 3 - keyNumber - keyStroke

// keyBend is what the list says of a bend: the numbers of two legs stand without their
// word where it would take a line more.
func keyBend(in unit.System, l traveler.BendLine) string {
	words := phrase.ListedBend(in, l, l.BendWord())
	short := phrase.ListedBend(in, l, phrase.LegNumbers(l))
	if !canvas.Small.Fits(words, keyBendWidth) && canvas.Small.Fits(short, keyBendWidth) {
		return short
	}
	return words
}

// keyBendHeight is the height of a bend in the list.
func keyBendHeight(in unit.System, l traveler.BendLine) float64 {
	words := keyBend(in, l)
	if canvas.Small.Fits(words, keyBendWidth) {
		return keyLine
	}
	return canvas.Small.Height(words, keyBendWidth) + 0.6
}

// homelessHeight is what the marks take that have no room on the metal.
func homelessHeight(s *page.Set, v *drawing) float64 {
	face, grain := 0.0, 0.0
	if v == nil || v.faceAt.W == 0 {
		face = faceHeight
	}
	if s.Part.Grain != "" && (v == nil || v.grainAt.W == 0) {
		_, h := grainSize(s.Part.Grain)
		grain = h + 1
	}
	if s.Part.Grain == "y" {
		return max(face, grain) // side by side
	}
	return face + grain
}

// keySpare is the foot of the key's column that the key leaves free.
func keySpare(s *page.Set, column canvas.Box, v *drawing) canvas.Box {
	spare, _ := column.CutBottom(max(0, column.H-keyHeight(s, v)))
	return spare
}

// drawKey says in words and figures what the drawing shows.
func drawKey(s *page.Set, c canvas.Canvas, b canvas.Box, v *drawing) {
	b, _ = b.CutTop(min(b.H, keyHeight(s, v)-2*border))
	top, b := b.CutTop(keyLine)
	c.Write(top, canvas.SmallBold, phrase.BlankIdentity(s.Blank))
	c.Write(top, canvas.Small.Ranged(), phrase.Scale(v.times))
	size, b := b.CutTop(canvas.LineStep * canvas.Large)
	c.Write(size, canvas.Largely, phrase.BlankSize(s.In(), s.Blank))
	for _, words := range keyText(s, v) {
		_, b = b.CutTop(c.Flow(b, canvas.Small, words))
	}
	_, b = b.CutTop(1)
	drawHomeless(s, c, b, v)
	_, b = b.CutBottom(homelessHeight(s, v))
	b = drawKeyMarks(s.In(), c, b)
	drawKeyBends(s.In(), c, b, byStep(s.Blank.Lines))
}

// drawKeyBends lists the bends. Where names are so long that not all have room, all
// are set closer: none is left out.
func drawKeyBends(in unit.System, c canvas.Canvas, b canvas.Box, lines []traveler.BendLine) {
	tall := 0.0
	for _, l := range lines {
		tall += keyBendHeight(in, l)
	}
	closer := min(1, b.H/max(tall, keyLine))
	for _, l := range lines {
		var row canvas.Box
		row, b = b.CutTop(closer * keyBendHeight(in, l))
		drawKeyBend(in, c, row, l)
	}
}

// byStep puts bend lines in the order in which they are bent.
func byStep(lines []traveler.BendLine) []traveler.BendLine {
	return slices.SortedStableFunc(slices.Values(lines), func(a, b traveler.BendLine) int { return cmp.Compare(a.Step, b.Step) })
}

// keySign is a mark of the drawing with what it means.
type keySign struct {
	pen   draw.Pen
	words string
}

// keySigns explain the marks of the drawing.
func keySigns(in unit.System) []keySign {
	return []keySign{{draw.Heavy, wordsKeyDatum + in.Figure(trueTo)}, {draw.NoseLine, wordsKeyNose}}
}

// trueTo is how true the printed running sizes are.
const trueTo unit.Micron = 100

// drawKeyMarks explains the strokes, and gives what is left of the box.
func drawKeyMarks(in unit.System, c canvas.Canvas, b canvas.Box) canvas.Box {
	for _, k := range keySigns(in) {
		var row canvas.Box
		row, b = b.CutTop(keyLine)
		sign, words := row.CutLeft(keyStrip)
		c.Line(k.pen, canvas.Spot(sign.X+0.5, row.Y+row.H/2), canvas.Spot(sign.Right()-2, row.Y+row.H/2))
		c.Write(words, canvas.Small, k.words)
	}
	return b
}

// drawHomeless puts the face and grain marks at the foot of the key when the metal
// has no room for them.
func drawHomeless(s *page.Set, c canvas.Canvas, b canvas.Box, v *drawing) {
	w, h := grainSize(v.grain)
	foot, _ := b.CutBottom(homelessHeight(s, v))
	if v.grain != "" && v.grainAt.W == 0 {
		var own canvas.Box
		if v.grain == "y" {
			own, foot = foot.CutRight(w + 1)
		} else {
			own, foot = foot.CutBottom(h + 1)
		}
		drawGrainMark(c, own.Middle(w, h))
	}
	if v.faceAt.W == 0 {
		face, _ := foot.CutBottom(faceHeight)
		drawFaceMark(c, face.Middle(min(face.W, canvas.Strongly.Width(v.face)+3), faceHeight-0.5), v.face)
	}
}

// drawKeyBend is one bend of the list: its step, its line as drawn, and its way.
func drawKeyBend(in unit.System, c canvas.Canvas, row canvas.Box, l traveler.BendLine) {
	number, rest := row.CutLeft(keyNumber)
	middle := row.Y + min(keyLine, row.H)/2 // of the first line
	sign.Disc(c, canvas.Spot(number.X+2.1, middle), 2.1, strconv.Itoa(l.Step))
	stroke, words := rest.CutLeft(keyStroke)
	pen := draw.BendDown
	if l.Up {
		pen = draw.BendUp
	}
	c.Line(pen, canvas.Spot(stroke.X+0.5, middle), canvas.Spot(stroke.Right()-1, middle))
	_, words = words.CutTop((keyLine - canvas.LineStep*canvas.Smallest) / 2)
	c.Flow(words, canvas.Small, keyBend(in, l))
}

// What stands in the key.
const (
	wordsInches   = "inches; in brackets: mm"
	wordsKeyDatum = "datum edges; true to "
	wordsKeyNose  = "to pencil; 2: for step 2"
)
