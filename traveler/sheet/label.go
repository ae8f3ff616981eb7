package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"strconv"
)

// The size of a label for a box of finished pieces, in millimetres.
const (
	labelPaperWidth  = 100.0
	labelPaperHeight = 60.0
	labelCode        = 25.0
)

// Label is the label for the box that the finished pieces go into: what they
// are, how many, and the code that opens their job. It refuses an address as
// Pages does.
func Label(t *traveler.Traveler) (*draw.Page, error) {
	code, err := encoded(t.Address, labelCode, labelCode/40)
	if err != nil {
		return nil, err
	}
	c := canvas{&draw.Page{
		Title: titleWords(t), Description: wordsLabelUse, Width: labelPaperWidth, Height: labelPaperHeight,
	}}
	b := box{3, 3, labelPaperWidth - 6, labelPaperHeight - 6}
	title, b := b.cutTop(11)
	c.title(title, t.Part.Title)
	right, b := b.cutRight(max(code.around(), 30))
	code.stamp(c, right.x+(right.w-code.around())/2, right.y)
	_, under := right.cutTop(code.around() + 0.5)
	c.flow(under, codeLetters, grouped(t.Code))
	_, b = b.cutRight(2)
	rows := b.rows(4)
	c.field(rows[0], wordsPart, t.Part.Number)
	halves := rows[1].columns(1, 1)
	c.field(halves[0], wordsRevision, t.Part.Revision)
	c.field(halves[1], wordsJob, t.Job)
	c.field(rows[2], wordsMaterial, materialWords(t.Part))
	halves = rows[3].columns(1, 1)
	c.field(halves[0], wordsQuantity, strconv.Itoa(t.Quantity))
	c.blankField(halves[1], wordsInBox, "")
	return c.page, nil
}
