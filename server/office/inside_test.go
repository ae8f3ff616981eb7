package office

import (
	"testing"

	"brakeside/calc/unit"
	"brakeside/server/say"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

func TestOwnPath(t *testing.T) {
	for next, want := range map[string]string{
		"": "/", "/": "/", "/review?bar=wide": "/review?bar=wide", "//evil.example/": "/", "http://evil.example/": "/",
		"/\\evil.example": "/", "javascript:alert(1)": "/", "review": "/", "/a\r\nb": "/", "/%zz": "/",
	} {
		if got := ownPath(next); got != want {
			t.Errorf("ownPath(%q) = %q, want %q", next, got, want)
		}
	}
}

// What was measured beside the angle stands on the job's page, in both units.
func TestNotes(t *testing.T) {
	leg, sheet, left, right := unit.Micron(34_100), unit.Micron(1_520), unit.Micron(1_800), unit.Micron(0)
	r := progress.Reading{Flags: []string{progress.FlagBarLifted, progress.FlagCornerTorn}, Leg: &leg, Thickness: &sheet, NoseSetback: [2]*unit.Micron{&left, &right}, Tool: "protractor", Pack: "P-7", Note: "oily", Corrects: "r1"}
	for u, want := range map[say.Ruler]string{
		{System: unit.Metric}: "bar lifted, corner torn; a correction; sheet 1.52 mm (0.0598 in); leg 34.1 mm (1.343 in); nose setback left 1.80 mm (0.0709 in); nose setback right 0.00 mm (0.0000 in); measured with protractor; lot P-7; oily",
		{System: unit.Inch}:   "bar lifted, corner torn; a correction; sheet 0.0598 in (1.52 mm); leg 1.343 in (34.1 mm); nose setback left 0.0709 in (1.80 mm); nose setback right 0.0000 in (0.00 mm); measured with protractor; lot P-7; oily",
	} {
		if got := notes(u, traveler.Step{}, r); got != want {
			t.Errorf("notes =\n%s\nwant\n%s", got, want)
		}
	}
}
