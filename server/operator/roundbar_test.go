package operator

import (
	"testing"

	"brakeside/server/say"
	"brakeside/traveler"
)

// A round bar is set by its axis, which can be measured; its front may hang before the
// hinge.
func TestRoundBarIsToldByItsAxis(t *testing.T) {
	for _, test := range []struct {
		step traveler.Step
		want string
	}{
		{traveler.Step{NoseSetback: 1500}, "nose setback 1.5 mm"},
		{traveler.Step{NoseSetback: 1800}, "nose setback 1.8 mm, set with a strip as thick"},
		{traveler.Step{NoseSetback: -7854, ContactLine: 7146}, "axis 7.1 mm behind the hinge"},
	} {
		if v, err := viewOf(say.Ruler{}, &traveler.Traveler{}, test.step); err != nil || v.NoseSetback != test.want {
			t.Errorf("%+v is told as %q, %v, want %q", test.step, v.NoseSetback, err, test.want)
		}
	}
}
