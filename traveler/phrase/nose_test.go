package phrase

import (
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
)

// A rule sets whole and half millimetres; a strip of sheet what lies between (common
// practice, no source).
func TestStrip(t *testing.T) {
	for _, c := range []struct {
		setback, contact unit.Micron
		want             string
	}{
		{1300, 0, "use a 1.3 mm strip"}, {1449, 0, "use a 1.4 mm strip"}, {1451, 0, ""}, {1500, 0, ""}, {1549, 0, ""}, {1551, 0, "use a 1.6 mm strip"},
		{2000, 0, ""}, {40, 0, ""}, {0, 0, ""}, {-300, 0, ""}, {1300, 7000, ""},
	} {
		if got := Strip(unit.Metric, traveler.Step{NoseSetback: c.setback, ContactLine: c.contact}); got != c.want {
			t.Errorf("a nose setback of %s: %q, want %q", c.setback.Text(2), got, c.want)
		}
	}
}

// The strip of an inch shop is as thick as the nose setback that is printed before it:
// 1.651 mm are 0.065 in, and the 1.7 that are printed would be 0.067.
func TestStripIsAsThickAsTheSetback(t *testing.T) {
	const want = "SET THE NOSE SETBACK anew: 0.065 (1.7), use a 0.065 in (1.7 mm) strip"
	if got := ChangeNose(unit.Inch, traveler.Step{NoseSetback: 1651}); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A tray is stacked on its base, a lid the other way, a hat one in the other (common
// practice, no source).
func TestStack(t *testing.T) {
	square := func(side unit.Micron) []traveler.Point {
		return []traveler.Point{{}, {X: side}, {X: side, Y: side}, {Y: side}}
	}
	made := func(quantity int, up ...bool) *traveler.Traveler {
		out := &traveler.Traveler{Quantity: quantity}
		out.Blank.Faces = []traveler.Face{{Name: "left wall", Piece: square(40000)}, {Name: "base", Piece: square(200000)}}
		for i, u := range up {
			out.Steps = append(out.Steps, traveler.Step{Number: i + 1, Clamped: "base", Swinging: "left wall"})
			out.Blank.Lines = append(out.Blank.Lines, traveler.BendLine{Step: i + 1, Up: u})
		}
		return out
	}
	for _, c := range []struct {
		of   *traveler.Traveler
		want string
	}{
		{made(2, true, true), "STACK finished pieces with face B down, left wall outwards, all the same way round."},
		{made(2, false, false), "STACK finished pieces with face A down, left wall outwards, all the same way round."},
		{made(9, true, false, false), "STACK finished pieces with face A down, one in the other, left wall outwards, all the same way round."},
		{made(1, true), ""},
		{&traveler.Traveler{Quantity: 5}, ""},
	} {
		if got := Stack(c.of); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
