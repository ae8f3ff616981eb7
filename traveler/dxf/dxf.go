// Package dxf writes the blank as a drawing that cutting machines read, and
// reads drawings of blanks: DXF in the R12 form (AC1009), as text.
//
// One unit of the drawing is one millimetre of the page, y runs up and the
// origin is the lower left corner of the page. Only what is cut, bent or marked
// is written, each on a layer of its own; words, dimensions and the frame stay
// on paper. Group codes follow the DXF Reference of release 12 (from memory).
package dxf

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"brakeside/traveler/draw"
)

// Write writes the drawing whole, or returns an error and writes nothing. It
// refuses a page that fails draw.Page.Check, which is a mistake of the program.
// Fills and arrow heads are left out.
func Write(w io.Writer, page *draw.Page) error {
	if err := page.Check(); err != nil {
		return fmt.Errorf("dxf: %w", err)
	}
	d := &drawing{height: page.Height}
	d.header(page)
	d.tables()
	d.section("ENTITIES")
	for _, m := range page.Marks {
		d.mark(m)
	}
	d.put(0, "ENDSEC")
	d.put(0, "EOF")
	_, err := w.Write(d.text.Bytes())
	return err
}

// header names the form and the extent. Release 12 has no word for the unit or for
// what is drawn, so comments (group 999) tell people.
func (d *drawing) header(page *draw.Page) {
	d.put(999, "Lengths are millimetres.")
	if page.Description != "" {
		d.put(999, page.Description)
	}
	d.section("HEADER")
	d.put(9, "$ACADVER")
	d.put(1, "AC1009")
	for _, corner := range []struct {
		name string
		at   draw.Point
	}{
		{"$EXTMIN", draw.Point{X: 0, Y: page.Height}},
		{"$EXTMAX", draw.Point{X: page.Width, Y: 0}},
	} {
		d.put(9, corner.name)
		d.point(10, corner.at)
	}
	d.put(0, "ENDSEC")
}

func (d *drawing) section(name string) {
	d.put(0, "SECTION")
	d.put(2, name)
}

// tables lists the line types and the layers.
func (d *drawing) tables() {
	d.section("TABLES")
	d.table("LTYPE", len(lineTypes))
	for _, t := range lineTypes {
		d.lineType(t)
	}
	d.put(0, "ENDTAB")
	d.table("LAYER", len(layers))
	for _, l := range layers {
		d.put(0, "LAYER")
		d.put(2, l.name)
		d.put(70, "0")
		d.put(62, strconv.Itoa(l.colour))
		d.put(6, l.lineType)
	}
	d.put(0, "ENDTAB")
	d.put(0, "ENDSEC")
}

func (d *drawing) table(name string, entries int) {
	d.put(0, "TABLE")
	d.put(2, name)
	d.put(70, strconv.Itoa(entries))
}

// lineType writes one line type: its whole length and then its parts, gaps
// below 0.
func (d *drawing) lineType(t lineType) {
	d.put(0, "LTYPE")
	d.put(2, t.name)
	d.put(70, "0")
	d.put(3, t.words)
	d.put(72, "65")
	d.put(73, strconv.Itoa(len(t.dashes)))
	whole := 0.0
	for _, length := range t.dashes {
		whole += math.Abs(length)
	}
	d.number(40, whole)
	for _, length := range t.dashes {
		d.number(49, length)
	}
}
