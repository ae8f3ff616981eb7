package fitting_test

import (
	"strings"
	"testing"

	"brakeside/calc/fitting"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// What stands in the way of a bend has a picture that names the bend and has the
// brake and the part in it.
func TestPictureOfWhatIsInTheWay(t *testing.T) {
	looked := 0
	for name := range suite.Verdicts(t) {
		plan := suite.Plan(t, name)
		for op, joints := range fitting.New(process.New(plan.Blank, plan.Brake)).Operations {
			for set := order.Made(0); set < 4; set++ {
				s := fitting.New(process.New(plan.Blank, plan.Brake)) // one keeps its first picture
				if len(s.Operations) < 2 || set.Has(op) || len(s.Why(set, op)) == 0 || s.Picture().Shapes == nil {
					continue
				}
				looked++
				p, word := s.Picture(), plan.Blank.Joints[joints[0]].Word
				if !strings.HasPrefix(p.Words, "bend "+word) || len(p.Shapes) < 3 {
					t.Errorf("%s, bend %s after %b: %q with %d shapes", name, word, set, p.Words, len(p.Shapes))
				}
			}
		}
	}
	if looked < 10 {
		t.Errorf("only %d pictures were looked at", looked)
	}
}
