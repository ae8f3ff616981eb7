package dxf

import (
	"strings"

	"brakeside/calc/geom"
)

// mostPoints is how many corners are read of a drawing; a blank has a few
// thousand.
const mostPoints = 200_000

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
