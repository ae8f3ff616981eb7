package page

import (
	"fmt"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// The margins of every page, in millimetres. The clip of the board covers the
// top; most printers reach to 5 mm from the other edges.
const (
	clipMargin   = 20.0
	sideMargin   = 10.0
	bottomMargin = 6.0
	footHeight   = 9.2
	gap          = 1.5 // between two blocks
)

// papers are the sizes a sheet is printed on, in millimetres.
var papers = map[string]struct{ width, height float64 }{
	"a4":     {210, 297},     // ISO 216
	"letter": {215.9, 279.4}, // 8.5 x 11 inches
}

// Set is a traveler on its way to paper, with the pages made so far.
type Set struct {
	*traveler.Traveler
	Codes  Codes      // none where the zero value is left
	lean   bool       // the strips of further pages are low
	paper  canvas.Box // the whole page
	canvas []canvas.Canvas
}

// New is a traveler without pages yet. It fails on a paper that is neither
// a4 nor letter.
func New(t *traveler.Traveler) (*Set, error) {
	size, ok := papers[t.Paper]
	if !ok {
		return nil, fmt.Errorf("there is no paper %q, only a4 and letter", t.Paper)
	}
	return &Set{Traveler: t, paper: canvas.Box{X: 0, Y: 0, W: size.width, H: size.height}}, nil
}

// Body is what the blocks of a page may fill.
func (s *Set) Body() canvas.Box {
	height := s.paper.H - clipMargin - bottomMargin - footHeight
	return canvas.Box{X: sideMargin, Y: clipMargin, W: s.paper.W - 2*sideMargin, H: height}
}

// Begin begins a page that says nothing yet.
func (s *Set) Begin() canvas.Canvas {
	c := canvas.Canvas{Page: &draw.Page{Width: s.paper.W, Height: s.paper.H}}
	s.canvas = append(s.canvas, c)
	return c
}
