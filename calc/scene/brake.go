package scene

import (
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// window is what of the brake is shown: between which x, and how far back.
type window struct{ left, right, back float64 }

// How far the brake is shown beyond the part, in millimetres and as a share of its
// length; how deep bed and leaf are shown; how far the leaf is shown to reach
// towards the operator at least.
const (
	beyond      = 10.0
	beyondShare = 0.1
	slab        = 12.0
	apron       = 30.0
)

// windowOf is the window around a part and its fingers.
func windowOf(s *stage, step *process.Step) window {
	w := window{math.Inf(1), math.Inf(-1), 0}
	for _, p := range corners(s) {
		w.left, w.right, w.back = min(w.left, p.X), max(w.right, p.X), max(w.back, p.Y)
	}
	more := beyond + beyondShare*(w.right-w.left)
	w.left, w.right, w.back = w.left-more, w.right+more, w.back+more
	if step.Segments != nil {
		for _, t := range step.ToolsAt {
			w.left, w.right = min(w.left, float64(t.From)-beyond), max(w.right, float64(t.To)+beyond)
		}
	}
	return w
}

// brake adds bed, leaf and bar as far as the window goes. What goes on beyond it has
// no end there.
func (w window) brake(c *scene, p *process.Plan, s *process.Step, angle unit.Deg) {
	long := float64(p.Brake.UsableLength)
	for _, shape := range s.Before {
		switch shape.Role {
		case process.BedShape:
			top := shape.Outline.Clip(geom.Point2{Y: -slab}, geom.Point2{X: 1}).Clip(geom.Point2{X: w.back}, geom.Point2{Y: 1})
			w.prism(c, top, 0, long, Brake)
		case process.LeafShape:
			reach := apron + w.back/4
			top := shape.Outline.Clip(geom.Point2{Y: -slab}, geom.Point2{X: 1}).Clip(geom.Point2{X: -reach}, geom.Point2{Y: -1})
			for i := range top {
				top[i] = top[i].Turned(-angle.Rad())
			}
			w.prism(c, top, 0, long, Brake)
		case process.BarShape:
			for _, t := range s.ToolsAt {
				w.prism(c, shape.Outline, float64(t.From), float64(t.To), Tool)
			}
		}
	}
}

// prism adds a section, y to the back and z up, drawn out along the brake.
func (w window) prism(c *scene, section geom.Polygon, left, right float64, kind Kind) {
	pieces, ok := geom.Pieces(section)
	if !ok {
		return
	}
	ends := [2]bool{left >= w.left, right <= w.right}
	left, right = max(left, w.left), min(right, w.right)
	if right-left < geom.Near {
		return
	}
	if kind == Tool {
		w.shade(c, section, left, right)
	}
	at := func(p geom.Point2, x float64) geom.Point3 { return geom.Point3{X: x, Y: p.X, Z: p.Y} }
	for i, p := range section {
		before, q := section[(i+len(section)-1)%len(section)], section[(i+1)%len(section)]
		c.facets = append(c.facets, facet{ring: []geom.Point3{at(p, left), at(q, left), at(q, right), at(p, right)}})
		if c.edged(before, p, q) {
			c.segments = append(c.segments, segment{from: at(p, left), to: at(p, right), kind: kind})
		}
		for k, x := range []float64{left, right} {
			if ends[k] {
				c.segments = append(c.segments, segment{from: at(p, x), to: at(q, x), kind: kind})
			}
		}
	}
	for _, g := range pieces {
		for _, x := range []float64{left, right} {
			f := facet{}
			for _, p := range g {
				f.ring = append(f.ring, at(p, x))
			}
			c.facets = append(c.facets, f)
		}
	}
}

// shadeStep is how far apart the lines stand that make a bar grey, as a share of what
// is shown of the brake.
const shadeStep = 1.0 / 26

// shade makes the surface of a prism grey by lines across it: from its left end on,
// short of its right one, where rounding decides nothing.
func (w window) shade(c *scene, section geom.Polygon, left, right float64) {
	step := shadeStep * (w.right - w.left)
	for k := math.Ceil((left - w.left - geom.Near) / step); w.left+k*step < right-geom.Near; k++ {
		x := w.left + k*step
		for i, p := range section {
			q := section[(i+1)%len(section)]
			c.segments = append(c.segments, segment{
				from: geom.Point3{X: x, Y: p.X, Z: p.Y}, to: geom.Point3{X: x, Y: q.X, Z: q.Y}, kind: Shade,
			})
		}
	}
}

// edged reports whether a line along the brake is seen at a corner of a section: a
// sharp one, or one where the surface turns out of sight.
func (c *scene) edged(before, p, after geom.Point2) bool {
	in, on := p.Sub(before).Unit(), after.Sub(p).Unit()
	if math.Abs(in.Cross(on)) > sharp || in.Dot(on) < 0 {
		return true
	}
	faces := func(d geom.Point2) bool { return c.camera.faces(geom.Point3{Y: d.Y, Z: -d.X}) > 0 }
	return faces(in) != faces(on)
}
