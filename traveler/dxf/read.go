package dxf

import (
	"bytes"
	"math"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// What is read of a drawing at the most; a blank has a few thousand corners.
const (
	MaxBytes   = 16 << 20
	mostPoints = 200_000
)

// ChordError is how far the chords that stand for an arc may lie inside it, in
// millimetres.
const ChordError = 0.01

// Drawing is what was read of a file, in millimetres.
type Drawing struct {
	Units  Units
	Shapes []Shape
}

// Units is how the file gives its lengths.
type Units string

// The units: a file of release 12 names none, and the caller must know.
const (
	NoUnits     Units = ""
	Millimetres Units = "mm"
	Inches      Units = "in"
)

// Shape is one entity.
type Shape struct {
	Kind   string // LINE, ARC and so on, as the file calls it
	Layer  string
	Row    int // of the file, where it begins
	Points []geom.Point2
	Closed bool
	Centre geom.Point2 // of a circle
	Radius float64     // 0 for what is no circle
	// Unread says why the shape cannot be used, in words; Points then holds the
	// place it is at, if it has one.
	Unread string
}

// Read reads a drawing in the text form of DXF: lines, polylines old and new,
// arcs and circles of its entities section. Arcs become chords, see ChordError.
// Lengths are taken in the unit that the file names, else in the one given, else
// in millimetres. What cannot be used is listed as such and is no reason to
// refuse the file: it may lie on a layer that nobody asks for. What is not DXF
// is refused as fault.Invalid with the row.
func Read(data []byte, given Units) (*Drawing, error) {
	if len(data) > MaxBytes {
		return nil, fault.New(fault.TooLarge, "", "the drawing has %d bytes, more than the %d that are read", len(data), MaxBytes)
	}
	if bytes.HasPrefix(data, []byte("AutoCAD Binary DXF")) {
		return nil, fault.New(fault.Invalid, "", "the drawing is in the binary form; save it as text (ASCII), release 12")
	}
	r := &reader{scan: scan{rest: data}, drawing: &Drawing{}, scale: 1}
	r.file(given)
	if r.err != nil {
		return nil, r.err
	}
	return r.drawing, nil
}

// Layers lists the layers that have shapes, in the order of the file.
func (d *Drawing) Layers() []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range d.Shapes {
		if key := strings.ToUpper(s.Layer); !seen[key] {
			seen[key] = true
			out = append(out, s.Layer)
		}
	}
	return out
}

// On lists the shapes of a layer; capitals do not matter.
func (d *Drawing) On(layer string) []Shape {
	var out []Shape
	for _, s := range d.Shapes {
		if strings.EqualFold(s.Layer, layer) {
			out = append(out, s)
		}
	}
	return out
}

// tag is one group code and its value.
type tag struct {
	code  int
	value string
	row   int // of the code
}

// scan cuts a file into pairs.
type scan struct {
	rest []byte
	row  int
	next *tag // looked at and not yet taken
	err  error
}

// line gives the next line of the file.
func (s *scan) line() (string, bool) {
	if len(s.rest) == 0 {
		return "", false
	}
	text, rest, _ := bytes.Cut(s.rest, []byte("\n"))
	s.rest, s.row = rest, s.row+1
	return strings.ToValidUTF8(strings.TrimSpace(string(text)), "?"), true
}

// peek gives the next tag without taking it; false at the end.
func (s *scan) peek() (tag, bool) {
	if s.next != nil {
		return *s.next, true
	}
	for s.err == nil {
		code, ok := s.line()
		if !ok || code == "" && len(bytes.TrimSpace(s.rest)) == 0 {
			return tag{}, false
		}
		row := s.row
		number, err := strconv.Atoi(code)
		if err != nil {
			s.err = &fault.Refusal{Kind: fault.Invalid, Message: "a group code, a whole number, was expected; this is no DXF drawing in text form", Line: row, Column: 1}
			return tag{}, false
		}
		value, ok := s.line()
		if !ok {
			s.err = &fault.Refusal{Kind: fault.Invalid, Message: "the drawing ends in the middle of a pair; it was cut off", Line: row, Column: 1}
			return tag{}, false
		}
		if number != 999 { // a comment
			s.next = &tag{number, value, row}
			return *s.next, true
		}
	}
	return tag{}, false
}

