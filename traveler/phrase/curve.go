package phrase

import (
	"slices"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// Shape is what an arc, a round hole or another curve of the blank is, and where it
// lies, for those that are named away from it.
func Shape(in unit.System, b traveler.Blank, c traveler.Curve) (is, lies string) {
	switch {
	case c.Radius == 0 && c.Whole(b):
		return "opening, cut from the drawing file, about", At(in, middle(b.Rings()[c.Ring]))
	case c.Radius == 0:
		return "curve, cut from the drawing file, from", At(in, b.Rings()[c.Ring][c.From])
	case c.Whole(b):
		return Diameter(in, c) + " about", At(in, c.Centre)
	}
	return "R " + in.Figure(c.Radius) + " about", At(in, c.Centre)
}

// Diameter is that of a round hole.
func Diameter(in unit.System, c traveler.Curve) string {
	if in == unit.Inch {
		return "Ø" + in.Bare(2*c.Radius)
	}
	return "Ø" + Number(float64(2*c.Radius.MM()))
}

// Shapes list curves of the blank, and its openings with straight sides: what has a place
// that no running size gives. Those that are alike share a line; the lines are in the
// order of the cut.
func Shapes(in unit.System, b traveler.Blank, curves []traveler.Curve) []string {
	var kinds []string
	places := map[string][]string{}
	add := func(is, lies string) {
		if places[is] == nil {
			kinds = append(kinds, is)
		}
		places[is] = append(places[is], lies)
	}
	for _, c := range curves {
		add(Shape(in, b, c))
	}
	for i, hole := range b.Holes {
		curved := func(c traveler.Curve) bool { return c.Ring == i+1 }
		if len(hole) > 0 && !slices.ContainsFunc(b.Curves, curved) {
			add(opening(in, hole))
		}
	}
	for i, is := range kinds {
		kinds[i] = is + " " + strings.Join(places[is], ", ")
	}
	return kinds
}

// opening is an opening with straight sides, and where it lies: a rectangle square to
// the blank by its sides and its middle, another by its corners.
func opening(in unit.System, corners []traveler.Point) (is, lies string) {
	if len(corners) == 4 && square(corners) {
		low, high := traveler.Bounds(corners)
		return "opening " + in.Figure(high.X-low.X) + " x " + in.Figure(high.Y-low.Y) + " about", At(in, middle(corners))
	}
	places := make([]string, len(corners))
	for i, p := range corners {
		places[i] = At(in, p)
	}
	return "opening with corners at", strings.Join(places, ", ")
}

// square reports whether all sides of a ring run along or across the blank.
func square(ring []traveler.Point) bool {
	for i, p := range ring {
		if q := ring[(i+1)%len(ring)]; p.X != q.X && p.Y != q.Y {
			return false
		}
	}
	return true
}

// middle is that of the box around a ring.
func middle(ring []traveler.Point) traveler.Point {
	low, high := traveler.Bounds(ring)
	return traveler.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}
}
