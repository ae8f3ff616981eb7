package phrase

import (
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// The sizes as printed are named beside their sum where a reader who adds them up
// gets another figure; 30.04 + 40.04 is 70.08, printed 30.0 + 40.0 and 70.1.
func TestSumBesideTheBlank(t *testing.T) {
	for _, test := range []struct {
		name  string
		sizes []unit.Micron
		sum   unit.Micron
		want  string
	}{
		{"round sizes", []unit.Micron{30_000, 40_000}, 70_000, "add up to 70.0,"},
		{"rounded sizes", []unit.Micron{30_040, 40_040}, 70_080, "add up to 70.1 (70.0 as rounded),"},
		{"other sizes than those of the sum", []unit.Micron{30_040, 41_040}, 70_080, "add up to 70.1,"},
		{"no sum", []unit.Micron{30_000}, 0, ""},
	} {
		b := traveler.Blank{SumSizes: test.sum, Outline: []traveler.Point{{}, {X: 68_000}, {X: 68_000, Y: 9_000}, {Y: 9_000}}}
		for _, s := range test.sizes {
			b.Faces = append(b.Faces, traveler.Face{Sizes: []unit.Micron{s}})
		}
		got := Sum(unit.Metric, b)
		if (test.want == "") != (got == "") || !strings.Contains(got, test.want) {
			t.Errorf("%s: %q, want %q in it", test.name, got, test.want)
		}
	}
}
