package dxf

import (
	"bytes"
	"strconv"

	"brakeside/calc/fault"
	"brakeside/calc/unit"
)

// MaxBytes is the size of a file that is read, at the most.
const MaxBytes = 16 << 20

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
