package pdf

import (
	"github.com/jung-kurt/gofpdf"

	"brakeside/traveler/draw"
)

// writer is a document under way.
type writer struct {
	file  *gofpdf.Fpdf
	pen   draw.Pen  // the pen last set, which the library keeps from page to page
	lift  float64   // height of the last page, which the library measures bookmarks from
	level int       // deepest level the next bookmark may have
	path  operators // of the path under way
}

// paint ends what was added with an operator that strokes or fills it, and puts
// it on the page.
func (w *writer) paint(how string) {
	w.path.text = append(w.path.text, how...)
	w.file.RawWriteStr(string(w.path.text))
	w.path.text = w.path.text[:0]
}
