package traveler

// Rings lists the outline and then the holes.
func (b Blank) Rings() [][]Point { return append([][]Point{b.Outline}, b.Holes...) }

// Whole reports whether the curve is all of a ring.
func (c Curve) Whole(b Blank) bool { return c.Chords >= len(b.Rings()[c.Ring]) }

// Corners lists the places of a ring that are measured when it is cut: its
// corners, the ends of its arcs, and of a round hole the centre.
func (b Blank) Corners(ring int) []Point {
	points := b.Rings()[ring]
	chord := make([]bool, len(points))
	for _, c := range b.Curves {
		if c.Ring != ring {
			continue
		}
		if c.Whole(b) {
			return []Point{c.Centre}
		}
		for i := 1; i < c.Chords; i++ {
			chord[(c.From+i)%len(points)] = true
		}
	}
	var out []Point
	for i, p := range points {
		if !chord[i] {
			out = append(out, p)
		}
	}
	return out
}
