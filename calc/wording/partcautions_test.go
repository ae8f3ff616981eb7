package wording_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/wording"
	"brakeside/testdata/suite"
)

// The least radius of 6061-T6 at 1.6 mm is 1 t and 1.5 t is advised; at 2 mm 1.5
// t and 2.5 t (testdata/CHECKS.md). Refused is only what lies below half of it. The
// other table of the same page asks for 0.281 in at up to 0.063 in, and of 5052-H32
// for 0.063 in at up to 0.04 in, where 1 t is advised.
func TestRadiusRefusedOrCautioned(t *testing.T) {
	for _, test := range []struct {
		name, sheet string
		radius      float64
		refused     bool
		says        string
	}{
		{"far below", `"material":"6061-T6","thickness":1.6`, 0.7, true, "at least 1.60 mm is needed, and 2.40 mm or more is advised"},
		{"at half", `"material":"6061-T6","thickness":1.6`, 0.8, false, "expected to crack"},
		{"below", `"material":"6061-T6","thickness":1.6`, 1.5, false, "expected to crack"},
		{"at the least", `"material":"6061-T6","thickness":1.6`, 1.6, false, "tighter than the 2.4 mm advised"},
		{"as advised, across", `"material":"6061-T6","thickness":1.6,"grain":"y"`, 2.4, false, "the one that advises 2.4 mm inside radius, the stricter one asks for 7.1 mm, this bend has 2.4"},
		{"the same, along", `"material":"6061-T6","thickness":1.6,"grain":"x"`, 2.4, false, "tighter than the 4.0 mm advised for this sheet along the grain"},
		{"the same, grain not given", `"material":"6061-T6","thickness":1.6`, 2.4, false, "The grain is not given; along it 4.0 mm"},
		{"wide", `"material":"6061-T6","thickness":1.6`, 4.1, false, "the stricter one asks for 7.1 mm, this bend has 4.1"},
		{"short of the stricter", `"material":"5052-H32","thickness":1,"grain":"y"`, 1.58, false, "advises 1.0 mm inside radius, the stricter one asks for 1.6 mm"},
		{"as the stricter asks", `"material":"5052-H32","thickness":1,"grain":"y"`, 1.6, false, ""},
		{"soft steel, sharp", `"material":"mild-steel","thickness":1.5`, 0.1, false, "tighter than the 1.5 mm advised"},
		{"soft steel as usual", `"material":"mild-steel","thickness":1.5`, 1.5, false, ""},
		{"stainless, folded sharp", `"material":"304","thickness":1.2`, 0.2, true, "at least 0.60 mm"},
		{"no row in the table", `"material":"316","thickness":8`, 1, false, ""},
	} {
		text := fmt.Sprintf("{\"number\":\"T\",%s,\n \"inside_radius\":%v,\"profile\":{\"length\":200,\"legs\":[60,80],\"bends\":[90]}}", test.sheet, test.radius)
		k := suite.Brake(t)
		k.RatingFactor, k.Bars[0].Rating = map[string]float64{"aluminium": 0.1, "stainless": 0.1, "mild-steel": 0.1}, 5
		plan, err := calc.Work(suite.Read(t, []byte(text)), k, calc.Options{})
		if test.refused {
			r, ok := err.(*fault.Refusal)
			if !ok || r.Kind != fault.Invalid || r.Field != "inside_radius" || r.Line != 2 || !strings.Contains(r.Message, test.says) {
				t.Errorf("%s: %v, want a refusal on inside_radius that says %q", test.name, err, test.says)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		got := suite.Cautions(plan)
		if test.says == "" && got != "" || !strings.Contains(got, test.says) {
			t.Errorf("%s: cautions %q, want %q", test.name, got, test.says)
		}
	}
}

// A radius of a single bend of a flat part is refused where it stands.
func TestRadiusOfOneBendIsRefusedInPlace(t *testing.T) {
	text := `{"number":"T","material":"2024-T3","thickness":1.6,"inside_radius":8,
 "flat":{"faces":[{"id":"a","outline":[[0,0],[50,0],[50,30],[0,30]]},{"id":"b","outline":[[0,30],[50,30],[50,60],[0,60]]}],
 "bends":[{"id":"x","between":["a","b"],"line":[[0,30],[50,30]],"angle":90,"radius":1}]}}`
	_, err := figures.Shop{}.Draft(suite.Read(t, []byte(text)))
	if r, ok := err.(*fault.Refusal); !ok || r.Field != "flat.bends[0].radius" || r.Line != 3 {
		t.Errorf("%v, want a refusal on flat.bends[0].radius in line 3", err)
	}
}

// One caution for several bends names them, and none when it is true of all.
func TestCautionsNameTheirBends(t *testing.T) {
	for bends, want := range map[string]string{
		"[90,90]":    "Inside radius 1.0 mm is tighter",
		"[90,125]":   "Bend legs 2-3: inside radius 1.6 mm is tighter",
		"[125,-125]": "Inside radius 1.6 mm is tighter",
	} {
		radius := "1.6"
		if bends == "[90,90]" {
			radius = "1"
		}
		text := `{"number":"T","material":"mild-steel","thickness":1.5,"inside_radius":` + radius + `,"profile":{"length":200,"legs":[60,80,60],"bends":` + bends + `}}`
		plan, err := figures.Shop{}.Draft(suite.Read(t, []byte(text)))
		if err != nil {
			t.Fatal(err)
		}
		plan.Cautions = wording.PartCautions(plan)
		if got := suite.Cautions(plan); !strings.HasPrefix(got, want) {
			t.Errorf("bends %s: cautions %q, want %q first", bends, got, want)
		}
	}
}

// The round bar that a caution names makes the drawn radius.
func TestRoundBarNamedByTheCaution(t *testing.T) {
	plan := suite.Work(t, suite.Read(t, []byte(`{"number":"L","material":"304","thickness":0.9,"inside_radius":12,"profile":{"length":300,"legs":[90,120],"bends":[90]}}`)), roundBars(t), calc.Options{})
	made, _ := bend.OverFormer(plan.Blank.Sheet, 90, wording.FormerFor(plan, 0))
	suite.Near(t, "radius", float64(made.Radius), 12, 1e-6)
	if text := suite.Cautions(plan); !strings.Contains(text, "about "+wording.FormerFor(plan, 0).Text(1)+" mm") {
		t.Errorf("cautions %q do not name %v", text, wording.FormerFor(plan, 0))
	}
}

// roundBars is an invented brake with two round bars, of radius 15 and 6.
func roundBars(t suite.Failer) *brake.Brake {
	t.Helper()
	data, err := os.ReadFile("../../testdata/brakes/round.json")
	if err != nil {
		t.Fatalf("%v", err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return k
}
