package sheet

import (
	"math"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
	"brakeside/traveler/sign"
)

// lozenges counts the marks of the mirror check on a page.
func lozenges(page *marks.Page) int {
	n := 0
	for _, p := range look.Each[marks.Path](page) {
		q := p.Points
		if p.Fill == marks.Black && len(q) == 4 && math.Hypot(q[0].X-q[2].X, q[1].Y-q[3].Y) < 1e-9 &&
			math.Abs(q[1].X-q[3].X-2*sign.MirrorReach) < 1e-9 {
			n++
		}
	}
	return n
}

// The feature of the mirror check is named before the first bend and marked there,
// on the blank and on the finished part; without one nothing is.
func TestMirrorCheckIsMarked(t *testing.T) {
	plain := fixture.Tray()
	if n := lozenges(pagesOf(t, plain)[0]); n != 0 {
		t.Errorf("%d marks on a sheet without a mirror check", n)
	}
	made := fixture.Tray()
	made.MirrorCheck = "The 5.0 mm hole is at your left when bend left comes up."
	made.MirrorMark = &traveler.Point{X: made.Blank.Width / 2, Y: made.Blank.Height / 2}
	made.Finished = &traveler.Picture{
		Strokes: []traveler.Strokes{{Kind: traveler.StrokeMetal, Lines: [][4]unit.Micron{{0, 0, 120_000, 0}, {120_000, 0, 120_000, 80_000}}}},
		Spots:   []traveler.Spot{{What: traveler.SpotMirror, At: traveler.Point{X: 60_000, Y: 40_000}, Seen: true}},
	}
	page := pagesOf(t, made)[0]
	if !strings.Contains(allWords(page), made.MirrorCheck) {
		t.Errorf("the page does not say %q", made.MirrorCheck)
	}
	if n := lozenges(page); n != 3 {
		t.Errorf("%d marks, want one in the row, one on the blank and one on the finished part", n)
	}
	made.Finished.Spots[0].Seen = false // nothing is marked behind which the feature lies
	if n := lozenges(pagesOf(t, made)[0]); n != 2 {
		t.Errorf("%d marks where the feature cannot be seen on the finished part, want 2", n)
	}
	for _, fault := range look.Crowded(page) {
		t.Error(fault)
	}
}

// A part drawn as its blank is checked by its outside sizes once it is bent.
func TestSizesOfABlank(t *testing.T) {
	made := fixture.Bracket()
	made.Part.Sizes = "blank"
	if words := allWords(pagesOf(t, made)[0]); !strings.Contains(words, "OUTSIDE,") {
		t.Errorf("the page says %q", words)
	}
}
