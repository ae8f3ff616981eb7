package calc_test

import (
	"os"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/testdata/suite"
)

// The head line says the real reason, and never a general one where one cause is known;
// no line is said twice, and a way has no more lines than causes.
func TestTheRealReasonComesFirst(t *testing.T) {
	suite.Unraced(t)
	angle := func(more string) string {
		return `{"number":"T","material":"mild-steel",` + more + `}`
	}
	caseFile := func(name string) string {
		data, err := os.ReadFile("../testdata/cases/" + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	for _, test := range []struct{ name, text, reason string }{
		{"too long", angle(`"thickness":1,"profile":{"length":1300,"legs":[30,40],"bends":[90]}`), "too long for this brake"},
		{"too thick", angle(`"thickness":3,"inside_radius":3,"profile":{"length":200,"legs":[40,50],"bends":[90]}`), "too thick for this brake"},
		{"too far", angle(`"thickness":1,"profile":{"length":200,"legs":[40,50],"bends":[132]}`), "bent farther than this brake reaches"},
		{"too short", angle(`"thickness":1,"inside_radius":1,"profile":{"length":200,"legs":[4,5],"bends":[90]}`), "too little metal beside the bend for this brake"},
		{"no order, at bed and leaf", caseFile("profile-33"), "no order: whichever of these bends comes last, what is bent before is in its way at the bed and the leaf"},
		{"no order, at all of them", caseFile("tray-2"), "no order: whichever of these bends comes last, what is bent before is in its way at " +
			"the bed, the leaf, the bars and the fingers; too weak here: narrow bar"},
	} {
		plan := suite.Work(t, suite.Read(t, []byte(test.text)), suite.Brake(t), calc.Options{})
		if plan.Feasible || plan.WhyNot() != test.reason {
			t.Errorf("%s: feasible %v, %q, want %q", test.name, plan.Feasible, plan.WhyNot(), test.reason)
		}
		for _, b := range plan.Blocked {
			seen, ways := map[string]bool{}, map[string]int{}
			for _, line := range b.Why {
				way, _, _ := strings.Cut(line, ": ")
				if ways[way]++; seen[line] {
					t.Errorf("%s: said twice: %s", test.name, line)
				}
				seen[line] = true
			}
		}
	}
}
