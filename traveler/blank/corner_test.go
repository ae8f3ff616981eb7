package blank

import (
	"slices"
	"strings"
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/internal/fixture"
	"brakeside/traveler/internal/look"
)

// notched is a blank of 200 x 100 mm with the same notch and relief at every corner but
// the last, which is cut otherwise.
func notched(last float64) traveler.Blank {
	p := func(x, y float64) traveler.Point { return traveler.Point{X: fixture.MM(x), Y: fixture.MM(y)} }
	return traveler.Blank{Width: fixture.MM(200), Height: fixture.MM(100), Outline: []traveler.Point{
		p(22, 0), p(178, 0), p(178, 18), p(176, 18), p(176, 22), p(180, 22), p(180, 20), p(200, 20),
		p(200, 80), p(180, 80), p(180, 78), p(176, 78), p(176, 82), p(178, 82), p(178, 100),
		p(22, 100), p(22, 82), p(24, 82), p(24, 78), p(20, 78), p(20, 80), p(0, 80),
		p(0, 20), p(20, 20), p(20, 22), p(24, 22), p(24, last), p(22, last),
	}}
}

// Corners that are mirror images are drawn once; the sizes are the running ones of the
// edges, worked out by hand.
func TestCorners(t *testing.T) {
	for _, k := range []struct {
		last  float64
		alike []int
	}{{18, []int{3}}, {17, []int{0, 2}}} {
		found := corners(notched(k.last))
		var alike []int
		for _, c := range found {
			alike = append(alike, c.alike)
		}
		if !slices.Equal(alike, k.alike) {
			t.Errorf("last at %v: kinds with %v others alike, want %v", k.last, alike, k.alike)
		}
	}
	c := canvas.Canvas{Page: &draw.Page{Width: 210, Height: 297}}
	b := notched(18)
	drawCorner(unit.Metric, c, canvas.Box{X: 20, Y: 40, W: 60, H: cornerHeight}, b, corners(b)[0])
	words := look.Said([]*draw.Page{c.Page})
	for _, want := range []string{"corner, scale 2:1; 4 alike", "20.0", "22.0", "24.0", "18.0"} {
		if !strings.Contains(words, want) {
			t.Errorf("the corner does not say %q: %q", want, words)
		}
	}
	for _, fault := range look.Crowded(c.Page) {
		t.Error(fault)
	}
	if plain := fixture.Bracket().Blank; len(corners(plain)) != 0 {
		t.Errorf("a rectangle has %d small corners", len(corners(plain)))
	}
}

// A stretch is cut at the edges of a box.
func TestClipped(t *testing.T) {
	b := canvas.Box{X: 0, Y: 0, W: 10, H: 10}
	cases := []struct {
		p, q, from, to draw.Point
		in             bool
	}{
		{draw.Point{X: -5, Y: 5}, draw.Point{X: 15, Y: 5}, draw.Point{X: 0, Y: 5}, draw.Point{X: 10, Y: 5}, true},
		{draw.Point{X: 2, Y: 2}, draw.Point{X: 4, Y: 4}, draw.Point{X: 2, Y: 2}, draw.Point{X: 4, Y: 4}, true},
		{draw.Point{X: -5, Y: 11}, draw.Point{X: 15, Y: 11}, draw.Point{}, draw.Point{}, false},
		{draw.Point{X: -4, Y: 8}, draw.Point{X: 4, Y: 16}, draw.Point{}, draw.Point{}, false},
	}
	for _, k := range cases {
		from, to, in := clipped(k.p, k.q, b)
		if in != k.in || in && (canvas.Distance(from, k.from) > 1e-9 || canvas.Distance(to, k.to) > 1e-9) {
			t.Errorf("clipped(%v, %v) = %v, %v, %v, want %v, %v, %v", k.p, k.q, from, to, in, k.from, k.to, k.in)
		}
	}
}
