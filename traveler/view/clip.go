package view

import "brakeside/traveler/draw"

// border is one edge of the page: the points with a*x + b*y <= c lie inside.
type border struct{ a, b, c float64 }

func borders(width, height float64) [4]border {
	return [4]border{{-1, 0, 0}, {1, 0, width}, {0, -1, 0}, {0, 1, height}}
}

func (b border) outside(p draw.Point) float64 { return b.a*p.X + b.b*p.Y - b.c }

// meet gives the point where the line from p to q crosses the border.
func (b border) meet(p, q draw.Point) draw.Point {
	dp, dq := b.outside(p), b.outside(q)
	share := dp / (dp - dq)
	return draw.Point{X: p.X + share*(q.X-p.X), Y: p.Y + share*(q.Y-p.Y)}
}

// clip cuts a closed polygon off at the edges of the page, one edge after the
// other (Sutherland and Hodgman, 1974). Nothing is left of a polygon outside.
func clip(points []draw.Point, width, height float64) []draw.Point {
	for _, b := range borders(width, height) {
		var kept []draw.Point
		for i, q := range points {
			p := points[(i+len(points)-1)%len(points)]
			if (b.outside(p) <= 0) != (b.outside(q) <= 0) {
				kept = append(kept, b.meet(p, q))
			}
			if b.outside(q) <= 0 {
				kept = append(kept, q)
			}
		}
		points = kept
	}
	return points
}

// run is a row of edges that lie on the page.
type run struct {
	points []draw.Point
	closed bool
}

// edges gives the edges of a closed polygon as far as they lie on the page. A
// polygon wholly on the page is one closed run.
func edges(points []draw.Point, width, height float64) []run {
	var runs []run
	for i, p := range points {
		from, to, ok := onPage(p, points[(i+1)%len(points)], width, height)
		if !ok {
			continue
		}
		if last := len(runs) - 1; last >= 0 && runs[last].end() == from {
			runs[last].points = append(runs[last].points, to)
		} else {
			runs = append(runs, run{points: []draw.Point{from, to}})
		}
	}
	return round(runs)
}

// round joins the last run to the first where the polygon's start lies between
// them, and closes a run that comes back to its own start.
func round(runs []run) []run {
	last := len(runs) - 1
	if last < 0 || runs[last].end() != runs[0].points[0] {
		return runs
	}
	if last == 0 {
		whole := runs[0].points
		return []run{{points: whole[:len(whole)-1], closed: true}}
	}
	runs[0].points = append(runs[last].points, runs[0].points[1:]...)
	return runs[:last]
}

func (r run) end() draw.Point { return r.points[len(r.points)-1] }

// onPage cuts the line from p to q off at the edges of the page, and reports
// whether anything of it is left.
func onPage(p, q draw.Point, width, height float64) (from, to draw.Point, ok bool) {
	for _, b := range borders(width, height) {
		pIn, qIn := b.outside(p) <= 0, b.outside(q) <= 0
		switch {
		case !pIn && !qIn:
			return p, q, false
		case !pIn:
			p = b.meet(p, q)
		case !qIn:
			q = b.meet(p, q)
		}
	}
	return p, q, p != q
}
