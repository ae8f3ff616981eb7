package sheet

import (
	"strings"
	"testing"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
)

// A round bar is set by its axis, which lies over the line of the blank: no word says
// that its front edge does, nor that half of the line shows, and its nose setback, which
// may be below zero, stands nowhere.
func TestRoundBarIsSetByItsAxis(t *testing.T) {
	made := fixture.Cover()
	for i := range made.Steps {
		made.Steps[i].NoseSetback, made.Steps[i].ContactLine = -7854, 45123
	}
	s := prepared(t, made)
	row := func(height float64) string {
		drawn := &marks.Page{Width: 210, Height: 297}
		drawBend(s, canvas.Canvas{Page: drawn}, canvas.Box{X: 28, Y: 30, W: 172, H: height}, 0)
		for _, fault := range look.Crowded(drawn) {
			t.Errorf("%.0f mm high: %s", height, fault)
		}
		return strings.ReplaceAll(look.Said([]*marks.Page{drawn}), "\n", " ")
	}
	for height, want := range map[float64][]string{mostRow: {wordsAxisSetback, "45.1", wordsAxisOver}, leastRow: {wordsAxisSetback, "45.1"}} {
		words := row(height)
		for _, w := range want {
			if !strings.Contains(words, w) {
				t.Errorf("%.0f mm high: %q does not say %q", height, words, w)
			}
		}
		for _, not := range []string{wordsNoseSetback, wordsNoseShows, wordsNoseFaceB, "-7.9", "7.9"} {
			if strings.Contains(words, not) {
				t.Errorf("%.0f mm high: %q says %q", height, words, not)
			}
		}
	}
	sheets := func(made *traveler.Traveler) string {
		return strings.ReplaceAll(look.Said(pagesOf(t, made)), "\n", " ")
	}
	if words := sheets(made); strings.Contains(words, wordsNoseHalf) || !strings.Contains(words, wordsAxisOver) {
		t.Errorf("where all bars are round the sheet says %q", wordsNoseHalf)
	}
	if words := sheets(fixture.Cover()); !strings.Contains(words, wordsNoseHalf) || strings.Contains(words, wordsAxisOver) {
		t.Errorf("where all bars have an edge the sheet does not say %q", wordsNoseHalf)
	}
}
