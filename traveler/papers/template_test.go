package papers

import (
	"math"
	"strconv"
	"testing"

	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
)

// Every stair of the nose template is as high on paper as it says, in millimetres, and
// the line to check the print by is 100 long.
func TestNoseTemplateIsFullSize(t *testing.T) {
	page, err := Card(fixture.Tray().Brake, "a4")
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]float64{} // by what stands over a stair, its middle
	checks := 0
	for _, m := range page.Marks {
		switch m := m.(type) {
		case marks.Text:
			if _, err := strconv.ParseFloat(m.Words, 64); err == nil && len(m.Words) == 3 {
				said[m.Words] = m.X
			}
		case marks.Line:
			if math.Abs(math.Abs(m.X2-m.X1)-100) < 1e-9 {
				checks++
			}
		}
	}
	if checks != 1 || len(said) != 17 {
		t.Fatalf("%d lines of 100 mm and %d stairs, want 1 and 17", checks, len(said))
	}
	for words, middle := range said {
		want, _ := strconv.ParseFloat(words, 64)
		found := 0
		for _, m := range page.Marks {
			box, ok := m.(marks.Path)
			if !ok || box.Fill != marks.Black || len(box.Points) != 4 || math.Abs(box.Points[0].X+box.Points[2].X-2*middle) > 0.01 {
				continue
			}
			if high := math.Abs(box.Points[2].Y - box.Points[0].Y); math.Abs(high-want) > 1e-9 {
				t.Errorf("the stair of %s is %.3f high", words, high)
			}
			found++
		}
		if found != 1 {
			t.Errorf("%d stairs under %s", found, words)
		}
	}
}
