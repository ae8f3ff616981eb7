package traveler

import (
	"slices"

	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

func frozenPoint(p geom.Point2) Point {
	return Point{unit.MM(p.X).Micron(), unit.MM(p.Y).Micron()}
}

func frozenPair(line [2]geom.Point2) [2]Point {
	return [2]Point{frozenPoint(line[0]), frozenPoint(line[1])}
}

func frozenPoints(g geom.Polygon) []Point {
	var out []Point
	for _, p := range g {
		out = append(out, frozenPoint(p))
	}
	return out
}

// frozenOutline rounds the outline of a body. Which of several corners on a straight
// line it has, and at which it begins, hangs by the rounding of the processor where it
// was put together: so it keeps none of them and begins at the least.
func frozenOutline(g geom.Polygon) []Point {
	out := frozenPoints(g.Tidy())
	least := 0
	for i, p := range out {
		if p.X < out[least].X || (p.X == out[least].X && p.Y < out[least].Y) {
			least = i
		}
	}
	return slices.Concat(out[least:], out[:least])
}
