package measure

import (
	"testing"

	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Twins are gauged alike where that changes nothing of what the order costs: the nearest
// pair of one kind that are mirror images; whichever twin is asked about first.
func TestAlikeKeepsWhatIsPaidFor(t *testing.T) {
	at := func(kind process.TouchKind, far unit.MM, way float64) Reference {
		return Reference{Touch: process.Touch{Kind: kind}, Distance: far, way: geom.Point2{Y: way}}
	}
	edge, bend := process.ShearedEdge, process.OutsideOfBend
	for _, test := range []struct {
		name       string
		one, other []Reference
		a, b       Reference
	}{
		{"both near", []Reference{at(edge, 20, 1)}, []Reference{at(edge, 20, -1)}, at(edge, 20, 1), at(edge, 20, -1)},
		{
			"far from one, near for the other", []Reference{at(edge, 900, -1), at(edge, 950, 1)}, []Reference{at(edge, 30, -1), at(edge, 900, 1)},
			at(edge, 950, 1), at(edge, 30, -1),
		},
		{"edges that are no images", []Reference{at(edge, 20, 1)}, []Reference{at(edge, 20, 1)}, Line, Line},
		{"an edge and a bend", []Reference{at(edge, 53, 1), at(bend, 102, 1)}, []Reference{at(bend, 30, -1)}, at(edge, 53, 1), at(bend, 30, -1)},
		{"a bend and nothing", []Reference{at(bend, 30, 1)}, nil, at(bend, 30, 1), Line},
		{"an edge and nothing", []Reference{at(edge, 30, 1)}, nil, Line, Line},
		{"bends, with an edge behind", []Reference{at(bend, 10, 1), at(edge, 90, -1)}, []Reference{at(bend, 12, -1), at(edge, 90, 1)}, at(bend, 10, 1), at(bend, 12, -1)},
		{"bends that are no images", []Reference{at(bend, 10, 1)}, []Reference{at(bend, 12, 1)}, at(bend, 10, 1), at(bend, 12, 1)},
	} {
		if a, b := Alike(test.one, test.other); a != test.a || b != test.b {
			t.Errorf("%s: %+v and %+v, want %+v and %+v", test.name, a, b, test.a, test.b)
		}
		if b, a := Alike(test.other, test.one); a != test.a || b != test.b {
			t.Errorf("%s, asked the other way round: %+v and %+v, want %+v and %+v", test.name, a, b, test.a, test.b)
		}
	}
}
