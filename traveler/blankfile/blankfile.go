// Package blankfile writes the drawing of a blank as a file: for the screen, for
// paper, or plain for the cutter.
package blankfile

import (
	"fmt"
	"io"
	"time"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/dxf"
	"brakeside/traveler/layout"
	"brakeside/traveler/pdf"
	"brakeside/traveler/svg"
)

// Kind is a form of the file, by the ending of its name.
type Kind string

// The kinds.
const (
	SVG Kind = "svg"
	PDF Kind = "pdf"
	DXF Kind = "dxf" // of release 12, as text
)

// mediaTypes names the kinds as they are sent: RFC 7303 and IANA's register of
// media types.
var mediaTypes = map[Kind]string{SVG: "image/svg+xml", PDF: "application/pdf", DXF: "image/vnd.dxf"}

// MediaType is the name under which a file of the kind is sent, empty for a kind
// that there is not.
func (k Kind) MediaType() string { return mediaTypes[k] }

// Drawing is a blank to be drawn.
type Drawing struct {
	Blank  traveler.Blank
	Part   traveler.Part
	System unit.System // of the shop: whether the bar to measure is 100 mm or 4 inches
	Ticks  unit.Micron // length of the marks at the ends of bend lines in a DXF, 0 for none
}

// Write writes the drawing. A PDF is dated so that equal drawings are equal files.
// A kind that there is not is a mistake of the program.
func (d Drawing) Write(w io.Writer, kind Kind) error {
	switch kind {
	case SVG:
		return svg.Write(w, d.page())
	case PDF:
		page := d.page()
		return pdf.Write(w, pdf.Document{Title: page.Title, Created: time.Unix(0, 0), Pages: []*draw.Page{page}})
	case DXF:
		return dxf.Write(w, layout.Ticked(d.Blank, d.Ticks))
	}
	return fmt.Errorf("a blank is not drawn as %q", kind)
}

func (d Drawing) page() *draw.Page { return layout.Dimensioned(d.Blank, d.Part, d.System) }
