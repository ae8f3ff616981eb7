package fitting_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// How long a bend the brake takes is said to the tenth, with a case on each side: the
// suite's brake takes 1180.
func TestLongestBend(t *testing.T) {
	for _, test := range []struct {
		long, leg float64
		says      string
	}{
		{1180, 60, ""}, {1180.1, 60, "the bend is 1180.1 mm long, the brake takes 1180.0"},
	} {
		blank, err := figures.Shop{}.Develop(suite.Read(t, fmt.Appendf(nil, `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,
			"profile":{"length":%v,"legs":[%v,60],"bends":[90]}}`, test.long, test.leg)))
		if err != nil {
			t.Fatal(err)
		}
		s := fitting.New(process.New(blank, suite.Brake(t)))
		said := ""
		for _, r := range s.Why(0, 0) {
			said += r.Text + "; "
		}
		if can := len(s.Actions(0, 0)) > 0; can != (test.says == "") || !can && !strings.Contains(said, test.says) {
			t.Errorf("%v long: can be made %v, %q, want %q", test.long, can, said, test.says)
		}
	}
}

// The edge of a hem is flattened from 110 degrees on and not from less (common
// practice, no source). A leaf that goes less far, its springback taken off, cannot
// begin one; the leaf of the suite's brake goes to 130.
func TestLeastHem(t *testing.T) {
	blank, err := figures.Shop{}.Develop(suite.Read(t, []byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,
		"flat":{"faces":[{"id":"front","outline":[[0,0],[200,0],[200,60],[0,60]]},{"id":"edge","outline":[[0,0],[200,0],[200,-10],[0,-10]]}],
			"bends":[{"id":"hem","between":["front","edge"],"line":[[0,0],[200,0]],"hem":"closed"}]}}`)))
	if err != nil {
		t.Fatal(err)
	}
	springback := process.New(blank, suite.Brake(t)).Bends[0].Springback
	for _, test := range []struct {
		opens unit.Deg
		can   bool
	}{{56, false}, {109.2, false}, {110.2, true}, {120, true}} {
		k := suite.Brake(t)
		k.Leaf.MaxAngle = test.opens + unit.Deg(math.Ceil(float64(springback)))
		s := fitting.New(process.New(blank, k))
		var why []string
		for _, r := range s.Why(0, 0) {
			why = append(why, r.Text)
		}
		said := strings.Join(why, "; ")
		if can := len(s.Actions(0, 0)) > 0; can != test.can || !can && !strings.Contains(said, "a hem needs 110 before it can be flattened") {
			t.Errorf("turned up by %v: can be made %v, want %v: %s", test.opens, can, test.can, said)
		}
	}
}
