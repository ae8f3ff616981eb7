package wording_test

import (
	"fmt"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/testdata/suite"
)

// The handbook table of 304 ends at 40 times the sheet: up to there nothing is
// said, past it that the table was carried on.
func TestSpringbackPastItsTableIsCautioned(t *testing.T) {
	for radius, want := range map[float64]bool{28: false, 28.3: true, 40: true} {
		text := fmt.Appendf(nil, `{"number":"T","material":"304","thickness":0.7,"inside_radius":%v,"profile":{"length":300,"legs":[150,150],"bends":[30]}}`, radius)
		plan := suite.Work(t, suite.Read(t, text), suite.Brake(t), calc.Options{Quantity: 1})
		if said := suite.Cautions(plan); strings.Contains(said, "past the end of the springback tables") != want {
			t.Errorf("radius %v, %.1f times the sheet: it says %q, want the caution: %v", radius, radius/0.7, said, want)
		}
	}
}
