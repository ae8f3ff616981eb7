package traveler

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"brakeside/calc/unit"
)

// Running sizes are told apart by a twentieth of a millimetre or more (common
// practice, no source): nearer ones are one edge, all others stand on the sheet.
func TestRunningSizesAreToldApart(t *testing.T) {
	for _, test := range []struct{ values, want []unit.Micron }{
		{[]unit.Micron{0, 0, 0}, []unit.Micron{0}},
		{[]unit.Micron{49, 0}, []unit.Micron{0}},
		{[]unit.Micron{50, 0}, []unit.Micron{0, 50}},
		{[]unit.Micron{0, 51}, []unit.Micron{0, 51}},
		{[]unit.Micron{60, 30, 0}, []unit.Micron{0, 60}}, // from the last that is told
		{[]unit.Micron{-200, 200, 0}, []unit.Micron{-200, 0, 200}},
		{[]unit.Micron{0, 4_999, 9_998}, []unit.Micron{0, 4_999, 9_998}},
	} {
		if got := distinct(slices.Clone(test.values)); !slices.Equal(got, test.want) {
			t.Errorf("distinct(%v) = %v, want %v", test.values, got, test.want)
		}
	}
}

// A blank's sizes are those of its corners and of nose lines that lie square and
// belong to a step. The figures are invented.
func TestRunningSizesOfABlank(t *testing.T) {
	line := func(step int, from, to Point) BendLine { return BendLine{Step: step, Nose: [2]Point{from, to}} }
	for _, test := range []struct {
		name string
		line BendLine
		x, y []unit.Micron
	}{
		{"along x", line(1, Point{0, 300}, Point{1000, 300}), []unit.Micron{0, 1000}, []unit.Micron{0, 300, 500}},
		{"along y", line(1, Point{400, 0}, Point{400, 500}), []unit.Micron{0, 400, 1000}, []unit.Micron{0, 500}},
		{"askew", line(1, Point{100, 200}, Point{700, 400}), []unit.Micron{0, 1000}, []unit.Micron{0, 500}},
		{"of no step", line(0, Point{0, 300}, Point{1000, 300}), []unit.Micron{0, 1000}, []unit.Micron{0, 500}},
	} {
		b := Blank{Outline: []Point{{0, 0}, {1000, 0}, {1000, 500}, {0, 500}}, Lines: []BendLine{test.line}}
		if x, y := running(b); !slices.Equal(x, test.x) || !slices.Equal(y, test.y) {
			t.Errorf("%s: %v and %v, want %v and %v", test.name, x, y, test.x, test.y)
		}
	}
}

// Strokes of a kind stand together, in the order in which the kinds came.
func TestStrokesStandByKind(t *testing.T) {
	var p Picture
	p.kind("edge", Point{1, 2}, Point{3, 4})
	p.kind("fold", Point{5, 6}, Point{7, 8})
	p.kind("edge", Point{9, 10}, Point{11, 12})
	want := []Strokes{{"edge", [][4]unit.Micron{{1, 2, 3, 4}, {9, 10, 11, 12}}}, {"fold", [][4]unit.Micron{{5, 6, 7, 8}}}}
	if diff := cmp.Diff(want, p.Strokes); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
