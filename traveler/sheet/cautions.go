package sheet

import (
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// signalHeight is the height of a caution on one line, signalLines the most
// lines it may take.
const (
	signalHeight = 6.2
	signalLines  = 3
)

// signalText is the width of a caution's words in a row of that width.
func signalText(width float64) float64 { return width - panelWidth - 2.5 }

// heightOf is what a caution takes in a row of that width.
func heightOf(caution traveler.Caution, width float64) float64 {
	if smallBold.width(caution.Text) <= signalText(width) {
		return signalHeight
	}
	text := min(signalLines*lineStep*body, bold.height(caution.Text, signalText(width)))
	return max(signalHeight, text+2)
}

// worst picks the one caution that a step may carry: the gravest, and of equal
// ones the first. Two are read by nobody.
func worst(cautions []traveler.Caution) (traveler.Caution, bool) {
	for _, level := range severity {
		if i := slices.IndexFunc(cautions, func(c traveler.Caution) bool { return c.Level == level }); i >= 0 {
			return cautions[i], true
		}
	}
	if len(cautions) > 0 {
		return cautions[0], true
	}
	return traveler.Caution{}, false
}

// signal is a caution: the signal word in its panel, then the words.
func (c canvas) signal(b box, caution traveler.Caution) {
	word, rest := b.cutLeft(panelWidth)
	c.panel(word, caution.Level)
	_, rest = rest.cutLeft(1.5)
	_, rest = rest.cutRight(1)
	if smallBold.width(caution.Text) <= rest.w {
		c.write(rest, bold, caution.Text)
		return
	}
	text := rest.middle(rest.w, min(rest.h, bold.height(caution.Text, rest.w)+0.01))
	c.flow(text, bold, caution.Text)
}

// panel is a signal word, white on black; the words for harm to people carry
// the alert sign before them, notice does not (ANSI Z535.4).
func (c canvas) panel(b box, level string) {
	c.fill(b, draw.Black)
	word, known := signals[level]
	if !known {
		word = signals[traveler.Warning] // doubt is never safety
	}
	if level != traveler.Notice {
		var own box
		own, b = b.cutLeft(6.2)
		c.alert(own.middle(4.4, 3.9))
	}
	c.write(b.inset(0.5), bold.centred().inverse(), word)
}

// partCautions are what is true of the whole part, one block each.
func (s *sheet) partCautions() []block {
	var blocks []block
	for _, one := range s.Cautions {
		blocks = append(blocks, solid(heightOf(one, s.body().w), func(c canvas, b box) {
			c.frame(b, draw.Outline)
			c.signal(b, one)
		}))
	}
	return blocks
}

// safety is the block of what is true of every job, printed once, at the end.
// The cautions fill two columns, one by one into the shorter; notices stand on
// a line of their own.
func (s *sheet) safety() block {
	width := s.body().w / 2
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
	height := max(heights[0], heights[1]) + 2*titleHeight + float64(len(notes))*signalHeight
	return solid(height, func(c canvas, b box) {
		c.add(draw.Bookmark{Y: b.y, Words: wordsSafety, Level: 0})
		c.frame(b, draw.Outline)
		top, b := b.cutTop(titleHeight)
		c.write(top.inset(0.8), bold, wordsSafety)
		last, b := b.cutBottom(titleHeight)
		c.write(last.inset(0.8), bold, wordsSafetyEnd)
		for _, n := range notes {
			var line box
			line, b = b.cutBottom(signalHeight)
			c.signal(line.inset(0.6), n)
		}
		for i, column := range b.columns(1, 1) {
			for _, h := range columns[i] {
				var own box
				own, column = column.cutTop(h.height(width))
				h.draw(c, own.inset(0.8))
			}
		}
	})
}

// Sizes of a general caution.
const (
	signSide    = 12.0
	panelHeight = 4.4
	panelWidth  = 28.0
)

// titleHeight is the height of the title of a block.
const titleHeight = 5.2

// textWidth is the width of a caution's words in a column.
func (h hazard) textWidth(column float64) float64 { return column - 1.6 - signSide - 2 }

// height is what a caution takes of a column.
func (h hazard) height(column float64) float64 {
	text := max(signSide, panelHeight+0.4+small.height(h.text, h.textWidth(column)))
	return text + 1.8
}

// hazard is one of the general cautions with its sign.
func (h hazard) draw(c canvas, b box) {
	own, b := b.cutLeft(signSide)
	c.safetySign(box{own.x, own.y, signSide, signSide}, h.sign)
	_, b = b.cutLeft(2)
	top, b := b.cutTop(panelHeight)
	word, _ := top.cutLeft(panelWidth)
	c.panel(word, h.level)
	_, b = b.cutTop(0.4)
	c.flow(b, small, h.text)
}
