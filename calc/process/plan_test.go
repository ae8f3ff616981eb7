package process

import (
	"strings"
	"testing"

	"brakeside/calc/brake"
)

// What is not proven is worded as not proven, and nothing of it is called impossible.
func TestNotSaysNoMoreThanIsCertain(t *testing.T) {
	k := &brake.Brake{Name: "bench brake"}
	tooLong, tooThick := Blocked{Reason: "too long"}, Blocked{Reason: "too thick"}
	for _, test := range []struct {
		plan     Plan
		not, why string
	}{
		{Plan{Brake: k}, "cannot be bent on bench brake", "cannot be bent on bench brake"},
		{Plan{Brake: k, Blocked: []Blocked{tooLong, tooThick, tooLong}}, "cannot be bent on bench brake", "too long; too thick"},
		{Plan{Brake: k, Undecided: true}, "no order was found on bench brake, and that there is none is not proven", ""},
	} {
		if got := test.plan.Not(); got != test.not {
			t.Errorf("%q, want %q", got, test.not)
		}
		why := test.plan.WhyNot()
		if test.plan.Undecided && (why != test.not || strings.Contains(why, "cannot")) {
			t.Errorf("undecided, it says %q", why)
		}
		if !test.plan.Undecided && why != test.why {
			t.Errorf("%q, want %q", why, test.why)
		}
	}
}
