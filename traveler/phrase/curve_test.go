package phrase

import (
	"slices"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
)

// What a slot, a rectangle, a round hole and a freely drawn curve are, and where.
func TestShapes(t *testing.T) {
	at := func(x, y float64) traveler.Point { return traveler.Point{X: fixture.MM(x), Y: fixture.MM(y)} }
	rectangle := func(x, y, w, h float64) []traveler.Point {
		return []traveler.Point{at(x, y), at(x+w, y), at(x+w, y+h), at(x, y+h)}
	}
	blank := traveler.Blank{
		Outline: []traveler.Point{at(0, 0), at(100, 0), at(100, 60), at(0, 60)},
		Holes: [][]traveler.Point{
			{at(10, 5), at(20, 5), at(21, 7), at(20, 9), at(10, 9), at(9, 7)},
			rectangle(30, 10, 20, 10), rectangle(60, 10, 20, 10), rectangle(30, 30, 10, 10),
			{at(70, 40), at(80, 40), at(75, 50)},
			{at(5, 40), at(8, 44), at(5, 48), at(2, 44)},
		},
		Curves: []traveler.Curve{
			{Ring: 1, From: 1, Chords: 2, Centre: at(20, 7), Radius: fixture.MM(2)}, {Ring: 1, From: 4, Chords: 2, Centre: at(10, 7), Radius: fixture.MM(2)},
			{Ring: 6, From: 0, Chords: 4}, {Ring: 0, From: 2, Chords: 1},
		},
	}
	want := []string{
		"R 2.0 about 20.0 / 7.0, 10.0 / 7.0", "opening, cut from the drawing file, about 5.0 / 44.0", "curve, cut from the drawing file, from 100.0 / 60.0",
		"opening 20.0 x 10.0 about 40.0 / 15.0, 70.0 / 15.0", "opening 10.0 x 10.0 about 35.0 / 35.0",
		"opening with corners at 70.0 / 40.0, 80.0 / 40.0, 75.0 / 50.0",
	}
	if got := Shapes(unit.Metric, blank, blank.Curves); !slices.Equal(got, want) {
		t.Errorf("Shapes(unit.Metric, ) = %q, want %q", got, want)
	}
	if is, lies := Shape(unit.Metric, blank, blank.Curves[0]); is+" "+lies != "R 2.0 about 20.0 / 7.0" {
		t.Errorf("Shape(unit.Metric, ) of one arc = %q, %q", is, lies)
	}
}

func TestShapeOfAHole(t *testing.T) {
	hole := traveler.Curve{Ring: 1, Chords: 3, Centre: traveler.Point{X: fixture.MM(12.5), Y: fixture.MM(0)}, Radius: fixture.MM(2.25)}
	blank := traveler.Blank{Holes: [][]traveler.Point{make([]traveler.Point, 3)}}
	if is, lies := Shape(unit.Metric, blank, hole); is+" "+lies != "Ø4.5 about 12.5 / 0" {
		t.Errorf("Shape(unit.Metric, ) = %q, %q", is, lies)
	}
}
