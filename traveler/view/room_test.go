package view

import (
	"testing"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// A place is clear where nothing is drawn and nothing is written, and all of it lies in
// the picture.
func TestRoomIsClear(t *testing.T) {
	r := roomIn(40, 20, [][2]draw.Point{{{X: 0, Y: 10}, {X: 40, Y: 10}}})
	r.taken = []canvas.Box{{X: 30, Y: 0, W: 10, H: 5}}
	cases := []struct {
		name string
		b    canvas.Box
		want bool
	}{
		{"free", canvas.Box{X: 2, Y: 2, W: 10, H: 4}, true},
		{"on the line", canvas.Box{X: 2, Y: 8, W: 10, H: 4}, false},
		{"on words", canvas.Box{X: 28, Y: 2, W: 10, H: 2}, false},
		{"past the edge", canvas.Box{X: 35, Y: 14, W: 10, H: 2}, false},
	}
	for _, k := range cases {
		if got := r.clear(k.b); got != k.want {
			t.Errorf("%s: clear() = %v, want %v", k.name, got, k.want)
		}
	}
}

// pictured is a picture of 100 x 40 mm with a flap 2 mm high along its lower edge, whose
// name has no room on it, and a face above it, whose name has.
func pictured(side string) *traveler.Picture {
	line := func(x1, y1, x2, y2 float64) traveler.Strokes {
		a, b := mm(x1, y1), mm(x2, y2)
		return traveler.Strokes{Kind: traveler.StrokeMetal, Lines: [][4]unit.Micron{{a.X, a.Y, b.X, b.Y}}}
	}
	return &traveler.Picture{
		Strokes: []traveler.Strokes{line(0, 0, 100, 0), line(0, 2, 100, 2), line(0, 40, 100, 40), line(0, 0, 0, 40), line(100, 0, 100, 40)},
		Spots: []traveler.Spot{
			{What: traveler.SpotFace, Name: "flap", At: mm(50, 1), Room: 1_000, Seen: true, Side: side},
			{What: traveler.SpotFace, Name: "base", At: mm(50, 20), Room: 18_000, Seen: true},
			{What: traveler.SpotFace, Name: "hidden"},
		},
	}
}

// A name has its place on its face, or stands beside it with a leader that ends there; no
// name lies over a line.
func TestNamesStandClear(t *testing.T) {
	s := Fitted(pictured("front"), 60, 40)
	marks := s.Names(3, 40, "flap")
	words, leaders := map[string]draw.Text{}, 0
	for _, m := range marks {
		switch m := m.(type) {
		case draw.Text:
			words[m.Words] = m
		case draw.Arc:
			leaders++
			if at := s.At(mm(50, 1)); canvas.Distance(at, draw.Point{X: m.X, Y: m.Y}) > 0.01 {
				t.Errorf("the leader ends at %.1f, %.1f, want %v", m.X, m.Y, at)
			}
		}
	}
	if len(words) != 2 || leaders != 1 {
		t.Fatalf("%d names and %d leaders, want flap and base and one leader", len(words), leaders)
	}
	for _, text := range words {
		b := around(draw.Point{X: text.X, Y: text.Y - 0.35*text.Size}, text.Words, text.Size)
		if !roomIn(60, 40, s.segments()).clear(b) {
			t.Errorf("%s lies over a line", text.Words)
		}
	}
}

// A box that its white edge fills, 0.8 on each side, shows nothing; a wider one does.
func TestFittedNeedsRoom(t *testing.T) {
	for _, c := range []struct {
		width, height float64
		shows         bool
	}{{1.5, 40, false}, {1.7, 40, true}, {40, 1.5, false}, {40, 1.7, true}} {
		if s := Fitted(pictured("front"), c.width, c.height); (s.picture != nil) != c.shows {
			t.Errorf("a box of %v x %v shows it: %v", c.width, c.height, !c.shows)
		}
	}
	if s := Fitted(nil, 40, 40); s.picture != nil {
		t.Error("a picture that is not there is shown")
	}
}
