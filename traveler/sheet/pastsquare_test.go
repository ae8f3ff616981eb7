package sheet

import (
	"math"
	"strings"
	"testing"

	marks "brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
)

// The size of an acute bend's leg is drawn to the farthest point of the metal, or
// to where the two outer faces meet; which of them is said in words too.
func TestPastSquare(t *testing.T) {
	for to, words := range map[string]string{"apex": "apex", "tangent": "outside tangent"} {
		made := fixture.Bracket()
		made.Part.PastSquare = to
		page := pagesOf(t, made)[0]
		if !strings.Contains(allWords(page), words) {
			t.Errorf("%s: the page does not say %q", to, words)
		}
		for _, fault := range look.Crowded(page) {
			t.Errorf("%s: %s", to, fault)
		}
		metal, ends := acuteFigure(t, page)
		want := 0.0
		for _, p := range metal {
			want = max(want, p.X)
		}
		if to == "apex" { // the upper outer face, from its tangent to its end, runs on to the lower one
			tangent, end := metal[2+acutePieces], metal[3+acutePieces]
			want = tangent.X + (metal[1].Y-tangent.Y)*(tangent.X-end.X)/(tangent.Y-end.Y)
		}
		if got := ends[1]; math.Abs(got-want) > 0.05 {
			t.Errorf("%s: the size is drawn to x = %.2f, want %.2f", to, got, want)
		}
	}
	if strings.Contains(allWords(pagesOf(t, fixture.Bracket())[0]), wordsPastSquare) {
		t.Error("a part of right angles is told about acute ones")
	}
}

func allWords(page *marks.Page) string {
	var all []string
	for _, m := range look.Each[marks.Text](page) {
		all = append(all, m.Words)
	}
	return strings.Join(all, " ")
}

// acuteFigure finds the metal of the figure, the shape of the most corners beside
// its title, and the two ends of its size.
func acuteFigure(t *testing.T, page *marks.Page) (metal []marks.Point, ends [2]float64) {
	t.Helper()
	title := math.NaN()
	for _, m := range look.Each[marks.Text](page) {
		if m.Words == wordsPastSquare {
			title = m.Y
		}
	}
	for _, m := range look.Each[marks.Path](page) {
		if points := m.Points; len(points) > 40 && math.Abs(points[0].Y-title) < pastHeight {
			metal = points
		}
	}
	ends = [2]float64{math.Inf(1), math.Inf(-1)}
	for _, m := range look.Each[marks.Line](page) {
		if m.Arrows == marks.AtEnd && math.Abs(m.Y1-title) < pastHeight && m.X1 < 80 {
			ends = [2]float64{min(ends[0], m.X2), max(ends[1], m.X2)}
		}
	}
	if metal == nil || math.IsInf(ends[0], 1) {
		t.Fatal("there is no figure")
	}
	return metal, ends
}
