package traveler

import (
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
