package dxf

import (
	"math"

	"brakeside/traveler/draw"
)

// mark writes the entity of a mark whose pen has a layer.
func (d *drawing) mark(m draw.Mark) {
	switch m := m.(type) {
	case draw.Line:
		if layer := layerOf[m.Pen]; layer != "" {
			d.line(layer, draw.Point{X: m.X1, Y: m.Y1}, draw.Point{X: m.X2, Y: m.Y2})
		}
	case draw.Strokes:
		for _, l := range m.Lines {
			d.mark(draw.Line{X1: l[0].X, Y1: l[0].Y, X2: l[1].X, Y2: l[1].Y, Pen: m.Pen})
		}
	case draw.Path:
		if layer := layerOf[m.Pen]; layer != "" {
			d.path(layer, m)
		}
	case draw.Arc:
		if layer := layerOf[m.Pen]; layer != "" {
			d.arc(layer, m)
		}
	}
}

// entity begins an entity on a layer.
func (d *drawing) entity(kind, layer string) {
	d.put(0, kind)
	d.put(8, layer)
}

func (d *drawing) line(layer string, from, to draw.Point) {
	if from == to {
		return
	}
	d.entity("LINE", layer)
	d.point(10, from)
	d.point(11, to)
}

// path writes a row of edges. Corners said twice are written once, since some
// cutters stop at an edge without length.
func (d *drawing) path(layer string, p draw.Path) {
	corners := distinct(p)
	if len(corners) < 2 {
		return
	}
	d.entity("POLYLINE", layer)
	d.put(66, "1")
	d.number(10, 0)
	d.number(20, 0)
	d.number(30, 0)
	if p.Closed {
		d.put(70, "1")
	} else {
		d.put(70, "0")
	}
	for _, at := range corners {
		d.entity("VERTEX", layer)
		d.point(10, at)
	}
	d.entity("SEQEND", layer)
}

// distinct gives the corners of a path without one that equals the one before.
func distinct(p draw.Path) []draw.Point {
	var corners []draw.Point
	for _, at := range p.Points {
		if len(corners) == 0 || at != corners[len(corners)-1] {
			corners = append(corners, at)
		}
	}
	for p.Closed && len(corners) > 1 && corners[0] == corners[len(corners)-1] {
		corners = corners[:len(corners)-1]
	}
	return corners
}

// arc writes a circle or a part of one. Angles run anticlockwise on the page
// and in the drawing alike.
func (d *drawing) arc(layer string, a draw.Arc) {
	sweep := a.Sweep()
	if sweep == 0 || a.Radius == 0 {
		return
	}
	kind := "ARC"
	if a.Whole() {
		kind = "CIRCLE"
	}
	d.entity(kind, layer)
	d.point(10, draw.Point{X: a.X, Y: a.Y})
	d.number(40, a.Radius)
	if kind == "ARC" {
		d.number(50, turn(a.From))
		d.number(51, turn(a.From+sweep))
	}
}

// turn brings an angle into the range from 0 up to 360 degrees.
func turn(degrees float64) float64 {
	degrees = math.Mod(degrees, 360)
	if degrees < 0 {
		degrees += 360
	}
	return degrees
}
