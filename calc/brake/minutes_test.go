package brake

import (
	"strings"
	"testing"
)

// A file that is silent about a price asks the usual one, a bar that it does not name
// costs what its kind does, and what the file says is what it costs.
func TestUsualPrices(t *testing.T) {
	silent := suite(t).Minutes
	for _, test := range []struct {
		field     string
		got, want float64
	}{
		{"set_nose_back", silent.SetNose, 0.4}, {"hold_within_margin", silent.HoldWithinMargin, 0.3}, {"placed_by_eye", silent.PlacedByEye, 0.4},
		{"bar_end_at_wall", silent.BarEndAtWall, 0.2}, {"bend_end_at_brake_end", silent.BendEndAtBrakeEnd, 0.2}, {"part_at_brake_end", silent.PartAtEnd, 0.1},
	} {
		if test.got != test.want {
			t.Errorf("%s is %v where the file is silent, want %v", test.field, test.got, test.want)
		}
		b, err := Read(changed(t, "/minutes/"+test.field, 0.05))
		if err != nil {
			t.Fatal(err)
		}
		m := b.Minutes
		for field, got := range map[string]float64{
			"set_nose_back": m.SetNose, "hold_within_margin": m.HoldWithinMargin, "placed_by_eye": m.PlacedByEye,
			"bar_end_at_wall": m.BarEndAtWall, "bend_end_at_brake_end": m.BendEndAtBrakeEnd, "part_at_brake_end": m.PartAtEnd,
		} {
			if (got == 0.05) != (field == test.field) {
				t.Errorf("with %s at 0.05, %s is %v", test.field, field, got)
			}
		}
		if _, err := Read(changed(t, "/minutes/"+test.field, -1)); err == nil || !strings.Contains(err.Error(), test.field) {
			t.Errorf("%s below 0: %v", test.field, err)
		}
	}
	bars := Minutes{BarPreference: map[string]float64{"mine": 1}}
	bars.prefer([]Bar{{Name: "mine", Kind: FullBar}, {Name: "long", Kind: FullBar}, {Name: "slots", Kind: Slotted}, {Name: "short", Kind: Segments}, {Name: "tube", Kind: Round}})
	for name, want := range map[string]float64{"mine": 1, "long": 0, "slots": 0.15, "short": 0.25, "tube": 0} {
		if got, known := bars.BarPreference[name]; !known || got != want {
			t.Errorf("bar %s is asked %v more, want %v", name, got, want)
		}
	}
}
