package layout

import (
	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

func mm(m unit.Micron) float64 { return float64(m.MM()) }

// drawing places the blank on a page.
type drawing struct {
	page      *draw.Page
	blank     traveler.Blank
	left, top float64 // of the blank's upper left corner
	size      float64 // of the type
}

func (d drawing) at(p traveler.Point) draw.Point {
	return draw.Point{X: d.left + mm(p.X), Y: d.top + mm(d.blank.Height-p.Y)}
}

func (d drawing) stroke(pen draw.Pen, ends [2]traveler.Point) {
	a, b := d.at(ends[0]), d.at(ends[1])
	d.page.Add(draw.Line{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: pen})
}
