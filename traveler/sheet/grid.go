package sheet

import (
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// gridPieces is how many pieces one table takes.
const gridPieces = 20

// gridSteps is how many steps lie side by side before a written angle has no room.
const gridSteps = 14

// grids are the tables to write measured angles in: a row for each piece and a
// column for each bend. One piece alone has its boxes in the rows.
func grids(s *page.Set) []page.Block {
	if s.Quantity == 1 {
		return nil
	}
	var out []page.Block
	for steps := s.Steps; len(steps) > 0; {
		n := min(gridSteps, len(steps))
		out = append(out, gridOf(s, steps[:n]))
		steps = steps[n:]
	}
	return out
}

// gridUse is the height of what stands over the table, gridHead that of the columns'
// heads, gridFoot that of what stands under a table of too few rows, and pieceWidth
// the width of the first column. A row has the height leastGridRow, or up to
// mostGridRow where there are few pieces.
const (
	gridUse      = 18.2
	gridHead     = 16.5
	gridFoot     = 5.0
	leastGridRow = 6.4
	mostGridRow  = 12.0
	pieceWidth   = 20.0
)

// gridOf is the table of some of the steps.
func gridOf(s *page.Set, steps []traveler.Step) page.Block {
	pieces, around := min(gridPieces, max(1, s.Quantity)), gridUse+gridHead
	if s.Quantity > gridPieces {
		around += gridFoot
	}
	rows := float64(pieces + 1)
	return page.Block{Least: around + leastGridRow*rows, Most: around + mostGridRow*rows, Draw: func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: wordsGridTitle, Level: 0})
		top, b := b.CutTop(gridUse)
		drawGridUse(c, top)
		if s.Quantity > gridPieces {
			var foot canvas.Box
			foot, b = b.CutBottom(gridFoot)
			c.Write(foot, canvas.Small, wordsGridMore)
		}
		drawGrid(c, b, steps, pieces)
	}}
}

// drawGrid is the table itself.
func drawGrid(c canvas.Canvas, b canvas.Box, steps []traveler.Step, pieces int) {
	c.Frame(b, draw.Outline)
	heads, rows := b.CutTop(gridHead)
	names, _ := rows.CutLeft(pieceWidth)
	for i, row := range names.Rows(pieces + 1) {
		c.Line(draw.Grid, canvas.Spot(b.X, row.Y), canvas.Spot(b.Right(), row.Y))
		if i == 0 {
			c.Write(row.Inset(0.8), canvas.Small, wordsGridStopUsed)
			continue
		}
		c.Write(row.Inset(0.5), canvas.Largely.Centred(), strconv.Itoa(i))
	}
	piece, heads := heads.CutLeft(pieceWidth)
	label, _ := piece.CutBottom(canvas.LineStep * canvas.Body)
	c.Write(label.Inset(0.4), canvas.Small, wordsPiece)
	for i, column := range heads.Columns(equal(len(steps))...) {
		c.Line(draw.Grid, canvas.Spot(column.X, b.Y), canvas.Spot(column.X, b.Bottom()))
		drawGridColumn(c, column, steps[i])
		drawGridStop(c, canvas.Box{X: column.X, Y: rows.Y, W: column.W, H: rows.H / float64(pieces+1)}, steps[i])
	}
}

// drawGridStop fills in the stop as printed, small and in the corner: another one is
// written beside it.
func drawGridStop(c canvas.Canvas, b canvas.Box, step traveler.Step) {
	corner, _ := b.Inset(0.5).CutTop(canvas.LineStep * canvas.Small.Size)
	c.Write(corner, canvas.Small, gridStop(step))
}

func equal(n int) []float64 {
	shares := make([]float64, n)
	for i := range shares {
		shares[i] = 1
	}
	return shares
}

// drawGridColumn is the head of a step's column.
func drawGridColumn(c canvas.Canvas, b canvas.Box, step traveler.Step) {
	number, b := b.CutTop(11.5)
	c.Write(number.Inset(0.8), numberLetters.Centred(), strconv.Itoa(step.Number))
	c.Write(b.Inset(0.4), canvas.SmallBold.Centred(), gridTarget(step))
}

// drawGridUse says how the table is filled in, and asks what all its readings
// share.
func drawGridUse(c canvas.Canvas, b canvas.Box) {
	title, b := b.CutTop(7)
	name, rest := title.CutLeft(canvas.Largely.Width(wordsGridTitle) + 4)
	c.Write(name, canvas.Largely, wordsGridTitle)
	c.Write(rest, canvas.Small, wordsGridUse)
	b, _ = b.CutTop(11)
	cells := b.Columns(52, 40, 40, 58)
	drawAngleKind(c, cells[0])
	for i, label := range []string{wordsGridBy, wordsGridTool, wordsGridPack} {
		page.Labelled(c, cells[i+1], label)
	}
}

// drawAngleKind asks which of the two angles is written: 135 can be either.
func drawAngleKind(c canvas.Canvas, b canvas.Box) {
	for i, half := range page.Labelled(c, b, wordsGridReads).Columns(28, 24) {
		page.Tick(c, half, []string{phrase.ReadsBend, phrase.ReadsOpening}[i])
	}
}