func (s *scan) take() (tag, bool) {
	p, ok := s.peek()
	s.next = nil
	return p, ok
}

// reader makes shapes of pairs.
type reader struct {
	scan
	drawing *Drawing
	scale   float64 // millimetres in one unit of the file
	points  int
}

// file walks the sections.
func (r *reader) file(given Units) {
	sections := 0
	for {
		p, ok := r.take()
		if !ok || p.code == 0 && p.value == "EOF" {
			break
		}
		if p.code != 0 || p.value != "SECTION" {
			continue
		}
		name, _ := r.take()
		sections++
		switch name.value {
		case "HEADER":
			r.header()
		case "ENTITIES":
			r.measure(given)
			r.entities()
		}
	}
	if r.err == nil && sections == 0 {
		r.err = fault.New(fault.Invalid, "", "there is no section in it; this is no DXF drawing in text form")
	}
}

// insUnits are the values of $INSUNITS that a shop's drawings have (from
// memory); 0 means that none is named.
var insUnits = map[string]Units{"0": NoUnits, "1": Inches, "4": Millimetres}

// header looks for the unit.
func (r *reader) header() {
	for {
		p, ok := r.peek()
		if !ok || p.code == 0 {
			return
		}
		r.take()
		if p.code != 9 || p.value != "$INSUNITS" {
			continue
		}
		value, _ := r.take()
		units, known := insUnits[value.value]
		if !known && r.err == nil {
			r.err = &fault.Refusal{Kind: fault.Invalid, Field: "$INSUNITS", Line: value.row + 1, Column: 1,
				Message: "the drawing is in unit " + strconv.Quote(value.value) + "; save it in millimetres (4) or inches (1)"}
		}
		r.drawing.Units = units
	}
}

// measure settles the unit before the first entity.
func (r *reader) measure(given Units) {
	if r.drawing.Units == NoUnits {
		r.drawing.Units = given
	}
	if r.drawing.Units == Inches {
		r.scale = float64(unit.PerInch)
	}
}

// entities reads up to the end of the section.
func (r *reader) entities() {
	for r.err == nil {
		p, ok := r.peek()
		if !ok || p.code == 0 && (p.value == "ENDSEC" || p.value == "EOF") {
			return
		}
		r.take()
		if p.code == 0 {
			r.entity(p)
		}
	}
}

// tags are the values of one entity, in the order of the file.
type tags []tag

// group reads the pairs up to the next entity.
func (r *reader) group() tags {
	var out tags
	for {
		p, ok := r.peek()
		if !ok || p.code == 0 {
			return out
		}
		r.take()
		out = append(out, p)
	}
}

// text gives the first value of a code.
func (g tags) text(code int) string {
	for _, p := range g {
		if p.code == code {
			return p.value
		}
	}
	return ""
}

// number gives the first value of a code as a number, 0 when there is none.
func (r *reader) number(g tags, code int) float64 {
	for _, p := range g {
		if p.code == code {
			return r.parse(p)
		}
	}
	return 0
}

// farthest is how far from the origin a drawing may lie, in its own units.
const farthest = 1e7

func (r *reader) parse(p tag) float64 {
	v, err := strconv.ParseFloat(p.value, 64)
	if (err != nil || math.IsNaN(v) || math.Abs(v) > farthest) && r.err == nil {
		r.err = &fault.Refusal{Kind: fault.Invalid, Message: strconv.Quote(p.value) + " is no number that a drawing of a blank can hold", Line: p.row + 1, Column: 1}
	}
	return v
}

// flag reports whether a bit of the flags, code 70, is set.
func (g tags) flag(bit int) bool {
	flags, _ := strconv.Atoi(g.text(70))
	return flags&bit != 0
}

// point gives a place, in millimetres, of the codes of its x and y.
func (r *reader) point(g tags, code int) geom.Point2 {
	return geom.Point2{X: r.number(g, code), Y: r.number(g, code+10)}.Times(r.scale)
}
