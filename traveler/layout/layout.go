// Package layout draws a blank at full size: its outline, its bend lines and,
// for paper and screen, its dimensions.
//
// One millimetre of the drawing is one millimetre of the sheet. The datum
// corner, lower left seen from face A, is where both rows of running dimensions
// begin; they are measured from there and never added up.
package layout

import (
	"fmt"
	"math"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
	"brakeside/traveler/phrase"
)

// Ticked draws outline, openings, bend lines and nose lines only, without any
// margin: the lower left corner of the page is the datum corner. It is what a
// cutting machine gets. Marks of a length, 0 for none, stand at both ends of every
// bend line, from the edge inwards, for a cutter that marks the sheet.
func Ticked(b traveler.Blank, ticks unit.Micron) *draw.Page {
	d := drawing{page: &draw.Page{Title: "Blank", Description: "Blank " + b.Identity(), Width: mm(b.Width), Height: mm(b.Height)}, blank: b}
	d.cuts()
	for _, l := range b.Lines {
		d.line(l)
		d.ticks(l, mm(ticks))
	}
	return d.page
}

// Dimensioned draws the blank with its running dimensions, its bend zones and
// holes named, its overall size, a heading and a bar to measure the print by, in a
// margin that grows with the size of the blank.
func Dimensioned(b traveler.Blank, p traveler.Part, system unit.System) *draw.Page {
	size := math.Max(3.5, math.Max(mm(b.Width), mm(b.Height))/130)
	margin := 9 * size
	if system == unit.Inch { // running sizes have millimetres behind them
		margin = 13 * size
	}
	d := drawing{
		page:  &draw.Page{Title: p.Number + " blank", Width: mm(b.Width) + 2*margin, Height: mm(b.Height) + 2.4*margin},
		blank: b, in: system, left: margin, top: 1.4 * margin, size: size,
	}
	words := heading(system, b, p)
	d.page.Width = max(d.page.Width, d.measureWidth(system),
		letter.Width(words[0], draw.Bold, 1.3*size)+grainRoom*size,
		letter.Width(words[1], draw.Regular, size)+grainRoom*size)
	d.page.Description = described(b, p)
	d.marks(p)
	d.head(words)
	d.measureMe(system)
	return d.page
}

// marks draws the blank and all that is written on it and beside it.
func (d drawing) marks(p traveler.Part) {
	d.cuts()
	for _, l := range d.blank.Lines {
		d.zone(l)
		d.line(l)
	}
	d.holes()
	d.names()
	d.running()
	d.grain(p.Grain)
}

// line draws a bend line, and its nose line where it is known.
func (d drawing) line(l traveler.BendLine) {
	pen := draw.BendDown
	if l.Up {
		pen = draw.BendUp
	}
	d.stroke(pen, l.Line)
	if l.Step > 0 {
		d.stroke(draw.NoseLine, l.Nose)
	}
}

// running writes the distances from the datum edges: x below the blank, y to
// its left, each at the end of a leader that steps aside where two would
// collide. Before a plan tells where the nose lines lie, the bend lines are
// measured too.
func (d drawing) running() {
	bottom := d.top + mm(d.blank.Height)
	for _, s := range spread(d.withLines(d.blank.RunningX, acrossX), 1.25*d.size, -1.2*d.size) {
		x, to := d.left+mm(s.value), d.left+s.at
		d.leader(draw.Point{X: x, Y: bottom + 0.6*d.size}, draw.Point{X: to, Y: bottom + 2.4*d.size})
		words := draw.Text{X: to + 0.35*d.size, Y: bottom + 2.7*d.size, Size: d.size, Words: d.in.Figure(s.value), Anchor: draw.Right, Turn: 90}
		d.page.Add(words)
	}
	for _, s := range spread(d.withLines(d.blank.RunningY, acrossY), 1.25*d.size, math.Inf(-1)) {
		y, to := bottom-mm(s.value), bottom-s.at
		d.leader(draw.Point{X: d.left - 0.6*d.size, Y: y}, draw.Point{X: d.left - 2.4*d.size, Y: to})
		d.page.Add(draw.Text{X: d.left - 2.7*d.size, Y: to + 0.35*d.size, Size: d.size, Words: d.in.Figure(s.value), Anchor: draw.Right})
	}
}

func acrossX(p traveler.Point) unit.Micron { return p.X }

func acrossY(p traveler.Point) unit.Micron { return p.Y }

// withLines adds, to running dimensions, the places of the bend lines square to
// them that have no nose line.
func (d drawing) withLines(values []unit.Micron, along func(traveler.Point) unit.Micron) []unit.Micron {
	out := slices.Clone(values)
	for _, l := range d.blank.Lines {
		if at := along(l.Line[0]); l.Step == 0 && at == along(l.Line[1]) {
			out = append(out, at)
		}
	}
	slices.Sort(out)
	return slices.CompactFunc(out, func(a, b unit.Micron) bool { return max(a, b)-min(a, b) < sameLine })
}

// sameLine is how far two places may lie apart and still be written once.
const sameLine unit.Micron = 50

// described tells of the drawing in words, for readers who do not see it.
func described(b traveler.Blank, p traveler.Part) string {
	return fmt.Sprintf("Blank of %s, %s by %s millimetres, with %d bend lines",
		p.Number, b.Width.Text(1), b.Height.Text(1), len(b.Lines))
}

func heading(in unit.System, b traveler.Blank, p traveler.Part) []string {
	return []string{
		letter.Clean(fmt.Sprintf("%s  rev %s  %s", p.Number, p.Revision, p.Title)),
		letter.Clean(fmt.Sprintf("%s  %s   blank %s: %s x %s %s   %s   face A up, datum corner lower left",
			p.Material, in.Said(p.Thickness.Text(2)+" mm"), b.Identity(), in.Figure(b.Width), in.Figure(b.Height), in, phrase.Diagonals(in, b))),
	}
}

func (d drawing) head(lines []string) {
	room := d.page.Width - (grainRoom-1)*d.size
	d.page.Add(
		draw.Text{X: d.size, Y: 2.2 * d.size, Size: 1.3 * d.size, Words: lines[0], Face: draw.Bold, MaxWidth: room},
		draw.Text{X: d.size, Y: 4.2 * d.size, Size: d.size, Words: lines[1], MaxWidth: room},
	)
}
