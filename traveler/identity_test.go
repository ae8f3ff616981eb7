package traveler_test

import (
	"regexp"
	"testing"

	"brakeside/traveler"
	"brakeside/traveler/internal/fixture"
)

// What is cut and where it is bent changes the letters of a blank; in which order
// it is bent, and under which bars, does not.
func TestIdentityOfABlank(t *testing.T) {
	own := fixture.Tray().Blank.Identity()
	if !regexp.MustCompile(`^[B-DF-HJ-NPRTVX]{4} [B-DF-HJ-NPRTVX]{4}$`).MatchString(own) {
		t.Errorf("the letters are %q", own)
	}
	for _, c := range []struct {
		name   string
		change func(*traveler.Blank)
		same   bool
	}{
		{"nothing", func(*traveler.Blank) {}, true},
		{"the steps", func(b *traveler.Blank) { b.Lines[0].Step, b.Lines[1].Step = b.Lines[1].Step, b.Lines[0].Step }, true},
		{"a nose line", func(b *traveler.Blank) { b.Lines[0].Nose[0].X += 1000 }, true},
		{"a corner by a micrometre", func(b *traveler.Blank) { b.Outline[2].X++ }, false},
		{"a hole", func(b *traveler.Blank) { b.Holes = append(b.Holes, []traveler.Point{{X: 1}, {Y: 1}, {X: 1, Y: 1}}) }, false},
		{"the place of a bend", func(b *traveler.Blank) { b.Lines[0].Line[0].Y++ }, false},
		{"the way of a bend", func(b *traveler.Blank) { b.Lines[0].Up = !b.Lines[0].Up }, false},
		{"the angle of a bend", func(b *traveler.Blank) { b.Lines[0].Angle++ }, false},
		{"the radius of a bend", func(b *traveler.Blank) { b.Lines[0].Radius++ }, false},
	} {
		b := fixture.Tray().Blank
		if c.change(&b); (b.Identity() == own) != c.same {
			t.Errorf("changing %s: %s becomes %s", c.name, own, b.Identity())
		}
	}
}
