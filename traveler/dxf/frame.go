package dxf

import (
	"math"

	"brakeside/calc/geom"
)

// frame says where the figures of a file lie in the drawing, in millimetres.
type frame struct {
	x, y, at geom.Point2 // where one unit along x and along y goes, and the origin
	layer    string      // of what stands in a block on layer 0; empty outside of blocks
	depth    int         // blocks within blocks
}

func (f frame) place(p geom.Point2) geom.Point2 {
	return f.x.Times(p.X).Add(f.y.Times(p.Y)).Add(f.at)
}

func (f frame) places(points []geom.Point2) []geom.Point2 {
	out := make([]geom.Point2, len(points))
	for i, p := range points {
		out[i] = f.place(p)
	}
	return out
}

// stretch is a bound on how much longer a length becomes.
func (f frame) stretch() float64 { return math.Hypot(f.x.Length(), f.y.Length()) }

// even reports whether circles stay circles, and gives how much larger they become.
func (f frame) even() (scale float64, even bool) {
	x, y := f.x.Length(), f.y.Length()
	return x, math.Abs(x-y) <= 1e-9*x && math.Abs(f.x.Dot(f.y)) <= 1e-9*x*y
}

// facing is the frame of an entity that is drawn in a plane of its own: seen from
// above or, mirrored, from below (the arbitrary axis algorithm of the DXF
// Reference, from memory). False for a plane that leans.
func (f frame) facing(normal float64) (frame, bool) {
	switch {
	case normal > 0.999999:
		return f, true
	case normal < -0.999999:
		f.x = f.x.Times(-1)
		return f, true
	}
	return f, false
}

// layerOf is the layer of an entity: on layer 0 in a block it is that of the
// insertion.
func (f frame) layerOf(g tags) string {
	layer := g.text(8)
	if f.layer != "" && (layer == "0" || layer == "") {
		return f.layer
	}
	return layer
}

// inserted is the frame of a block that is stretched, turned (in radians) and moved
// so that its base lies at a place.
func (f frame) inserted(at geom.Point2, turn, wide, high float64, base geom.Point2) frame {
	x, y := geom.Point2{X: wide}.Turned(turn), geom.Point2{Y: high}.Turned(turn)
	straight := func(p geom.Point2) geom.Point2 { return f.x.Times(p.X).Add(f.y.Times(p.Y)) }
	out := frame{x: straight(x), y: straight(y), layer: f.layer, depth: f.depth}
	out.at = f.place(at.Sub(x.Times(base.X)).Sub(y.Times(base.Y)))
	return out
}

func (f frame) on(layer string) frame {
	f.layer = layer
	return f
}
