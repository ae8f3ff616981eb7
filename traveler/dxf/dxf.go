// Package dxf writes the blank as a drawing that cutting machines read, and
// reads drawings of blanks: DXF in the R12 form (AC1009), as text.
//
// One unit of the drawing is one millimetre of the page, y runs up and the
// origin is the lower left corner of the page. Only what is cut, bent or marked
// is written, each on a layer of its own; words, dimensions and the frame stay
// on paper. Group codes follow the DXF Reference of release 12 (from memory).
package dxf

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"brakeside/traveler/draw"
)

// The layers of the drawing.
const (
	Cut      = "CUT"       // outline and holes: what is cut through
	BendUp   = "BEND_UP"   // bend lines folded towards the viewer
	BendDown = "BEND_DOWN" // bend lines folded away from the viewer
	Marks    = "MARKS"     // ticks and nose lines: marked, never cut through
)

// layers lists all layers in the order of the table, with the colour number
// and line type of each. The colours only tell layers apart on a screen.
var layers = []struct {
	name, lineType string
	colour         int
}{
	{"0", "CONTINUOUS", 7}, // every drawing has it
	{Cut, "CONTINUOUS", 7},
	{BendUp, "DASHDOT", 3},
	{BendDown, "DASHED", 5},
	{Marks, "CONTINUOUS", 1},
}

// layerOf says on which layer a pen draws; pens that are not listed are left
// out.
var layerOf = map[draw.Pen]string{
	draw.Outline:  Cut,
	draw.BendUp:   BendUp,
	draw.BendDown: BendDown,
	draw.CutMark:  Marks,
	draw.NoseLine: Marks,
}

// lineType is a row of dashes and, below 0, gaps in millimetres.
type lineType struct {
	name, words string
	dashes      []float64
}

// lineTypes lists all line types in the order of the table.
var lineTypes = []lineType{
	{"CONTINUOUS", "solid", nil},
	{"DASHED", "dashes", []float64{8, -1.5}},
	{"DASHDOT", "dashes and dots", []float64{8, -1.5, 0, -1.5}},
}

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

// drawing is the text of a DXF under way.
type drawing struct {
	text   bytes.Buffer
	height float64 // of the page, to turn y round
}

// put writes one pair of group code and value.
func (d *drawing) put(code int, value string) {
	fmt.Fprintf(&d.text, "%3d\r\n%s\r\n", code, value)
}

func (d *drawing) number(code int, value float64) { d.put(code, decimal(value)) }

// decimal prints a length or an angle to a billionth, as short as can be but
// always with a point.
func decimal(v float64) string {
	s := strconv.FormatFloat(v, 'f', 9, 64)
	s = strings.TrimRight(s, "0")
	if strings.HasSuffix(s, ".") {
		s += "0"
	}
	if s == "-0.0" {
		return "0.0"
	}
	return s
}

// point writes a place on the page, with the group codes of its x, y and z
// counted up by tens from code.
func (d *drawing) point(code int, at draw.Point) {
	d.number(code, at.X)
	d.number(code+10, d.height-at.Y)
	d.number(code+20, 0)
}

// header names the form and the extent. Release 12 has no word for the unit,
// so a comment (group 999) tells people.
func (d *drawing) header(page *draw.Page) {
	d.put(999, "Lengths are millimetres.")
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
