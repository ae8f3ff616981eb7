package fold_test

import (
	"fmt"
	"testing"

	"brakeside/calc/fold"
)

// A box of four sides, 40 x 30 over its outer faces, with nothing at the last
// corner: the fourth side hangs down from 30 to 30 less its length and stands on
// the first, 1 high, when it is 29. Deeper than a twentieth of a millimetre is
// through it.
func TestFlatsThatRunThroughEachOther(t *testing.T) {
	for _, test := range []struct {
		last float64
		hit  bool
	}{{28, false}, {29, false}, {29.04, false}, {29.06, true}, {29.5, true}, {29.9, true}} {
		b := develop(t, fmt.Sprintf(`"profile":{"length":100,"legs":[40,30,40,%v],"bends":[90,90,90]}`, test.last))
		m, hit := fold.Meet(b)
		if hit != test.hit {
			t.Errorf("a last side of %v: %v, want %v", test.last, hit, test.hit)
			continue
		}
		if !hit {
			continue
		}
		if m.Face != 0 || m.Other != 3 || m.Bend != -1 || m.Shorter != 3 {
			t.Errorf("a last side of %v: %+v", test.last, m)
		}
		near(t, fmt.Sprintf("what a last side of %v is to be shortened by", test.last), float64(m.By), test.last-29.05, 0.011)
	}
}

// A hem under a lip, t = r = 1: the lip's fold lies 10 beyond the tangent of its
// bend, so a hem of 10 reaches back to where the curve begins, 1 under the top.
// A curve gives 0.2, a flat with 0.1 off its edge and its faces: 0.1 farther
// down the curve has gone back sqrt(1 - 0.9 x 0.9) = 0.436, so 10 + 0.436 + 0.1 =
// 10.54 is the longest.
func TestFlatsThatRunThroughACurve(t *testing.T) {
	for _, test := range []struct {
		hem float64
		hit bool
	}{{9, false}, {10, false}, {10.45, false}, {10.6, true}, {11.5, true}} {
		b := develop(t, fmt.Sprintf(`"tray":{"base":[200,120],"walls":{"left":[{"leg":40},{"leg":12},{"leg":%v,"hem":"closed"}]}}`, test.hem))
		m, hit := fold.Meet(b)
		if hit != test.hit {
			t.Errorf("a hem of %v: %v, want %v", test.hem, hit, test.hit)
			continue
		}
		if !hit {
			continue
		}
		if b.Faces[m.Face].ID != "left.3" || m.Other != -1 || b.Joints[m.Bend].ID != "left.2" || b.Faces[m.Shorter].ID != "left.3" {
			t.Errorf("a hem of %v: %+v", test.hem, m)
		}
		near(t, fmt.Sprintf("what a hem of %v is to be shortened by", test.hem), float64(m.By), test.hem-10.54, 0.03)
	}
}

// Faces that a bend joins are not asked, nor is a hem that lies on its wall.
func TestWhatMayTouch(t *testing.T) {
	for _, shape := range []string{
		box,
		`"tray":{"base":[200,120],"walls":{"left":[{"leg":40},{"leg":8,"hem":"closed"}],"front":[{"leg":9,"hem":"closed"}]}}`,
		`"over_90":"tangent","profile":{"length":100,"legs":[60,40],"bends":[175]}`,
	} {
		if m, hit := fold.Meet(develop(t, shape)); hit {
			t.Errorf("%s: %+v", shape, m)
		}
	}
}
