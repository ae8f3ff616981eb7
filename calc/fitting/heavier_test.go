package fitting_test

import (
	"fmt"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// Legs that differ by what a cut is off weigh the same; by a millimetre they do
// not.
func TestHalvesAreAlikeByAHair(t *testing.T) {
	for _, test := range []struct {
		longer  float64
		heavier bool
	}{{0, false}, {0.01, false}, {1, true}} {
		p := suite.Read(t, fmt.Appendf(nil, `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,`+
			`"profile":{"length":300,"legs":[%v,60],"bends":[90]}}`, 60+test.longer))
		b, err := figures.Shop{}.Develop(p)
		if err != nil {
			t.Fatal(err)
		}
		const clampedP1 = 1 // the second face of the joint
		s := fitting.New(process.New(b, suite.Brake(t)))
		if got := s.HeavierSwings(0, clampedP1); got != test.heavier {
			t.Errorf("%v mm longer: heavier %v, want %v", test.longer, got, test.heavier)
		}
	}
}
