package sheet

import (
	"brakeside/calc/unit"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// footLine is the height of the line under the head.
const footLine = canvas.LineStep*canvas.Smallest + 0.6

// head is the top of the first page: what is made, of what, for whom, and the
// code.
func head(s *page.Set) page.Block {
	around := s.Codes.Page.Around()
	under := page.CodeLetters.Height(phrase.Code(s.Code), around) + 0.2
	return page.Solid(around+under+footLine, func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: phrase.Title(s.Traveler), Level: 0})
		foot, b := b.CutBottom(footLine)
		drawAddress(s, c, foot)
		code, b := b.CutRight(around)
		s.Codes.Page.Stamp(c, code.X, code.Y)
		_, words := code.CutTop(around)
		c.Flow(words, page.CodeLetters, phrase.Code(s.Code))
		_, b = b.CutRight(1)
		revision, b := b.CutRight(page.RevisionWidth)
		s.Revision(c, revision)
		_, b = b.CutRight(2)
		drawParticulars(s, c, b)
	})
}

// drawAddress is the line under the head: who issued the sheet, and the code's
// address for whoever must type it.
func drawAddress(s *page.Set, c canvas.Canvas, b canvas.Box) {
	address, rest := b.CutRight(min(b.W*0.62, canvas.Small.Width(s.Address)+1))
	c.Write(address, canvas.Small.Ranged(), s.Address)
	_, rest = rest.CutRight(3)
	c.Write(rest, canvas.Small, phrase.Issued(s.Traveler))
}

// drawParticulars are the title and the boxes under it.
func drawParticulars(s *page.Set, c canvas.Canvas, b canvas.Box) {
	title, b := b.CutTop(b.H * 0.25)
	page.Title(c, title, s.Part.Title)
	c.Frame(b, draw.Outline)
	rows := b.Rows(3)
	material, thickness := 55.0, 24.0
	if s.In() == unit.Inch { // the thickness has two figures
		material, thickness = 49, 30
	}
	first, second, third := rows[0].Columns(44, 36, 27), rows[1].Columns(material, thickness, 28), rows[2].Columns(38, 42, 27)
	page.Field(c, first[0], phrase.LabelPart, s.Part.Number)
	page.Field(c, first[1], phrase.LabelJob, phrase.JobAndPack(s.Traveler))
	page.Field(c, first[2], phrase.LabelQuantity, phrase.Number(float64(s.Quantity)))
	page.MaterialField(c, second[0], phrase.MaterialName(s.Part), phrase.MaterialGrade(s.Part))
	page.Field(c, second[1], wordsThickness, phrase.Thickness(s.In(), s.Part))
	page.BlankField(c, second[2], wordsMeasured, s.In().String())
	page.TickField(c, third[0], wordsMagnet, phrase.Magnet(s.Part))
	page.Field(c, third[1], wordsSizes, phrase.Sizes(s.In(), s.Part))
	page.Field(c, third[2], wordsAngles, "±"+phrase.Angle(s.Part.AngleTolerance))
}
