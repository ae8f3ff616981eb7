package caution

import (
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/sign"
)

// wordsSafety is what comes before the sheet.
const wordsSafety = "The machine's manual, local codes and qualified people come first."

// General is the block of what is true of every job, printed once: the graver cautions in a row, the others in a second one, and what comes before
// them all.
func General(s *page.Set) page.Block {
	rows, width := rowsOf(s.Brake), s.Body().W
	height := 0.0
	for _, r := range rows {
		height += r.height(width)
	}
	return page.Solid(height, func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: "CAUTIONS", Level: 0})
		c.Frame(b, draw.Outline)
		for i, r := range rows {
			var own canvas.Box
			own, b = b.CutTop(r.height(width))
			if i > 0 {
				c.Line(draw.Thin, canvas.Spot(own.X, own.Y), canvas.Spot(own.Right(), own.Y))
			}
			r.draw(c, own)
		}
	})
}

// row is hazards side by side, each behind the panel of its signal word unless that is
// the one before it; one without a level has no panel.
type row []hazard

// rowsOf puts the general cautions of a brake into two rows: the warnings, and the rest.
func rowsOf(b traveler.Brake) []row {
	rows := make([]row, 2)
	for _, h := range hazardsOf(b) {
		i := 0
		if h.level != traveler.Warning {
			i = 1
		}
		rows[i] = append(rows[i], h)
	}
	rows[1] = append(rows[1], hazard{text: wordsSafety})
	return rows
}

// panelled reports whether a hazard of the row has a panel.
func (r row) panelled(i int) bool {
	return r[i].level != "" && (i == 0 || r[i-1].level != r[i].level)
}

// cells cut a row into a cell for each hazard, of widths in which the words of all take
// about as many lines.
func (r row) cells(b canvas.Box) []canvas.Box {
	letters, free := 0.0, b.W
	for i, h := range r {
		letters += canvas.Small.Width(h.text)
		free -= h.beside(r.panelled(i))
	}
	shares := make([]float64, len(r))
	for i, h := range r {
		shares[i] = h.beside(r.panelled(i)) + free*canvas.Small.Width(h.text)/letters
	}
	return b.Columns(shares...)
}

// height is what the row takes of a width.
func (r row) height(width float64) float64 {
	tall := 0.0
	for i, cell := range r.cells(canvas.Box{W: width}) {
		tall = max(tall, r[i].height(cell.W, r.panelled(i)))
	}
	return tall
}

func (r row) draw(c canvas.Canvas, b canvas.Box) {
	for i, cell := range r.cells(b) {
		r[i].draw(c, cell, r.panelled(i))
	}
}

// hazard is one of the cautions that are true of every job.
type hazard struct {
	level, sign, text string
}

// hazardsOf lists the general cautions that every sheet for a brake carries, of
// the equipment that the brake is known to have. The figure of the field is that
// of the source named in the words.
func hazardsOf(b traveler.Brake) []hazard {
	crush := hazard{traveler.Warning, sign.Crush, "Bar, bed and leaf crush fingers. Before each swing: nobody's hand or body near."}
	if b.Foot {
		crush.text += " Foot control: only the one at the leaf works it."
	}
	if b.TwoHand {
		crush.text += " Clamp with both hands on the controls."
	}
	edges := hazard{traveler.Care, sign.Gloves, "Edges cut: gloves to carry, none near the leaf; eye protection. Two lift what sags."}
	if !b.Magnet {
		return []hazard{crush, edges}
	}
	magnet := hazard{traveler.Warning, sign.Magnet, "The magnet pulls bars down on hands; loose steel jumps. Magnet OFF to set bars and fingers."}
	implant := hazard{traveler.Warning, sign.Implant, "Pacemaker, implant: stay out of fields over 0.5 mT (ACGIH 2015, as given at emfs.info)."}
	notice := hazard{traveler.Notice, "", "No watches, cards, phones on the magnet."}
	return []hazard{crush, magnet, implant, edges, notice}
}

// Sizes of a general caution: its sign, and the free edge of its cell.
const (
	signSide = 9.0
	cellEdge = 0.7
)

// beside is the width of what stands beside a caution's words.
func (h hazard) beside(panelled bool) float64 {
	wide := 2 * cellEdge
	if panelled {
		wide += panelWidth
	}
	if h.sign != "" {
		wide += signSide + 1
	}
	return wide
}

// height is what a caution takes of a cell of a width.
func (h hazard) height(width float64, panelled bool) float64 {
	least := canvas.Small.Height(h.text, width-h.beside(panelled))
	if h.sign != "" {
		least = max(least, signSide)
	}
	return least + 2*cellEdge
}

// draw prints the hazard beside its panel and its sign.
func (h hazard) draw(c canvas.Canvas, b canvas.Box, panelled bool) {
	if panelled {
		var word canvas.Box
		word, b = b.CutLeft(panelWidth)
		panel(c, word, h.level)
	}
	b = b.Inset(cellEdge)
	letters := canvas.SmallBold
	if h.sign != "" {
		var own canvas.Box
		own, b = b.CutLeft(signSide + 1)
		sign.Safety(c, own.Middle(signSide, signSide), h.sign)
	}
	if h.level != "" {
		letters = canvas.Small
	}
	c.Flow(b.Middle(b.W, letters.Height(h.text, b.W)), letters, h.text)
}
