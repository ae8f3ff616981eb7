package process_test

import (
	"fmt"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/figures"
	"brakeside/calc/part"
	"brakeside/testdata/suite"
)

func TestSizesPastARightAngleAreSaid(t *testing.T) {
	for _, test := range []struct {
		name, text string
		to         part.Over90
	}{
		{"square only", `"profile":{"length":200,"legs":[60,80],"bends":[90]}}`, ""},
		{"to the apex", `"profile":{"length":200,"legs":[60,80],"bends":[110]}}`, part.Apex},
		{"to the tangent", `"over_90":"tangent","profile":{"length":200,"legs":[60,80],"bends":[-110]}}`, part.Tangent},
	} {
		plan := suite.Work(t, suite.Read(t, []byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":2,`+test.text)), suite.Brake(t), calc.Options{})
		if got := plan.SizesPastSquare(); got != test.to {
			t.Errorf("%s: sizes run to %q, want %q", test.name, got, test.to)
		}
		// The checked legs are the two sizes of the file.
		for i, c := range plan.Steps[0].Checks {
			suite.Near(t, test.name+" check", float64(c.Size), []float64{60, 80}[i], 1e-9)
		}
	}
}

// The deduction is what makes the blank from the sizes as they are written.
func TestDeductionsMakeTheBlank(t *testing.T) {
	for _, head := range []string{``, `"sizes":"inside",`, `"over_90":"tangent",`, `"sizes":"inside","over_90":"tangent",`} {
		for _, bends := range []string{"[90]", "[120]", "[90,-90]", "[120,-60,120]", "[45,90,-135]"} {
			legs := make([]string, strings.Count(bends, ",")+2)
			for i := range legs {
				legs[i] = fmt.Sprint(40 + 7*i)
			}
			text := `{"number":"T",` + head + `"material":"mild-steel","thickness":1.2,"inside_radius":2.5,"profile":{"length":200,"legs":[` + strings.Join(legs, ",") + `],"bends":` + bends + `}}`
			plan, err := figures.Shop{}.Draft(suite.Read(t, []byte(text)))
			if err != nil {
				t.Fatal(err)
			}
			sum := 0.0
			for i := range legs {
				sum += float64(40 + 7*i)
			}
			for _, b := range plan.Bends {
				sum -= float64(b.Deduction)
			}
			suite.Near(t, head+bends, float64(plan.Blank.Height), sum, 1e-9)
		}
	}
}
