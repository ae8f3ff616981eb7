// Package report lays out what the shop hands over on paper beside the sheets:
// the owner's review of the week, and the inspection record of a job.
//
// A report is pages of marks, like the printed sheet: black on white, A4, no
// meaning in any colour. Numbers are always shown with how many readings they
// come from.
package report

import (
	"strconv"

	"brakeside/calc/unit"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// The paper, in millimetres.
const (
	paperWidth, paperHeight = 210.0, 297.0
	margin                  = 15.0
	inner                   = paperWidth - 2*margin
	body                    = 3.7 // size of the type
	foot                    = paperHeight - 12
	gap                     = 3.0 // between a column of figures and the next
)

// paper fills from the top, page by page.
type paper struct {
	title, words string // of each page
	pages        []*draw.Page
	y            float64
}

func newPaper(title, words string) *paper {
	p := &paper{title: title, words: words}
	p.turn()
	return p
}

// turn begins a page.
func (p *paper) turn() {
	p.pages = append(p.pages, &draw.Page{Title: p.title, Description: p.words, Width: paperWidth, Height: paperHeight})
	p.y = margin
}

func (p *paper) page() *draw.Page { return p.pages[len(p.pages)-1] }

// room makes sure of so much height on the page.
func (p *paper) room(height float64) bool {
	if p.y+height <= foot-8 {
		return true
	}
	p.turn()
	return false
}

// finest is the size that words are shrunk to before they are cut, 5 points.
const finest = 5 * 25.4 / 72

// set is a text no wider than so much: a name or a number that is too long is set
// finer, not cut.
func set(words string, face draw.Face, size, width float64) draw.Text {
	if wide := letter.Width(words, face, size); wide > width {
		size = max(finest, size*width/wide*0.999)
	}
	return draw.Text{Size: size, Face: face, Words: letter.Fit(words, face, size, width), MaxWidth: width}
}

// at puts a text on its place.
func at(x, y float64, t draw.Text) draw.Text {
	t.X, t.Y = x, y
	return t
}

// line writes text, on as many lines as it takes.
func (p *paper) line(size float64, face draw.Face, words string) {
	for _, line := range letter.Wrap(words, face, size, inner) {
		p.room(1.5 * size)
		p.y += 1.4 * size
		p.page().Add(at(margin, p.y, set(line, face, size, inner)))
	}
}

// heading leaves room for what follows it.
func (p *paper) heading(words string) {
	p.room(20)
	p.y += 3
	p.line(4.6, draw.Bold, words)
	p.y += 0.8
}

// column is one column of a table.
type column struct {
	name  string
	width float64
	right bool // figures stand at the right
}

// table writes rows under a heading that is repeated on each page.
func (p *paper) table(columns []column, rows [][]string) {
	head := func() {
		names := make([]string, len(columns))
		for i, c := range columns {
			names[i] = c.name
		}
		p.row(columns, names, draw.Bold)
		p.page().Add(draw.Line{X1: margin, Y1: p.y + 1.4, X2: margin + inner, Y2: p.y + 1.4, Pen: draw.ChartRule})
		p.y += 0.8
	}
	head()
	for _, r := range rows {
		if !p.room(5) {
			head()
		}
		p.row(columns, r, draw.Regular)
	}
}

func (p *paper) row(columns []column, words []string, face draw.Face) {
	p.y += 5
	x := margin
	for i, c := range columns {
		wide := c.width - gap/2
		if c.right {
			wide = c.width - gap
		}
		text := at(x, p.y, set(words[i], face, body, wide))
		if c.right {
			text.X, text.Anchor = x+c.width-gap, draw.Right
		}
		p.page().Add(text)
		x += c.width
	}
}

// facts writes names and values in columns of three.
func (p *paper) facts(all []Fact) {
	const wide, nameSize = inner / 3, 3.2
	for i, f := range all {
		if i%3 == 0 {
			p.room(10)
			p.y += 10
		}
		x := margin + wide*float64(i%3)
		p.page().Add(at(x, p.y-4, set(f.Name, draw.Regular, nameSize, wide-2)), at(x, p.y+0.6, set(f.Value, draw.Bold, 4.4, wide-2)))
	}
	p.y += 1
}

// Fact is a name with its value.
type Fact struct{ Name, Value string }

// drawing puts a drawing under what is written, as wide as the page at most.
func (p *paper) drawing(d *draw.Page) {
	p.room(d.Height + 2)
	p.page().Add(draw.Moved(d.Marks, margin, p.y+2)...)
	p.y += d.Height + 2
}

// finish writes the foot of every page.
func (p *paper) finish(words string) []*draw.Page {
	for i, page := range p.pages {
		number := "page " + decimal(i+1) + " of " + decimal(len(p.pages))
		page.Add(draw.Line{X1: margin, Y1: foot - 4, X2: margin + inner, Y2: foot - 4, Pen: draw.ChartRule},
			at(margin, foot, set(words, draw.Regular, 3, inner-40)),
			draw.Text{X: margin + inner, Y: foot, Size: 3, Words: number, Anchor: draw.Right})
	}
	return p.pages
}

func decimal(n int) string { return strconv.Itoa(n) }

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return decimal(n) + " " + what + "s"
}

// degrees prints an angle with one decimal.
func degrees(a unit.CentiDeg) string { return a.Text(1) }
