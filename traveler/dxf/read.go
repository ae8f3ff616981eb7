package dxf

import (
	"bytes"
	"strconv"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// MaxBytes is the size of a file that is read, at the most.
const MaxBytes = 16 << 20

// Read reads a drawing in the text form of DXF: lines, polylines old and new,
// arcs, circles, ellipses and splines, in its entities section or in blocks that
// are inserted there. Curves become chords, see ChordError. Lengths are taken in
// the unit that the file names, else in the one given, else in millimetres. What
// cannot be used is listed as such and is no reason to refuse the file: it may lie
// on a layer that nobody asks for. What is not DXF is refused as fault.Invalid with
// the row, and what is too large, or winds its blocks into each other, as
// fault.TooLarge.
func Read(data []byte, given Units) (*Drawing, error) {
	if len(data) > MaxBytes {
		return nil, fault.New(fault.TooLarge, "", "the drawing has %d bytes, more than the %d that are read", len(data), MaxBytes)
	}
	if bytes.HasPrefix(data, []byte("AutoCAD Binary DXF")) {
		return nil, fault.New(fault.Invalid, "", "the drawing is in the binary form; save it as text (ASCII), release 12")
	}
	r := &reader{scan: scan{rest: data}, drawing: &Drawing{}, blocks: map[string]block{}}
	drawn := r.file()
	r.place(drawn, r.measured(given))
	if r.err != nil {
		return nil, r.err
	}
	return r.drawing, nil
}

// file walks the sections and gives what is drawn, before it is placed.
func (r *reader) file() (drawn []entityTags) {
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
		case "TABLES":
			r.tables()
		case "BLOCKS":
			r.readBlocks()
		case "ENTITIES":
			drawn = append(drawn, r.entities("ENDSEC")...)
		}
	}
	if r.err == nil && sections == 0 {
		r.err = fault.New(fault.Invalid, "", "there is no section in it; this is no DXF drawing in text form")
	}
	return drawn
}

// insUnits are the values of $INSUNITS that a shop's drawings have (from
// memory); 0 means that none is named.
var insUnits = map[string]Units{"0": NoUnits, "1": Inches, "4": Millimetres, "5": Centimetres, "6": Metres}

// millimetresIn is how long one unit of a file is.
var millimetresIn = map[Units]float64{NoUnits: 1, Millimetres: 1, Inches: float64(unit.PerInch), Centimetres: 10, Metres: 1000}

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
				Message: "the drawing is in unit " + strconv.Quote(value.value) + "; save it in mm (4), cm (5), m (6) or inches (1)"}
		}
		r.drawing.Units = units
	}
}

// measured settles the unit and gives the frame of what is drawn.
func (r *reader) measured(given Units) frame {
	if r.drawing.Units == NoUnits {
		r.drawing.Units = given
	}
	scale := millimetresIn[r.drawing.Units]
	return frame{x: geom.Point2{X: scale}, y: geom.Point2{Y: scale}}
}

// tables lists the layers.
func (r *reader) tables() {
	for r.err == nil {
		p, ok := r.take()
		if !ok || p.code == 0 && p.value == "ENDSEC" {
			return
		}
		if p.code == 0 && p.value == "LAYER" {
			if name := r.group().text(2); name != "" {
				r.drawing.Named = append(r.drawing.Named, name)
			}
		}
	}
}

// The bits of code 70 of a block that lies in another file (from memory).
const outsideBits = 4 | 8

// readBlocks reads the section of blocks.
func (r *reader) readBlocks() {
	for r.err == nil {
		p, ok := r.take()
		if !ok || p.code == 0 && p.value == "ENDSEC" {
			return
		}
		if p.code != 0 || p.value != "BLOCK" {
			continue
		}
		g := r.group()
		b := block{base: r.point(g, 10), outside: g.flag(outsideBits), entities: r.entities("ENDBLK")}
		r.blocks[strings.ToUpper(g.text(2))] = b
	}
}
