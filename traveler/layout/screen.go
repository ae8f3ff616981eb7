package layout

import (
	"math"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// OnScreen draws the blank as Dimensioned does, without the heading and with
// type that can still be read where the whole blank is as wide as a hand.
func OnScreen(b traveler.Blank, p traveler.Part) *draw.Page {
	d := drawing{blank: b}
	d.size = d.screenType()
	d.left, d.top = 7*d.size, 2*d.size
	if p.Grain != "" {
		d.top = 8 * d.size // the arrow stands above the blank
	}
	d.page = &draw.Page{
		Title: p.Number + " blank", Width: d.left + mm(b.Width) + 2*d.size, Height: d.top + mm(b.Height) + 7*d.size,
		Description: described(b, p),
	}
	d.marks(p)
	return d.page
}

// screenType is the height of the type: a share of the blank, and less where
// the running dimensions of one edge would otherwise reach past the drawing.
func (d drawing) screenType() float64 {
	width, height := mm(d.blank.Width), mm(d.blank.Height)
	size := math.Max(width, height) / 34
	for _, edge := range []struct {
		long    float64
		figures int
	}{{width, len(d.withLines(d.blank.RunningX, acrossX))}, {height, len(d.withLines(d.blank.RunningY, acrossY))}} {
		size = math.Min(size, edge.long/(1.25*float64(max(edge.figures, 1))))
	}
	return math.Max(size, 1)
}
