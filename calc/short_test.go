package calc_test

import (
	"os"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/wording"
	"brakeside/testdata/suite"
)

// What stands in one line beside another brake: whether the radius comes true,
// each caution once, a no in plain words.
func TestInShort(t *testing.T) {
	saddle, err := os.ReadFile("../testdata/parts/round-saddle.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		what, text string
		on         *brake.Brake
		comesTrue  bool
		radius, no string
	}{
		{"an ordinary radius", channel(130, 50), looseBars(t), true, "as drawn", ""},
		{"a large radius over its tube", string(saddle), roundBars(t), true, "as drawn", ""},
		{"a large radius without one", string(saddle), suite.Brake(t), false, "no bar here makes", ""},
		{"what cannot be bent", channel(12, 300), looseBars(t), true, "as drawn", "no order: whichever of these bends comes last"},
	} {
		plan := suite.Work(t, suite.Read(t, []byte(test.text)), test.on, calc.Options{})
		got := wording.InShort(plan)
		if got.RadiusTrue != test.comesTrue || !strings.HasPrefix(got.Radius, test.radius) {
			t.Errorf("%s: true %v, %q", test.what, got.RadiusTrue, got.Radius)
		}
		if (got.No == "") != plan.Feasible || !strings.HasPrefix(got.No, test.no) {
			t.Errorf("%s: feasible %v, no %q", test.what, plan.Feasible, got.No)
		}
		seen := map[string]bool{}
		for _, c := range got.Cautions {
			if seen[c] {
				t.Errorf("%s: %q is said twice", test.what, c)
			}
			seen[c] = true
		}
		for _, s := range plan.Steps {
			for _, c := range s.Cautions {
				if !seen[c.Text()] {
					t.Errorf("%s: %q is left out", test.what, c.Text())
				}
			}
		}
	}
}
