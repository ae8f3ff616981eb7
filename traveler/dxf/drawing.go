package dxf

import (
	"slices"
	"strings"

	"brakeside/calc/geom"
)

// mostPoints is how many corners are read of a drawing; a blank has a few
// thousand.
const mostPoints = 200_000

// ChordError is how far the chords that stand for an arc may lie inside it, in
// millimetres.
const ChordError = 0.01

// Drawing is what was read of a file, in millimetres, with what stands in blocks
// put where it was inserted.
type Drawing struct {
	Units  Units
	Shapes []Shape
	Aside  []Shape  // what cuts nothing, such as writing; Unread says why it was left out
	Named  []string // layers that the file lists, with something on them or not
}

// Units is how the file gives its lengths.
type Units string

// The units: a file of release 12 names none, and the caller must know.
const (
	NoUnits     Units = ""
	Millimetres Units = "mm"
	Inches      Units = "in"
	Centimetres Units = "cm" // only in the header of a file
	Metres      Units = "m"
)

// doubtful is the size below which a drawing that names no unit may be one in
// inches: the larger side of most blanks is over 60 mm, and under 60 inches
// (common practice, no source).
const doubtful = 60

// Doubtful reports whether a drawing that names no unit, and was read in none, is
// so small that it may be in inches.
func (d *Drawing) Doubtful() bool {
	if d.Units != NoUnits || len(d.Shapes) == 0 {
		return false
	}
	low, high := d.bounds()
	return max(high.X-low.X, high.Y-low.Y) < doubtful
}

// Size gives the width and the height of all that can be read.
func (d *Drawing) Size() (wide, high float64) {
	low, top := d.bounds()
	return top.X - low.X, top.Y - low.Y
}

func (d *Drawing) bounds() (low, high geom.Point2) {
	var all []geom.Point2
	for _, s := range d.Shapes {
		if s.Unread == "" {
			all = append(all, s.Points...)
		}
	}
	return geom.Bounds(all...)
}

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

// Knows reports whether the file lists a layer, or has something on it.
func (d *Drawing) Knows(layer string) bool {
	same := func(name string) bool { return strings.EqualFold(name, layer) }
	return slices.ContainsFunc(d.Named, same) || slices.ContainsFunc(d.Layers(), same)
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
