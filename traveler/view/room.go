package view

import (
	"math"

	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// cell is how finely it is known where a picture is drawn on, in millimetres.
const cell = 0.5

// room knows what is drawn in a picture and what is written on it, and finds places
// that are clear of both.
type room struct {
	wide, high int     // cells
	sums       []int32 // of the drawn cells that lie left of and above a corner of cells
	taken      []canvas.Box
	leaders    [][2]draw.Point
}

// roomIn is the room of a box of width x height millimetres in which some lines are
// drawn.
func roomIn(width, height float64, lines [][2]draw.Point) *room {
	r := &room{wide: max(1, int(math.Ceil(width/cell))), high: max(1, int(math.Ceil(height/cell)))}
	drawn := make([]bool, r.wide*r.high)
	for _, l := range lines {
		steps := math.Ceil(2*canvas.Distance(l[0], l[1])/cell) + 1
		for k := range int(steps) {
			share := float64(k) / steps
			x, y := int((l[0].X+share*(l[1].X-l[0].X))/cell), int((l[0].Y+share*(l[1].Y-l[0].Y))/cell)
			if x >= 0 && x < r.wide && y >= 0 && y < r.high {
				drawn[y*r.wide+x] = true
			}
		}
	}
	r.sums = make([]int32, (r.wide+1)*(r.high+1))
	for y := range r.high {
		for x := range r.wide {
			at := (y+1)*(r.wide+1) + x + 1
			r.sums[at] = r.sums[at-1] + r.sums[at-r.wide-1] - r.sums[at-r.wide-2]
			if drawn[y*r.wide+x] {
				r.sums[at]++
			}
		}
	}
	return r
}

// clear reports whether nothing is drawn or written in a box, and all of it lies in
// the picture.
func (r *room) clear(b canvas.Box) bool {
	x, y, right, bottom := int(math.Floor(b.X/cell)), int(math.Floor(b.Y/cell)), int(math.Ceil(b.Right()/cell)), int(math.Ceil(b.Bottom()/cell))
	if x < 0 || y < 0 || right > r.wide || bottom > r.high {
		return false
	}
	sum := func(x, y int) int32 { return r.sums[y*(r.wide+1)+x] }
	return sum(right, bottom)-sum(x, bottom)-sum(right, y)+sum(x, y) == 0 && r.unwritten(b)
}

// unwritten reports whether no words and no leader lie in a box.
func (r *room) unwritten(b canvas.Box) bool {
	for _, t := range r.taken {
		if b.Meets(t) {
			return false
		}
	}
	for _, l := range r.leaders {
		if canvas.Crosses(l[0], l[1], b) {
			return false
		}
	}
	return true
}

// beside finds the clear place for a box of a size that lies nearest to a point, at
// most so far off, where a leader to the point runs over no words.
func (r *room) beside(at draw.Point, w, h, far float64) (best canvas.Box, found bool) {
	off := far
	for y := 0.0; y+h <= float64(r.high)*cell; y += cell {
		for x := 0.0; x+w <= float64(r.wide)*cell; x += cell {
			b := canvas.Box{X: x, Y: y, W: w, H: h}
			end := nearest(b, at)
			if d := canvas.Distance(end, at); d < off && r.clear(b) && r.unwrittenAlong(end, at) {
				best, found, off = b, true, d
			}
		}
	}
	return best, found
}

// unwrittenAlong reports whether a leader runs over no words.
func (r *room) unwrittenAlong(from, to draw.Point) bool {
	for _, t := range r.taken {
		if canvas.Crosses(from, to, t) {
			return false
		}
	}
	return true
}

// nearest is the place of a box that lies nearest to a point.
func nearest(b canvas.Box, p draw.Point) draw.Point {
	return draw.Point{X: max(b.X, min(p.X, b.Right())), Y: max(b.Y, min(p.Y, b.Bottom()))}
}

// leaderDot is the radius of the dot at the end of a leader.
const leaderDot = 0.45

// leader leads from a box of words to the place they name.
func (r *room) leader(b canvas.Box, at draw.Point) []draw.Mark {
	end := nearest(b, at)
	r.leaders = append(r.leaders, [2]draw.Point{end, at})
	return []draw.Mark{
		draw.Line{X1: end.X, Y1: end.Y, X2: at.X, Y2: at.Y, Pen: draw.Thin},
		draw.Arc{X: at.X, Y: at.Y, Radius: leaderDot, To: 360, Pen: draw.NoPen, Fill: draw.Black},
	}
}
