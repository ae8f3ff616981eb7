package canvas

import (
	"math"

	"brakeside/traveler/draw"
)

// Around is the least box about some points.
func Around(points []draw.Point) Box {
	if len(points) == 0 {
		return Box{}
	}
	low, high := points[0], points[0]
	for _, p := range points {
		low = draw.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
		high = draw.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
	}
	return Box{low.X, low.Y, high.X - low.X, high.Y - low.Y}
}

// Distance is how far two places are apart.
func Distance(a, b draw.Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }

// Centre is the middle of the corners of a ring.
func Centre(ring []draw.Point) draw.Point {
	var c draw.Point
	for _, p := range ring {
		c.X += p.X / float64(len(ring))
		c.Y += p.Y / float64(len(ring))
	}
	return c
}

// Crosses reports whether the stretch from p to q reaches into the box, by
// cutting it off at the four edges in turn.
func Crosses(p, q draw.Point, b Box) bool {
	if max(p.X, q.X) <= b.X || min(p.X, q.X) >= b.Right() || max(p.Y, q.Y) <= b.Y || min(p.Y, q.Y) >= b.Bottom() {
		return false // as nearly all do
	}
	from, to := 0.0, 1.0
	for _, edge := range [4][2]float64{
		{p.X - q.X, p.X - b.X}, {q.X - p.X, b.Right() - p.X},
		{p.Y - q.Y, p.Y - b.Y}, {q.Y - p.Y, b.Bottom() - p.Y},
	} {
		slope, room := edge[0], edge[1]
		switch {
		case slope == 0 && room <= 0:
			return false
		case slope < 0:
			from = max(from, room/slope)
		case slope > 0:
			to = min(to, room/slope)
		}
	}
	return from < to
}

// Inside reports whether a point lies in a ring, by the even-odd rule.
func Inside(p draw.Point, ring []draw.Point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}
