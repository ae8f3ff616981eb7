package shelf

import (
	"net/http"

	"brakeside/server/web"
	"brakeside/templates"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/svg"
	"brakeside/traveler/view"
)

// The size of the frames of a part that is folded, in their own tenths of a millimetre.
const (
	foldWidth  = 1000
	foldHeight = 700
)

type foldView struct {
	Width, Height, Steps int
	Frames               []frameView
}

// frameView is one frame: the outlines of the metal that lies still and of what swings.
type frameView struct {
	Step         int
	Bend         string // that is made; empty for the flat blank and between
	Whole        bool
	Metal, Swing string
}

// SendFolding sends the frames of a part that is folded, as the piece of a page that a
// script puts in place of the finished part.
func SendFolding(w http.ResponseWriter, s *web.Site, t *traveler.Traveler, frames []traveler.Frame) error {
	shown := foldView{Width: foldWidth, Height: foldHeight, Steps: len(t.Steps)}
	for i, page := range view.Folding(frames, foldWidth/10, foldHeight/10) {
		f := frameView{Step: frames[i].Step, Whole: frames[i].Whole}
		if f.Step > 0 {
			f.Bend = t.Steps[f.Step-1].BendWord()
		}
		for _, mark := range page.Marks {
			switch strokes := mark.(draw.Strokes); strokes.Pen {
			case draw.Heavy:
				f.Swing = svg.Outline(strokes)
			default:
				f.Metal = svg.Outline(strokes)
			}
		}
		shown.Frames = append(shown.Frames, f)
	}
	return s.ShowBlock(w, templates.Block{Page: "operator/bend", Name: "fold-frames"}, shown)
}
