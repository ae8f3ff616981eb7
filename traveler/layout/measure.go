package layout

import (
	"brakeside/calc/unit"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
)

// The bar at the foot of a drawing by which its print is measured: printers and
// viewers scale pages unasked, and a blank is marked out from the print.
const (
	metricBar unit.MM = 100
	inchBar   unit.MM = 4 * 25.4
)

// measure gives the bar of a system and what stands beside it.
func measure(s unit.System) (long unit.MM, words string) {
	if s == unit.Inch {
		return inchBar, "measure me: 4 inches, or this print is not to scale"
	}
	return metricBar, "measure me: 100 mm, or this print is not to scale"
}

// measureWidth is the width of page that the bar takes.
func (d drawing) measureWidth(s unit.System) float64 {
	long, words := measure(s)
	return float64(long) + letter.Width(words, draw.Regular, d.size) + 3*d.size
}

// measureMe draws the bar at the foot of the page.
func (d drawing) measureMe(s unit.System) {
	long, words := measure(s)
	from, to, y := d.size, d.size+float64(long), d.page.Height-1.2*d.size
	d.page.Add(draw.Line{X1: from, Y1: y, X2: to, Y2: y, Pen: draw.Outline})
	for _, x := range []float64{from, to} {
		d.page.Add(draw.Line{X1: x, Y1: y - 0.5*d.size, X2: x, Y2: y + 0.5*d.size, Pen: draw.Thin})
	}
	d.page.Add(draw.Text{X: to + d.size, Y: y + 0.35*d.size, Size: d.size, Words: words})
}
