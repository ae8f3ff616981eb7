package papers

import (
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// The size of a label for a box of finished pieces, in millimetres.
const (
	labelPaperWidth  = 100.0
	labelPaperHeight = 60.0
	labelCode        = 25.0
)

// Label is the label for the box that the finished pieces go into: what they
// are, how many, and the code that opens their job. It refuses an address as
// sheet.Pages does.
func Label(t *traveler.Traveler) (*draw.Page, error) {
	code, err := page.Encode(t.Address, labelCode, labelCode/40)
	if err != nil {
		return nil, err
	}
	c := canvas.Canvas{Page: &draw.Page{
		Title: phrase.Title(t), Description: wordsLabelUse, Width: labelPaperWidth, Height: labelPaperHeight,
	}}
	b := canvas.Box{X: 3, Y: 3, W: labelPaperWidth - 6, H: labelPaperHeight - 6}
	title, b := b.CutTop(11)
	page.Title(c, title, t.Part.Title)
	right, b := b.CutRight(max(code.Around(), 30))
	code.Stamp(c, right.X+(right.W-code.Around())/2, right.Y)
	_, under := right.CutTop(code.Around() + 0.5)
	c.Flow(under, page.CodeLetters, phrase.Code(t.Code))
	_, b = b.CutRight(2)
	rows := b.Rows(4)
	page.Field(c, rows[0], phrase.LabelPart, t.Part.Number)
	halves := rows[1].Columns(1, 1)
	page.Field(c, halves[0], phrase.LabelRevision, t.Part.Revision)
	page.Field(c, halves[1], phrase.LabelJob, t.Job)
	page.MaterialField(c, rows[2], phrase.Material(t.In(), t.Part), phrase.MaterialGrade(t.Part))
	halves = rows[3].Columns(1, 1)
	page.Field(c, halves[0], phrase.LabelQuantity, strconv.Itoa(t.Quantity))
	page.BlankField(c, halves[1], wordsInBox, "")
	return c.Page, nil
}

// What stands on the label.
const (
	wordsInBox    = "IN THIS BOX"
	wordsLabelUse = "Label for a box of finished pieces."
)
