// Package phrase says what a frozen plan asks for, in the words of the shop.
//
// The printed sheet and the papers beside it take their sentences from here; bare
// labels stand with the drawing that prints them. Lengths are millimetres, angles
// degrees.
package phrase

import (
	"fmt"
	"slices"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Scale tells how a drawing stands to the metal, of which so many millimetres lie
// on one of paper.
func Scale(times float64) string {
	if times <= 1 {
		return fmt.Sprintf("scale %s:1", Number(1/times))
	}
	return fmt.Sprintf("scale 1:%s", Number(times))
}

// BlankSize is the size of the blank, along x and along y.
func BlankSize(in unit.System, b traveler.Blank) string {
	return fmt.Sprintf("%s × %s %s", in.Figure(b.Width), in.Figure(b.Height), in)
}

// Diagonals give the diagonal of the blank, which shows whether it is square: of
// one without all its corners it is measured before they are cut away.
func Diagonals(in unit.System, b traveler.Blank) string {
	for _, corner := range [4]traveler.Point{{}, {X: b.Width}, {Y: b.Height}, {X: b.Width, Y: b.Height}} {
		if !slices.Contains(b.Outline, corner) {
			return fmt.Sprintf("both diagonals %s, before the corners are cut", in.Figure(b.Diagonal))
		}
	}
	return fmt.Sprintf("both diagonals %s", in.Figure(b.Diagonal))
}

// Weight is what one blank weighs.
func Weight(b traveler.Blank) string {
	return unit.MM(float64(b.Grams)/1000).Text(2) + " kg a piece"
}

// BlankIdentity gives the letters that a drawing of the very same blank carries.
func BlankIdentity(b traveler.Blank) string { return "BLANK " + b.Identity() }

// Sum sets the outside sizes beside the blank: metal is saved at each bend,
// so a blank that is not smaller than their sum was worked out wrongly. It is
// empty where no sum is known.
func Sum(in unit.System, b traveler.Blank) string {
	if b.SumSizes == 0 {
		return ""
	}
	sum := in.Figure(b.SumSizes)
	if rounded, known := sumPrinted(b); known && in == unit.Metric && rounded.Text(1) != sum {
		sum += fmt.Sprintf(" (%s as rounded)", rounded.Text(1))
	}
	return fmt.Sprintf("Outside sizes add up to %s, the blank is %s: it must be smaller.", sum, in.Figure(across(b)))
}

// sumPrinted is what the sizes of the faces of a profile add up to as they are
// printed; it is known where they are the outside sizes that the blank is set beside.
func sumPrinted(b traveler.Blank) (sum unit.Micron, known bool) {
	exact := unit.Micron(0)
	for _, f := range b.Faces {
		for _, size := range f.Sizes {
			exact, sum = exact+size, sum+size.Tenths()
		}
	}
	return sum, max(exact-b.SumSizes, b.SumSizes-exact) <= dust*unit.Micron(len(b.Faces))
}

// across is the side of a profile's blank that the legs add up to: the one
// square to the bend lines.
func across(b traveler.Blank) unit.Micron {
	for _, l := range b.Lines {
		if l.Line[0].X == l.Line[1].X {
			return b.Width
		}
	}
	return b.Height
}

// RunningSize prints a running size; the datum edge itself is a plain 0.
func RunningSize(in unit.System, at unit.Micron) string {
	if at == 0 {
		return "0"
	}
	return in.Bare(at)
}

// At is a place on the blank: its running sizes from the left and from below.
func At(in unit.System, p traveler.Point) string {
	return RunningSize(in, p.X) + " / " + RunningSize(in, p.Y)
}

// NoseSize names a nose line by its step.
func NoseSize(step int, figure string) string { return fmt.Sprintf("%d: %s", step, figure) }

// BendLine tells which way a line is bent and how far.
func BendLine(l traveler.BendLine) string {
	way := "DOWN"
	if l.Up {
		way = "UP"
	}
	return fmt.Sprintf("%s %s", way, plainAngle(l.Angle))
}

// Ways says what the words of BendLine mean; empty for a blank without bends.
func Ways(b traveler.Blank) string {
	up := func(l traveler.BendLine) bool { return l.Up }
	down := func(l traveler.BendLine) bool { return !l.Up }
	switch isUp, isDown := slices.ContainsFunc(b.Lines, up), slices.ContainsFunc(b.Lines, down); {
	case isUp && isDown:
		return "UP towards A, DOWN away"
	case isUp:
		return "UP: towards face A"
	case isDown:
		return "DOWN: away from face A"
	}
	return ""
}

// NoseEnds says between which places a nose line runs that is square to neither
// datum edge, each as its running sizes from the left and from below; empty for
// others, whose one running size stands at the drawing.
func NoseEnds(in unit.System, l traveler.BendLine) string {
	from, to := l.Nose[0], l.Nose[1]
	if l.Step == 0 || from.X == to.X || from.Y == to.Y {
		return ""
	}
	at := func(p traveler.Point) string { return in.Figure(p.X) + " / " + in.Figure(p.Y) }
	return fmt.Sprintf("nose line %d from %s to %s", l.Step, at(from), at(to))
}

// ListedBend is BendLine with the inside radius and a name for the bend.
func ListedBend(in unit.System, l traveler.BendLine, name string) string {
	return fmt.Sprintf("%s r %s, %s", BendLine(l), in.Figure(l.Radius), name)
}

// LegNumbers names a bend between two legs by their numbers alone; others have the
// word they always have.
func LegNumbers(l traveler.BendLine) string { return strings.TrimPrefix(l.BendWord(), "legs ") }
