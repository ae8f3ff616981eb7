package view

import (
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// Folding draws the frames of a part into boxes of one size, all to one scale, so that
// one takes the place of the other.
func Folding(frames []traveler.Frame, width, height float64) (out []*draw.Page) {
	all := &traveler.Picture{}
	for _, f := range frames {
		all.Strokes = append(all.Strokes, f.Picture.Strokes...)
	}
	around := Fitted(all, width, height)
	for _, f := range frames {
		s := around
		s.picture = f.Picture
		page := &draw.Page{Title: "The part as it is folded", Width: width, Height: height}
		page.Add(s.Marks()...)
		out = append(out, page)
	}
	return out
}
