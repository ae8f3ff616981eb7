package layout

import (
	"fmt"
	"math"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// ticks marks both ends of a bend line, from the edge inwards; on a line too
// short for both they meet in its middle.
func (d drawing) ticks(l traveler.BendLine, long float64) {
	a, b := d.at(l.Line[0]), d.at(l.Line[1])
	whole := math.Hypot(b.X-a.X, b.Y-a.Y)
	if long <= 0 || whole == 0 {
		return
	}
	share := math.Min(long/whole, 0.5)
	for _, ends := range [][2]draw.Point{{a, b}, {b, a}} {
		from, to := ends[0], ends[1]
		d.page.Add(draw.Line{X1: from.X, Y1: from.Y, X2: from.X + share*(to.X-from.X), Y2: from.Y + share*(to.Y-from.Y), Pen: draw.CutMark})
	}
}

// zone draws the two tangents of a bend, where its zone begins and ends.
func (d drawing) zone(l traveler.BendLine) {
	for _, t := range l.Tangents {
		if t[0] != t[1] {
			d.stroke(draw.Thin, t)
		}
	}
}

// holes marks the centres of round holes.
func (d drawing) holes() {
	for _, c := range d.blank.Curves {
		if !c.Whole(d.blank) || c.Radius == 0 {
			continue
		}
		at, r := d.at(c.Centre), mm(c.Radius)
		arm := math.Min(0.6*d.size, 0.7*r)
		d.page.Add(
			draw.Line{X1: at.X - arm, Y1: at.Y, X2: at.X + arm, Y2: at.Y, Pen: draw.Thin},
			draw.Line{X1: at.X, Y1: at.Y - arm, X2: at.X, Y2: at.Y + arm, Pen: draw.Thin},
		)
	}
}

// grainRoom is what the arrow of the grain takes at the right end of the
// heading, in sizes of the type.
const grainRoom = 14

// grain draws how the grain of the sheet must run, at the head of the drawing.
func (d drawing) grain(axis string) {
	if axis == "" {
		return
	}
	x, y, half := d.page.Width-6*d.size, 2.6*d.size, 3*d.size
	arrow := draw.Line{X1: x - half, Y1: y, X2: x + half, Y2: y, Pen: draw.Outline, Arrows: draw.AtBoth}
	if axis == "y" {
		arrow = draw.Line{X1: x, Y1: 0.8 * d.size, X2: x, Y2: 0.8*d.size + 2*half, Pen: draw.Outline, Arrows: draw.AtBoth}
		x -= 2.5 * d.size
	}
	d.page.Add(arrow, draw.Text{X: x, Y: y - 0.7*d.size, Size: d.size, Words: letter.Clean("grain"), Anchor: draw.Centre})
}

// bendSize is what is said of a bend beside its line.
func bendSize(l traveler.BendLine) string {
	if l.Angle.Deg() >= unit.Deg(180) {
		return "hem"
	}
	return l.Angle.Text(1) + "°"
}

// bendStep names the step of a bend and says where its nose line lies, once a plan
// tells it.
func bendStep(in unit.System, b traveler.Blank, l traveler.BendLine) string {
	if l.Step == 0 {
		return ""
	}
	words := fmt.Sprintf(", step %d", l.Step)
	if at, straight := b.NoseAt(l.Step); straight {
		words += ", nose line at " + in.Figure(at)
	}
	return words
}
