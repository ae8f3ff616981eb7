package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"strconv"
)

// lettersTall is the type size that makes the revision's letters 20 mm high.
const lettersTall = 20 / capHeight

// codeLetters are the letters of the code under its symbol.
var codeLetters = lettering{face: draw.Bold, size: smallest, least: smallest, anchor: draw.Centre}

// footLine is the height of the line under the head.
const footLine = lineStep*smallest + 0.6

// revisionWidth is the width of the revision's frame.
const revisionWidth = 36.0

// stripCode is the code of the further pages.
func (s *sheet) stripCode() symbol { return s.codes.page.resized(pageCode) }

// stripHeight is the height of the strip on top of the further pages.
func (s *sheet) stripHeight() float64 {
	if s.codes.page.address == "" {
		return pageCode
	}
	return s.stripCode().around()
}

// head is the top of the first page: what is made, of what, for whom, and the
// code.
func (s *sheet) head() block {
	around := s.codes.page.around()
	under := codeLetters.height(grouped(s.Code), around) + 0.2
	return solid(around+under+footLine, func(c canvas, b box) {
		c.add(draw.Bookmark{Y: b.y, Words: titleWords(s.Traveler), Level: 0})
		foot, b := b.cutBottom(footLine)
		s.address(c, foot)
		code, b := b.cutRight(around)
		s.codes.page.stamp(c, code.x, code.y)
		_, words := code.cutTop(around)
		c.flow(words, codeLetters, grouped(s.Code))
		_, b = b.cutRight(1)
		revision, b := b.cutRight(revisionWidth)
		s.revision(c, revision)
		_, b = b.cutRight(2)
		s.particulars(c, b)
	})
}

// address is the line under the head: who issued the sheet, and the code's
// address for whoever must type it.
func (s *sheet) address(c canvas, b box) {
	address, rest := b.cutRight(min(b.w*0.62, small.width(s.Address)+1))
	c.write(address, small.ranged(), s.Address)
	_, rest = rest.cutRight(3)
	c.write(rest, small, issuedWords(s.Traveler))
}

// revision sets the revision so large that the wrong sheet is seen from across
// the shop.
func (s *sheet) revision(c canvas, b box) {
	c.frame(b, draw.Heavy)
	label, rest := b.cutTop(6)
	c.fill(label, draw.Black)
	c.write(label, bold.centred().inverse(), wordsRevision)
	rest = rest.inset(1.5)
	tall := min(lettersTall, rest.h/(capHeight+0.04))
	if descends(s.Part.Revision) {
		tall = min(lettersTall, rest.h/(capHeight+2*descent))
	}
	l := lettering{face: draw.Bold, size: tall, least: tall / 3}.centred()
	if fit, _ := l.fitted(s.Part.Revision, rest.w); fit.width(s.Part.Revision) <= rest.w {
		c.write(rest, fit, s.Part.Revision)
		return
	}
	c.flow(rest, lettering{face: draw.Bold, size: tall / 3, least: smallest}.centred(), s.Part.Revision)
}

// particulars are the title and the boxes under it.
func (s *sheet) particulars(c canvas, b box) {
	title, b := b.cutTop(b.h * 0.25)
	c.title(title, s.Part.Title)
	c.frame(b, draw.Outline)
	rows := b.rows(3)
	first, second, third := rows[0].columns(44, 36, 27), rows[1].columns(55, 24, 28), rows[2].columns(38, 42, 27)
	c.field(first[0], wordsPart, s.Part.Number)
	c.field(first[1], wordsJob, s.Job)
	c.field(first[2], wordsQuantity, plainNumber(float64(s.Quantity)))
	c.field(second[0], wordsMaterial, s.Part.Material)
	c.field(second[1], wordsThickness, thicknessWords(s.Part))
	c.blankField(second[2], wordsMeasured, "mm")
	c.tickField(third[0], wordsMagnet, magnetWords(s.Part))
	c.field(third[1], wordsSizes, sizesWords(s.Part))
	c.field(third[2], wordsAngles, "±"+angle(s.Part.AngleTolerance))
}

// title is the part in words, on one line where it can be large, else on two.
func (c canvas) title(b box, words string) {
	l := lettering{face: draw.Bold, size: 7.6, least: 5.4}
	if fit, _ := l.fitted(words, b.w); fit.width(words) <= b.w {
		c.write(b, fit, words)
		return
	}
	c.flow(b, lettering{face: draw.Bold, size: b.h / 2 / lineStep, least: smallest}, words)
}

// field is a framed box with its label above its value. A value too long for
// one line takes the label's line as well: it says itself what it is.
func (c canvas) field(b box, label, value string) {
	if tight := largely.of(smallest); tight.width(value) > b.w-2 {
		c.frame(b, draw.Thin)
		c.flow(b.inset(0.9), tight, value)
		return
	}
	c.write(c.labelled(b, label), largely, value)
}

// labelled draws the frame and label of a box and gives the room for its value.
func (c canvas) labelled(b box, label string) box {
	c.frame(b, draw.Thin)
	b = b.inset(1)
	top, rest := b.cutTop(lineStep * smallest)
	c.write(top, small, label)
	return rest
}

// blankField is a box to write a measured value in.
func (c canvas) blankField(b box, label, unit string) {
	rest := c.labelled(b, label)
	c.write(rest, plain.ranged(), unit)
}

// tickField is a box whose value is compared with what is found, and ticked.
func (c canvas) tickField(b box, label, value string) {
	rest := c.labelled(b, label)
	tick, rest := rest.cutRight(rest.h)
	c.frame(tick.middle(4.5, 4.5), draw.Outline)
	c.write(rest, strongly, value)
}

// strip is the top of every further page: which sheet it is, room for notes,
// and the code again, if the sheet has one.
func (s *sheet) strip(c canvas, b box) {
	b, _ = b.cutTop(s.stripHeight())
	if s.codes.page.address != "" {
		var code box
		code, b = b.cutRight(s.stripHeight())
		s.stripCode().stamp(c, code.x, code.y)
		_, b = b.cutRight(1)
	}
	revision, b := b.cutRight(revisionWidth - 4)
	s.revision(c, revision)
	_, b = b.cutRight(2)
	name, free := b.cutLeft(b.w * 0.47)
	s.name(c, name)
	_, free = free.cutLeft(2)
	c.notes(free, wordsNotes)
}

// notes is a frame to write in.
func (c canvas) notes(b box, words string) {
	c.frame(b, draw.Grid)
	label, _ := b.inset(1).cutTop(lineStep * smallest)
	c.write(label, small, words)
}

// name tells the sheet in a few lines.
func (s *sheet) name(c canvas, b box) {
	title, b := b.cutTop(b.h * 0.4)
	c.flow(title, lettering{face: draw.Bold, size: 5, least: smallest}, s.Part.Title)
	rows := b.rows(3)
	c.write(rows[0], largely, s.Part.Number)
	c.write(rows[1], strongly, jobWords(s.Traveler))
	c.write(rows[2], strongly, materialWords(s.Part))
}

// jobWords name the job, if it has a number, and how many pieces it is.
func jobWords(t *traveler.Traveler) string {
	words := strconv.Itoa(t.Quantity) + " pieces"
	if t.Quantity == 1 {
		words = "1 piece"
	}
	if t.Job != "" {
		words = t.Job + " · " + words
	}
	return words
}
