package bend

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/unit"
)

// A bar as deep as is said to hold has a load at its limit; a little less deep it
// lifts. By hand: 1 mm of 340 N/mm2 has a moment of 97.75 N; at a lever of 20 under
// 0.35 N/mm2 the depth d solves 97.75 (1/20 + 1/d) = 0.175 d, so d = 41.4.
func TestLeastDepth(t *testing.T) {
	c := Clamped{Strength: 340, Thickness: 1, Lever: 20, Pressure: 0.35, Margin: 2}
	if got := c.LeastDepth(); math.Abs(float64(got)-41.4) > 0.2 {
		t.Errorf("LeastDepth() = %v, want 41.4", got)
	}
	for _, c := range []Clamped{{Strength: 340, Thickness: 1, Pressure: 0.35}, {Strength: 340, Thickness: 1, Lever: 20}} {
		if !math.IsInf(float64(c.LeastDepth()), 1) {
			t.Errorf("%+v: LeastDepth() = %v, want it infinite", c, c.LeastDepth())
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		c := Clamped{
			Strength: unit.MPa(rapid.Float64Range(100, 800).Draw(t, "strength")), Thickness: unit.MM(rapid.Float64Range(0.4, 3).Draw(t, "thickness")),
			Lever: unit.MM(rapid.Float64Range(5, 80).Draw(t, "lever")), Pressure: unit.MPa(rapid.Float64Range(0.05, 1).Draw(t, "pressure")),
			Share: rapid.Float64Range(1, 12).Draw(t, "share"),
		}
		for _, off := range []unit.MM{-0.01, 0.01} {
			c := c
			c.Depth = c.LeastDepth() + off
			if got := c.Hold().Lifts(); got != (off < 0) {
				t.Errorf("%+v: lifts %v, %v from the least depth", c, got, off)
			}
		}
	})
}
