package caution

import (
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/sign"
)

// What stands above and below the general cautions.
const (
	wordsSafety    = "FOR EVERY JOB ON THIS BRAKE"
	wordsSafetyEnd = "Follow the machine's manual, local codes and qualified people: they come before this sheet."
)

// General is the block of what is true of every job, printed once, at the end.
// The cautions fill two columns, one by one into the shorter; notices stand on
// a line of their own.
func General(s *page.Set) page.Block {
	width := s.Body().W / 2
	var columns [2][]hazard
	var heights [2]float64
	for _, h := range hazardsOf(s.Brake) {
		i := 0
		if heights[1] < heights[0] {
			i = 1
		}
		columns[i] = append(columns[i], h)
		heights[i] += h.height(width)
	}
	notes := noticesOf(s.Brake)
	height := max(heights[0], heights[1]) + 2*page.TitleHeight + float64(len(notes))*signalHeight
	return page.Solid(height, func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: wordsSafety, Level: 0})
		c.Frame(b, draw.Outline)
		top, b := b.CutTop(page.TitleHeight)
		c.Write(top.Inset(0.8), canvas.Bold, wordsSafety)
		last, b := b.CutBottom(page.TitleHeight)
		c.Write(last.Inset(0.8), canvas.Bold, wordsSafetyEnd)
		for _, n := range notes {
			var line canvas.Box
			line, b = b.CutBottom(signalHeight)
			Draw(c, line.Inset(0.6), n)
		}
		for i, column := range b.Columns(1, 1) {
			for _, h := range columns[i] {
				var own canvas.Box
				own, column = column.CutTop(h.height(width))
				h.draw(c, own.Inset(0.8))
			}
		}
	})
}

// hazard is one of the cautions that are true of every job.
type hazard struct {
	level, sign, text string
}

// hazardsOf lists the general cautions that every sheet for a brake carries, of
// the equipment that the brake is known to have. The figure of the field is that
// of the source named in the words.
func hazardsOf(b traveler.Brake) []hazard {
	crush := hazard{traveler.Warning, sign.Crush,
		"Bar, bed and leaf crush or cut off fingers. Before each swing look that nobody else has a hand or body near them."}
	if b.Foot {
		crush.text += " Foot control: only the one at the leaf works it."
	}
	edges := hazard{traveler.Care, sign.Gloves,
		"Edges cut: gloves to carry sheets, none near the swinging leaf; eye protection. " +
			"Two people lift what two hands cannot hold level."}
	if b.TwoHand {
		crush.text += " Clamp with both hands on the controls."
	}
	if !b.Magnet {
		return []hazard{crush, edges}
	}
	implant := hazard{traveler.Warning, sign.Implant,
		"Pacemakers and other implants: wearers stay out of fields over 0.5 mT " +
			"(ACGIH limit for medical devices, 2015, as given at emfs.info)."}
	magnet := hazard{traveler.Warning, sign.Magnet,
		"The magnet pulls bars down on hands, and loose steel tools jump. " +
			"Set bars and fingers with the magnet OFF; no loose steel near the bed."}
	return []hazard{crush, implant, magnet, edges}
}

// noticesOf lists what harms only things.
func noticesOf(b traveler.Brake) []traveler.Caution {
	if !b.Magnet {
		return nil
	}
	return []traveler.Caution{{Level: traveler.Notice, Text: "The magnet can stop watches and wipe cards: keep them and phones off the bed."}}
}

// Sizes of a general caution.
const (
	signSide    = 12.0
	panelHeight = 4.4
)

// textWidth is the width of a caution's words in a column.
func (h hazard) textWidth(column float64) float64 { return column - 1.6 - signSide - 2 }

// height is what a caution takes of a column.
func (h hazard) height(column float64) float64 {
	text := max(signSide, panelHeight+0.4+canvas.Small.Height(h.text, h.textWidth(column)))
	return text + 1.6
}

// draw prints the hazard beside its sign.
func (h hazard) draw(c canvas.Canvas, b canvas.Box) {
	own, b := b.CutLeft(signSide)
	sign.Safety(c, canvas.Box{X: own.X, Y: own.Y, W: signSide, H: signSide}, h.sign)
	_, b = b.CutLeft(2)
	top, b := b.CutTop(panelHeight)
	word, _ := top.CutLeft(panelWidth)
	panel(c, word, h.level)
	_, b = b.CutTop(0.4)
	c.Flow(b, canvas.Small, h.text)
}
