package report

import (
	"fmt"
	"slices"

	"brakeside/calc/unit"
	"brakeside/server/chart"
)

// The record of a large run: a summary by bend, and a line a piece.

// mostListed is how many measured bends are listed one by one, with place, time
// and initials: about as many as fit on a page.
const mostListed = 40

// stepsAcross is how many steps stand beside each other in the table by piece.
const stepsAcross = 9

// bendSum is what the lines of one step add up to.
type bendSum struct {
	line       // of the first, for what it says of the bend
	made, good int
	taught     int
	total      unit.CentiDeg // of the errors that teach
	least      unit.CentiDeg // errors as made
	most       unit.CentiDeg
}

// byBend sums lines up by step, in the order of the steps.
func byBend(lines []line) []bendSum {
	sums := map[int]*bendSum{}
	for _, l := range lines {
		s := sums[l.step]
		if s == nil {
			s = &bendSum{line: l}
			sums[l.step] = s
		}
		s.add(l)
	}
	var out []bendSum
	for _, s := range sums {
		out = append(out, *s)
	}
	slices.SortFunc(out, func(a, b bendSum) int { return a.step - b.step })
	return out
}

func (s *bendSum) add(l line) {
	if !l.made {
		return
	}
	if s.made == 0 {
		s.least, s.most = l.off, l.off
	}
	s.made, s.least, s.most = s.made+1, min(s.least, l.off), max(s.most, l.off)
	if l.good {
		s.good++
	}
	if l.teaches {
		s.taught, s.total = s.taught+1, s.total+l.off
	}
}

var bendColumns = []column{
	{"step", 14, true}, {"bend", 36, false}, {"nominal °", 24, true}, {"± °", 16, true},
	{"in tolerance", 36, true}, {"mean error °", 26, true}, {"least, most °", inner - 152, true},
}

// summary is the table by bend. What is flagged counts, but not in the mean.
func summary(lines []line) [][]string {
	var rows [][]string
	for _, s := range byBend(lines) {
		mean, span := "", ""
		if s.taught > 0 {
			mean = chart.Signed(s.total.Deg() / unit.Deg(s.taught))
		}
		if s.made > 0 {
			span = chart.Signed(s.least.Deg()) + ", " + chart.Signed(s.most.Deg())
		}
		rows = append(rows, []string{decimal(s.step), s.bend, s.nominal, s.tolerance, fmt.Sprintf("%d of %d", s.good, s.made), mean, span})
	}
	return rows
}

// byPiece writes one line a piece: the angle that was measured last of each bend,
// and an asterisk where there is more to say of it.
func (p *paper) byPiece(lines []line, steps []int) {
	for len(steps) > 0 {
		n := min(len(steps), stepsAcross)
		p.table(pieceColumns(steps[:n]), pieceRows(lines, steps[:n]))
		steps = steps[n:]
		p.y += 2
	}
}

func pieceColumns(steps []int) []column {
	columns := []column{{"piece", 18, true}}
	for _, step := range steps {
		columns = append(columns, column{"step " + decimal(step), (inner - 18) / stepsAcross, true})
	}
	return columns
}

// pieceRows are in the order of the pieces.
func pieceRows(lines []line, steps []int) [][]string {
	type spot struct{ piece, step int }
	cells, noted := map[spot]string{}, map[spot]bool{}
	var pieces []int
	for _, l := range lines {
		at := spot{l.piece, l.step}
		cells[at], noted[at] = l.measured, noted[at] || l.noted()
		pieces = append(pieces, l.piece)
	}
	slices.Sort(pieces)
	var rows [][]string
	for _, piece := range slices.Compact(pieces) {
		row := []string{decimal(piece)}
		for _, step := range steps {
			at := spot{piece, step}
			if noted[at] {
				cells[at] += " *"
			}
			row = append(row, cells[at])
		}
		rows = append(rows, row)
	}
	return rows
}
