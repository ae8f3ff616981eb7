package draw

import "math"

// HeadLength is the length of an arrow head in millimetres.
const HeadLength = 2.5

// headWidth is the width of an arrow head in millimetres, in proportion to the
// stroke where that is thick.
func headWidth(pen Pen) float64 { return math.Max(1.2, 2.6*pen.Weight()) }

// Heads gives the arrow heads of the line, as filled triangles whose tips are
// the ends of the line. A line without length has none.
func (l Line) Heads() []Path {
	length := math.Hypot(l.X2-l.X1, l.Y2-l.Y1)
	if length == 0 || l.Arrows == NoArrows {
		return nil
	}
	along := Point{(l.X2 - l.X1) / length, (l.Y2 - l.Y1) / length}
	width := headWidth(l.Pen)
	heads := []Path{head(Point{l.X2, l.Y2}, along, width)}
	if l.Arrows == AtBoth {
		heads = append(heads, head(Point{l.X1, l.Y1}, Point{-along.X, -along.Y}, width))
	}
	return heads
}

// head is the triangle at tip, which points along a direction of length 1.
func head(tip, along Point, width float64) Path {
	base := Point{tip.X - HeadLength*along.X, tip.Y - HeadLength*along.Y}
	side := Point{-along.Y * width / 2, along.X * width / 2}
	return Polygon(NoPen, Black, tip, Point{base.X + side.X, base.Y + side.Y}, Point{base.X - side.X, base.Y - side.Y})
}

// Shaft gives the line without its arrow heads, ended inside the heads so that
// the round cap of a pen does not blunt the tips. It is empty when the heads
// take all of the line.
func (l Line) Shaft() (shaft Line, left bool) {
	length := math.Hypot(l.X2-l.X1, l.Y2-l.Y1)
	if length == 0 || l.Arrows == NoArrows {
		return l, true
	}
	cut := 0.8 * HeadLength / length
	start, end := 0.0, 1-cut
	if l.Arrows == AtBoth {
		start = cut
	}
	if start >= end {
		return Line{}, false
	}
	at := func(part float64) Point { return Point{l.X1 + part*(l.X2-l.X1), l.Y1 + part*(l.Y2-l.Y1)} }
	a, b := at(start), at(end)
	return Line{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: l.Pen}, true
}

// Whole reports whether the arc is a whole circle.
func (a Arc) Whole() bool { return math.Abs(a.To-a.From) >= 360 }

// Sweep is the angle from From to To, anticlockwise: more than 0 and not more
// than 360 degrees, and 0 for an arc without length.
func (a Arc) Sweep() float64 {
	if a.Whole() {
		return 360
	}
	sweep := math.Mod(a.To-a.From, 360)
	if sweep < 0 {
		sweep += 360
	}
	return sweep
}

// At is the place on the arc's circle at an angle in degrees, anticlockwise
// from the x axis as seen on the page.
func (a Arc) At(degrees float64) Point {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return Point{a.X + a.Radius*cos, a.Y - a.Radius*sin}
}

// Ring gives the corners of a polygon of 72 edges on the arc's circle, which is
// what a lined fill of a circle is clipped to. It lies within 0.1 % of the
// radius of the circle.
func (a Arc) Ring() []Point {
	points := make([]Point, 72)
	for i := range points {
		points[i] = a.At(float64(i) * 5)
	}
	return points
}

// Run is a row of dark cells side by side: the cells From up to, but not
// including, To.
type Run struct{ Row, From, To int }

// Runs gives the dark cells as runs, row by row from the top.
func (c Cells) Runs() []Run {
	var runs []Run
	for row := range c.Count {
		for from := 0; from < c.Count; from++ {
			to := from
			for to < c.Count && c.Dark[row*c.Count+to] {
				to++
			}
			if to > from {
				runs = append(runs, Run{row, from, to})
				from = to
			}
		}
	}
	return runs
}

// Module is the side of one cell in millimetres.
func (c Cells) Module() float64 { return c.Side / float64(c.Count) }
