package dxf

import (
	"fmt"
	"strings"

	cut "brakeside/calc/drawing"
	"brakeside/calc/fault"
	"brakeside/calc/part"
)

// Sorted is a drawing of a blank, with what its layers mean.
type Sorted struct {
	Drawing  *Drawing
	Outline  []string // layers of the outline and the openings
	Up, Down []string // layers of the bend lines
	Angles   cut.Angles
}

// Into gives a part the shape of the drawing. It refuses with fault.Missing a
// layer that the drawing does not know, and with fault.Invalid what cannot be
// folded, with the place.
func (s Sorted) Into(p part.Part) (part.Part, cut.Read, error) {
	var sketch cut.Sketch
	for _, kind := range []struct {
		layers []string
		into   *[]cut.Stroke
	}{{s.Outline, &sketch.Edges}, {s.Up, &sketch.Up}, {s.Down, &sketch.Down}} {
		for _, layer := range kind.layers {
			strokes, err := s.strokes(layer)
			if err != nil {
				return p, cut.Read{}, err
			}
			*kind.into = append(*kind.into, strokes...)
		}
	}
	read, err := sketch.Flat(s.Angles)
	p.Flat, p.Holes, p.Cutouts = read.Flat, read.Holes, read.Cutouts
	return p, read, err
}

// strokes takes the lines of a layer; one that cannot be read is refused here,
// where it is asked for.
func (s Sorted) strokes(layer string) ([]cut.Stroke, error) {
	shapes := s.Drawing.On(layer)
	if len(shapes) == 0 && !s.Drawing.Knows(layer) {
		layers := strings.Join(s.Drawing.Layers(), ", ")
		return nil, fault.New(fault.Missing, "", "there is nothing on the layer %q; the layers are %s", layer, layers)
	}
	var out []cut.Stroke
	for _, shape := range shapes {
		if shape.Unread != "" {
			at := ""
			if len(shape.Points) > 0 {
				at = fmt.Sprintf(" at (%.2f, %.2f)", shape.Points[0].X, shape.Points[0].Y)
			}
			why := shape.Kind + at + " on the layer " + shape.Layer + " " + shape.Unread
			return nil, &fault.Refusal{Kind: fault.Invalid, Message: why, Line: shape.Row, Column: 1}
		}
		out = append(out, cut.Stroke{Points: shape.Points, Closed: shape.Closed, Centre: shape.Centre, Radius: shape.Radius})
	}
	return out, nil
}
