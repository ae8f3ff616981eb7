package clash

import (
	"fmt"
	"testing"

	"brakeside/calc/flat"
)

// shouldered is a plate of 1 mm sheet, t = r = 1 and K = 0.33, with a tab bent
// up on the line y = 50 and reliefs beside it. The sheet beyond them ends at a y.
func shouldered(t failer, ends float64) *flat.Blank {
	t.Helper()
	return drawn(t, fmt.Sprintf(`"flat":{
		"faces":[{"id":"plate","outline":[[0,0],[100,0],[100,%[1]v],[72,%[1]v],[72,47],[70,47],[70,50],[30,50],[30,47],[28,47],[28,%[1]v],[0,%[1]v]]},
			{"id":"tab","outline":[[30,50],[70,50],[70,80],[30,80]]}],
		"bends":[{"id":"b","between":["plate","tab"],"line":[[30,50],[70,50]],"angle":90}]}`, ends))
}

// An edge beside a bend that ends on the mould line lies on the hinge, and so it
// does when a drawing has rounded it a little farther out. By hand, the bend
// allowance is 2.089159: the tangent of the plate lies at 50 - 1.044580, the
// mould line r + t = 2 beyond it.
func TestEdgeOnTheMouldLine(t *testing.T) {
	const mould = 50 - 1.044580 + 2
	for _, test := range []struct {
		past float64
		hits bool
	}{{-0.3, false}, {-1e-4, false}, {0, false}, {1e-4, false}, {0.04, false}, {0.06, true}, {0.3, true}} {
		b := shouldered(t, mould+test.past)
		a := put(t, b, "b", "plate").Answer(b.FaceIndex("plate"), 0)
		for _, leaf := range []Element{FullLeaf, SlimLeaf} {
			if got := a.Blocks(leaf); got != test.hits {
				t.Errorf("%v mm past the mould line the plate meets leaf %d: %v, want %v", test.past, leaf, got, test.hits)
			}
		}
	}
}

// With the tab clamped the plate swings. Flat it lies s = 2 x 2 - 2.089159 = 1.910841
// nearer to the back than finished. What reaches over the hinge by e goes round it and
// slides out meanwhile: at the angle a it dips by (e - s a / (pi/2)) sin a into the bed,
// most half way, by about e x e pi / (8 s). That is a hair of 0.05 mm where e is 0.49.
func TestEdgeOverTheHinge(t *testing.T) {
	const hinge = 50 - 1.044580 + 2 - 1.910841
	for _, test := range []struct {
		past float64
		hits bool
	}{{-0.3, false}, {-1e-4, false}, {0, false}, {1e-4, false}, {0.06, false}, {0.46, false}, {0.52, true}, {0.96, true}, {3, true}} {
		b := shouldered(t, hinge+test.past)
		if got := put(t, b, "b", "tab").Answer(b.FaceIndex("plate"), 0).Blocks(Bed); got != test.hits {
			t.Errorf("%v mm over the hinge the plate meets the bed: %v, want %v", test.past, got, test.hits)
		}
	}
}

// The far flange of a hat lies on the bed like the near one, also when a
// drawing has one of the walls between them a hair longer than the other.
func TestFlangeOnTheBed(t *testing.T) {
	for _, test := range []struct {
		lower float64
		hits  bool
	}{{-0.3, false}, {-1e-4, false}, {0, false}, {1e-4, false}, {0.04, false}, {0.06, true}, {0.3, true}} {
		b := drawn(t, fmt.Sprintf(`"profile":{"length":200,"legs":[20,%v,25,30,35,25],"bends":[90,-90,-90,90,90]}`, 30+test.lower))
		a := put(t, b, "b5", "p4").Answer(b.FaceIndex("p0"), made(b, "b1", "b2", "b3", "b4"))
		if got := a.Blocks(Bed); got != test.hits {
			t.Errorf("%v mm lower than the bed the far flange meets it: %v, want %v", test.lower, got, test.hits)
		}
	}
}

// Where sheet beside a tab ends on the mould line of the tab's bend, the blank is
// gauged from its sheared edge, also when the tab is a hair farther out.
func TestShearedEdgeOnTheLineOfABend(t *testing.T) {
	const mould = 50 - 1.044580 + 2
	for _, test := range []struct {
		short   float64
		sheared bool
	}{{-0.1, true}, {0, true}, {1e-4, true}, {0.04, true}, {0.06, false}} {
		ends := mould - test.short
		b := drawn(t, fmt.Sprintf(`"flat":{
			"faces":[{"id":"plate","outline":[[0,0],[100,0],[100,%[1]v],[72,%[1]v],[72,47],[70,47],[70,50],[30,50],[30,47],[28,47],[28,%[1]v],[0,%[1]v]]},
				{"id":"tab","outline":[[30,50],[70,50],[70,80],[30,80]]},
				{"id":"near","outline":[[0,-30],[100,-30],[100,0],[0,0]]}],
			"bends":[{"id":"b","between":["plate","tab"],"line":[[30,50],[70,50]],"angle":90},{"id":"c","between":["near","plate"],"line":[[0,0],[100,0]],"angle":90}]}`, ends))
		_, edge := put(t, b, "c", "plate").Edge(false, made(b, "b"))
		if got := edge.Bend < 0; got != test.sheared {
			t.Errorf("sheet %v mm short of the mould line: a sheared edge %v, want %v", test.short, got, test.sheared)
		}
	}
}
