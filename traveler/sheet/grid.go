package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"strconv"
)

// gridPieces is how many pieces one page takes.
const gridPieces = 20

// gridSteps is how many steps lie side by side before the columns get too
// narrow for a gloved hand.
const gridSteps = 9

// grid is the page, or pages, to write measured angles on: a row for each
// piece and a column for each bend.
func (s *sheet) grid() {
	for steps := s.Steps; len(steps) > 0; {
		n := min(gridSteps, len(steps))
		c, b := s.further()
		s.gridPage(c, b, steps[:n])
		steps = steps[n:]
	}
}

// gridHead is the height of the columns' heads, gridRow the height of a row
// when there are few pieces, and pieceWidth the width of the first column.
const (
	gridHead   = 22.0
	gridRow    = 12.0
	pieceWidth = 20.0
)

// gridPage draws the table of some of the steps.
func (s *sheet) gridPage(c canvas, b box, steps []traveler.Step) {
	c.add(draw.Bookmark{Y: b.y, Words: wordsGridTitle, Level: 0})
	top, b := b.cutTop(20)
	s.gridUse(c, top)
	if s.Quantity > gridPieces {
		var foot box
		foot, b = b.cutBottom(5)
		c.write(foot, small, wordsGridMore)
	}
	pieces := min(gridPieces, max(1, s.Quantity))
	b.h = min(b.h, gridHead+gridRow*float64(pieces+1))
	c.frame(b, draw.Outline)
	heads, rows := b.cutTop(gridHead)
	names, _ := rows.cutLeft(pieceWidth)
	for i, row := range names.rows(pieces + 1) {
		c.line(draw.Grid, spot(b.x, row.y), spot(b.right(), row.y))
		if i == 0 {
			c.write(row.inset(0.8), small, wordsGridStopUsed)
			continue
		}
		c.write(row.inset(0.8), largely.centred(), strconv.Itoa(i))
	}
	piece, heads := heads.cutLeft(pieceWidth)
	label, _ := piece.cutBottom(lineStep * body)
	c.write(label.inset(0.4), small, wordsPiece)
	for i, column := range heads.columns(equal(len(steps))...) {
		c.line(draw.Grid, spot(column.x, b.y), spot(column.x, b.bottom()))
		c.gridColumn(column, steps[i])
	}
}

func equal(n int) []float64 {
	shares := make([]float64, n)
	for i := range shares {
		shares[i] = 1
	}
	return shares
}

// gridColumn is the head of a step's column.
func (c canvas) gridColumn(b box, step traveler.Step) {
	number, b := b.cutTop(12.5)
	c.write(number.inset(0.5), numberLetters.centred(), strconv.Itoa(step.Number))
	rows := b.inset(0.4).rows(2)
	c.write(rows[0], smallBold.centred(), gridTarget(step))
	c.write(rows[1], small.centred(), gridStop(step))
}

// gridUse says how the table is filled in, and asks what all its readings
// share.
func (s *sheet) gridUse(c canvas, b box) {
	title, b := b.cutTop(7)
	name, rest := title.cutLeft(largely.width(wordsGridTitle) + 4)
	c.write(name, largely, wordsGridTitle)
	c.write(rest, small, wordsGridUse)
	b, _ = b.cutTop(11)
	cells := b.columns(52, 40, 40, 58)
	c.angleKind(cells[0])
	for i, label := range []string{wordsGridBy, wordsGridTool, wordsGridPack} {
		c.labelled(cells[i+1], label)
	}
}

// angleKind asks which of the two angles is written: 135 can be either.
func (c canvas) angleKind(b box) {
	for i, half := range c.labelled(b, wordsGridReads).columns(28, 24) {
		c.tick(half, []string{wordsGridBend, wordsGridOpening}[i])
	}
}
