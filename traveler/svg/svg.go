// Package svg writes a page as an SVG drawing.
//
// The drawing can stand in a file of its own or inside an HTML page. Looks are
// given as presentation attributes, never as a style attribute or a style
// sheet, so that a page with a strict content security policy shows and prints
// it; the class names let a page add to them. All marks are black on white.
package svg

import (
	"fmt"
	"io"

	"brakeside/traveler/draw"
)

// Write writes the drawing whole, or returns an error and writes nothing. It
// refuses a page that fails draw.Page.Check, which is a mistake of the program.
// One unit of the drawing is a millimetre.
func Write(w io.Writer, page *draw.Page) error {
	if err := page.Check(); err != nil {
		return fmt.Errorf("svg: %w", err)
	}
	d := &drawing{}
	d.open(page)
	for i, m := range page.Marks {
		if err := d.mark(m); err != nil {
			return fmt.Errorf("svg: page %q, mark %d: %w", page.Title, i, err)
		}
	}
	d.text.WriteString("</svg>\n")
	_, err := w.Write(d.text.Bytes())
	return err
}

func (d *drawing) open(page *draw.Page) {
	width, height := number(page.Width), number(page.Height)
	d.text.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" role="img" class="drawing"`)
	d.put("width", width+"mm")
	d.put("height", height+"mm")
	d.put("viewBox", "0 0 "+width+" "+height)
	d.text.WriteString(` fill="none" stroke-linecap="round" stroke-linejoin="round">` + "\n")
	d.element("title", page.Title)
	d.text.WriteString("\n")
	if page.Description != "" {
		d.element("desc", page.Description)
		d.text.WriteString("\n")
	}
	d.text.WriteString(`<rect class="paper" fill="#fff"`) // also where the page around is dark
	d.put("width", width)
	d.put("height", height)
	d.text.WriteString("/>\n")
}

func (d *drawing) mark(m draw.Mark) error {
	switch m := m.(type) {
	case draw.Line:
		d.line(m)
	case draw.Strokes:
		d.strokes(m)
	case draw.Path:
		d.path(m)
	case draw.Arc:
		d.arc(m)
	case draw.Text:
		d.words(m)
	case draw.Cells:
		d.cells(m)
	case draw.Link:
		d.link(m)
	case draw.Bookmark: // a drawing has no outline
	default:
		return fmt.Errorf("there is no mark of the kind %T", m)
	}
	return nil
}
