package wording_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/testdata/suite"
)

// The handbook table of 304 ends at 40 times the sheet: over a round bar of up to
// that radius nothing is said, over a larger one that the table was carried on. A
// radius that no bar makes is not reckoned with at all.
func TestSpringbackPastItsTableIsCautioned(t *testing.T) {
	file, err := os.ReadFile("../../testdata/brakes/round.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		drawn float64
		tube  string
		want  bool
	}{{44, "27.9", false}, {44, "28.1", true}, {60, "35", true}, {40, "6.5", false}} {
		k, err := brake.Read(bytes.Replace(file, []byte(`"outside_radius": 15`), []byte(`"outside_radius": `+c.tube), 1))
		if err != nil {
			t.Fatal(err)
		}
		text := fmt.Appendf(nil, `{"number":"T","material":"304","thickness":0.7,"inside_radius":%v,"profile":{"length":300,"legs":[150,150],"bends":[30]}}`, c.drawn)
		plan := suite.Work(t, suite.Read(t, text), k, calc.Options{Quantity: 1})
		if said := suite.Cautions(plan); strings.Contains(said, "past the end of the springback tables") != c.want {
			t.Errorf("radius %v over %v: it says %q, want the caution: %v", c.drawn, c.tube, said, c.want)
		}
	}
}
