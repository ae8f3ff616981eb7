package page

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
)

// lettersTall is the type size that makes the revision's letters 20 mm high.
const lettersTall = 20 / canvas.CapHeight

// RevisionWidth is the width of the revision's frame.
const RevisionWidth = 36.0

// stripCode is the code of the further pages.
func (s *Set) stripCode() Symbol { return s.Codes.Page.resized(pageCode) }

// lowStrip is the height of a strip without a code.
const lowStrip = 11.5

// stripHeight is the height of the strip on top of the further pages.
func (s *Set) stripHeight() float64 {
	if s.lean {
		return lowStrip
	}
	if s.Codes.Page.address == "" {
		return pageCode
	}
	return s.stripCode().Around()
}

// Revision sets the revision so large that the wrong sheet is seen from across
// the shop.
func (s *Set) Revision(c canvas.Canvas, b canvas.Box) {
	c.Frame(b, draw.Heavy)
	label, rest := b.CutTop(min(6, b.H*0.4))
	c.Fill(label, draw.Black)
	c.Write(label, canvas.Bold.Centred().Inverse(), phrase.LabelRevision)
	rest, revision := rest.Inset(min(1.5, rest.H*0.1)), phrase.Revision(s.Part)
	tall := min(lettersTall, rest.H/(canvas.CapHeight+0.04))
	if canvas.Descends(revision) {
		tall = min(lettersTall, rest.H/(canvas.CapHeight+2*canvas.Descent))
	}
	l := canvas.Lettering{Face: draw.Bold, Size: tall, Least: tall / 3}.Centred()
	if l.Fits(revision, rest.W) {
		c.Write(rest, l, revision)
		return
	}
	c.Flow(rest, canvas.Lettering{Face: draw.Bold, Size: tall / 3, Least: canvas.Smallest}.Centred(), revision)
}

// strip is the top of every further page: which sheet it is, room for notes,
// and the code again, if the sheet has one.
func (s *Set) strip(c canvas.Canvas, b canvas.Box) {
	b, _ = b.CutTop(s.stripHeight())
	if s.Codes.Page.address != "" && !s.lean {
		var code canvas.Box
		code, b = b.CutRight(s.stripHeight())
		s.stripCode().Stamp(c, code.X, code.Y)
		_, b = b.CutRight(1)
	}
	revision, b := b.CutRight(RevisionWidth - 4)
	s.Revision(c, revision)
	_, b = b.CutRight(2)
	name, free := b.CutLeft(b.W * s.nameShare())
	s.name(c, name)
	_, free = free.CutLeft(2)
	notes(c, free, wordsNotes)
}

// nameShare is the share of the strip's width for the names, before that for notes.
func (s *Set) nameShare() float64 {
	if s.lean {
		return 0.7
	}
	return 0.47
}

// notes is a frame to write in.
func notes(c canvas.Canvas, b canvas.Box, words string) {
	c.Frame(b, draw.Grid)
	label, _ := b.Inset(1).CutTop(canvas.LineStep * canvas.Smallest)
	c.Write(label, canvas.Small, words)
}

// name tells the sheet in a few lines.
func (s *Set) name(c canvas.Canvas, b canvas.Box) {
	if s.lean {
		lines := b.Rows(2)
		c.Write(lines[0], canvas.Strongly, s.Part.Number+"  "+s.Part.Title)
		c.Write(lines[1], canvas.Bold, phrase.Job(s.Traveler)+" · "+phrase.Material(s.In(), s.Part))
		return
	}
	title, b := b.CutTop(b.H * 0.4)
	c.Flow(title, canvas.Lettering{Face: draw.Bold, Size: 5, Least: canvas.Smallest}, s.Part.Title)
	rows := b.Rows(3)
	c.Write(rows[0], canvas.Largely, s.Part.Number)
	c.Write(rows[1], canvas.Strongly, phrase.Job(s.Traveler))
	c.Write(rows[2], canvas.Largely, phrase.Material(s.In(), s.Part))
}
