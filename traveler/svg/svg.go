// Package svg writes a page as an SVG drawing.
//
// The drawing can stand in a file of its own or inside an HTML page. Looks are
// given as presentation attributes, never as a style attribute or a style
// sheet, so that a page with a strict content security policy shows and prints
// it; the class names let a page add to them. All marks are black on white.
package svg

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"

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

// drawing is the text of an SVG under way.
type drawing struct{ text bytes.Buffer }

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

// put writes one attribute.
func (d *drawing) put(name, value string) {
	d.text.WriteString(" " + name + `="` + escape(value) + `"`)
}

// element writes an element that holds only words.
func (d *drawing) element(name, words string) {
	d.text.WriteString("<" + name + ">" + escape(words) + "</" + name + ">")
}

// escapes makes words harmless in XML and in HTML, inside quotes and out.
var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escape also puts a visible sign for what XML 1.0 (section 2.2, Char) does not
// allow in any form.
func escape(words string) string {
	return escapes.Replace(strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r < ' ' || r == 0xFFFE || r == 0xFFFF:
			return '\uFFFD'
		}
		return r
	}, words))
}

// number prints millimetres to a whole micrometre, as short as can be.
func number(v float64) string { return decimal(v, 3) }

func decimal(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
