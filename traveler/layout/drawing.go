package layout

import (
	"math"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

func mm(m unit.Micron) float64 { return float64(m.MM()) }

// drawing places the blank on a page.
type drawing struct {
	page      *draw.Page
	blank     traveler.Blank
	in        unit.System // that lengths are written in
	left, top float64     // of the blank's upper left corner
	size      float64     // of the type
}

func (d drawing) at(p traveler.Point) draw.Point {
	return draw.Point{X: d.left + mm(p.X), Y: d.top + mm(d.blank.Height-p.Y)}
}

func (d drawing) stroke(pen draw.Pen, ends [2]traveler.Point) {
	a, b := d.at(ends[0]), d.at(ends[1])
	d.page.Add(draw.Line{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: pen})
}

func (d drawing) leader(from, to draw.Point) {
	d.page.Add(draw.Line{X1: from.X, Y1: from.Y, X2: to.X, Y2: to.Y, Pen: draw.Thin})
}

// half is how far a tangent lies from the bend line.
func (d drawing) half(l traveler.BendLine) float64 {
	a, b := d.at(l.Line[0]), d.at(l.Tangents[0][0])
	return math.Hypot(b.X-a.X, b.Y-a.Y)
}

// uphill turns a direction so that words along it are read from the left or
// from the right edge of the page: above -90 and up to 90 degrees.
func uphill(turn float64) float64 {
	const hair = 1e-6
	switch {
	case turn > 90+hair:
		return turn - 180
	case turn <= -90+hair:
		return turn + 180
	}
	return turn
}

// placed puts points on the page.
func (d drawing) placed(points []traveler.Point) []draw.Point {
	out := make([]draw.Point, len(points))
	for i, p := range points {
		out[i] = d.at(p)
	}
	return out
}
