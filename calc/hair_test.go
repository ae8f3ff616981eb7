package calc_test

import (
	"brakeside/calc"
	"brakeside/calc/figures"
	"brakeside/testdata/suite"
	"strings"
	"testing"
)

// A size that is drawn just as the brake asks for it counts, also when it was
// rounded by less than two hundredths of a millimetre: the least flange of 1 mm sheet
// is 6, the least strip under the bar 10 behind a tangent that lies 2 inside.
func TestSizesByAHair(t *testing.T) {
	for _, test := range []struct {
		legs     string
		feasible bool
	}{
		{"6,60", true}, {"5.985,60", true}, {"5.975,60", false},
		{"12,7", true}, {"11.985,7", true}, {"11.975,7", false},
	} {
		p := suite.Read(t, []byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,`+
			`"profile":{"length":300,"legs":[`+test.legs+`],"bends":[90]}}`))
		if plan := suite.Work(t, p, suite.Brake(t), calc.Options{}); plan.Feasible != test.feasible {
			t.Errorf("legs of %s: feasible %v, want %v: %v", test.legs, plan.Feasible, test.feasible, plan.Blocked)
		}
	}
}

// What runs through itself is refused with both names and what would be right.
func TestThroughItself(t *testing.T) {
	for _, test := range []struct{ shape, field, says string }{
		{`"profile":{"length":100,"legs":[40,30,40,29.5],"bends":[90,90,90]}`, "profile.bends[2]",
			"faces p0 and p3 run through each other when the part is folded; make p3 shorter by 0.5 mm or more"},
		{`"tray":{"base":[200,120],"walls":{"left":[{"leg":40},{"leg":12},{"leg":12,"hem":"closed"}]}}`, "tray.walls.left[2]",
			"face left.3 runs through the curve of bend left.2 when the part is folded; make left.3 shorter by 1.5 mm or more"},
	} {
		p := suite.Read(t, []byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,`+test.shape+`}`))
		_, err := figures.Shop{}.Develop(p)
		if err == nil || !strings.Contains(err.Error(), test.field+": "+test.says) {
			t.Errorf("%s: %v, want %s: %s", test.shape, err, test.field, test.says)
		}
	}
}
