package traveler

import (
	"cmp"
	"slices"
)

// Rings lists the outline and then the holes.
func (b Blank) Rings() [][]Point { return append([][]Point{b.Outline}, b.Holes...) }

// Whole reports whether the curve is all of a ring.
func (c Curve) Whole(b Blank) bool { return c.Chords >= len(b.Rings()[c.Ring]) }

// Corners lists the places of a ring that are measured when it is cut: its
// corners, the ends of its arcs and other curves, and of a round hole the centre. Of
// a curve all round that is no circle these are the four places where it reaches
// farthest.
func (b Blank) Corners(ring int) []Point {
	points := b.Rings()[ring]
	chord := make([]bool, len(points))
	for _, c := range b.Curves {
		if c.Ring != ring {
			continue
		}
		if c.Whole(b) && c.Radius > 0 {
			return []Point{c.Centre}
		}
		first := 1
		if c.Whole(b) {
			first = 0
		}
		for i := first; i < c.Chords; i++ {
			chord[(c.From+i)%len(points)] = true
		}
	}
	if !slices.Contains(chord, false) {
		return farthest(points)
	}
	var out []Point
	for i, p := range points {
		if !chord[i] {
			out = append(out, p)
		}
	}
	return out
}

// Bounds are the lower left and upper right corners of the box around places, of which
// there must be one.
func Bounds(places []Point) (low, high Point) {
	low, high = places[0], places[0]
	for _, p := range places {
		low, high = Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}, Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
	}
	return low, high
}

// Extent is how large the box around a face is, in thousandths of a square millimetre; 0
// in older travelers, which do not know where faces lie.
func (f Face) Extent() int64 {
	if len(f.Piece) == 0 {
		return 0
	}
	low, high := Bounds(f.Piece)
	return int64(high.X-low.X) / 1000 * int64(high.Y-low.Y)
}

// farthest are the places of a ring that lie farthest to each side.
func farthest(ring []Point) []Point {
	byX := func(a, b Point) int { return cmp.Compare(a.X, b.X) }
	byY := func(a, b Point) int { return cmp.Compare(a.Y, b.Y) }
	return []Point{slices.MinFunc(ring, byX), slices.MaxFunc(ring, byX), slices.MinFunc(ring, byY), slices.MaxFunc(ring, byY)}
}
