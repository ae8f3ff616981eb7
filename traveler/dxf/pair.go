package dxf

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"brakeside/traveler/draw"
)

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
