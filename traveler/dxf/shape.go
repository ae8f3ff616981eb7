package dxf

import (
	"math"

	"brakeside/calc/geom"
)

// draw fills in the lines of a shape. Of the frames, the second is that of the
// entity's own plane.
func (r *reader) draw(s *Shape, e entityTags, f, own frame) {
	g := e.tags
	switch s.Kind {
	case "LINE":
		s.Points = f.places([]geom.Point2{r.point(g, 10), r.point(g, 11)})
	case "CIRCLE":
		s.Closed = true
		s.Points = own.arc(r.point(g, 10), r.number(g, 40), 0, 2*math.Pi)
		s.Points = s.Points[:max(len(s.Points)-1, 0)]
		if scale, even := own.even(); even {
			s.Centre, s.Radius = own.place(r.point(g, 10)), r.number(g, 40)*scale
		}
	case "ARC":
		from, to := r.number(g, 50)*math.Pi/180, r.number(g, 51)*math.Pi/180
		s.Points = own.arc(r.point(g, 10), r.number(g, 40), from, turned(from, to))
	case "LWPOLYLINE":
		s.Closed = g.flag(closedBit)
		s.Points = own.bulged(r.light(g), s.Closed)
	case "POLYLINE":
		r.polyline(s, e, own)
	case "ELLIPSE":
		r.ellipse(s, g, f)
	case "SPLINE":
		r.spline(s, g, f)
	default:
		s.Points = f.places([]geom.Point2{r.point(g, 10)})
		s.Unread = "cannot be read; draw it as lines, polylines, arcs and circles"
	}
}

// vertex is a corner of a polyline and the bulge of the edge behind it: the
// tangent of a quarter of the angle that its arc turns through, above zero
// anticlockwise, 0 for a straight edge.
type vertex struct {
	p     geom.Point2
	bulge float64
}

// light reads the corners of the newer polyline, which all stand in one entity.
func (r *reader) light(g tags) []vertex {
	var out []vertex
	for _, p := range g {
		switch {
		case p.code == 10:
			out = append(out, vertex{p: geom.Point2{X: r.parse(p)}})
		case p.code == 20 && len(out) > 0:
			out[len(out)-1].p.Y = r.parse(p)
		case p.code == 42 && len(out) > 0:
			out[len(out)-1].bulge = r.parse(p)
		}
	}
	return out
}

// The bits of code 70 of a polyline and of its corners (from memory).
const (
	closedBit  = 1
	splineBit  = 4
	spatialBit = 8
	meshBits   = 16 | 64
	frameBit   = 16 // of a corner: it steers a spline and is not on it
)

// polyline reads the older polyline.
func (r *reader) polyline(s *Shape, e entityTags, f frame) {
	var corners []vertex
	for _, v := range e.corners {
		if !v.flag(frameBit) {
			corners = append(corners, vertex{r.point(v, 10), r.number(v, 42)})
		}
	}
	s.Closed = e.flag(closedBit)
	if e.flag(spatialBit) || e.flag(meshBits) {
		s.Unread = "is a polyline or a mesh in space; draw it flat"
	}
	if e.flag(splineBit) && s.Unread == "" && len(corners) == 0 {
		s.Unread = "is a spline without corners; draw it as lines and arcs"
	}
	s.Points = f.bulged(corners, s.Closed)
}

// bulged turns corners and bulges into straight edges, and places them.
func (f frame) bulged(corners []vertex, closed bool) []geom.Point2 {
	var out []geom.Point2
	for i, v := range corners {
		out = append(out, f.place(v.p))
		if v.bulge == 0 || i == len(corners)-1 && !closed {
			continue
		}
		next := corners[(i+1)%len(corners)].p
		chord := next.Sub(v.p)
		sweep := 4 * math.Atan(v.bulge)
		if chord.Length() == 0 || math.Abs(sweep) > 2*math.Pi-1e-6 {
			continue
		}
		// The centre lies on the chord's bisector, to its left for an arc of less
		// than a half turn anticlockwise.
		middle := v.p.Add(next).Times(0.5)
		centre := middle.Add(chord.Left().Times(1 / (2 * math.Tan(sweep/2))))
		radius := v.p.Sub(centre)
		n := chords(radius.Length()*f.stretch(), math.Abs(sweep))
		for k := 1; k < n; k++ {
			out = append(out, f.place(centre.Add(radius.Turned(sweep*float64(k)/float64(n)))))
		}
		if len(out) > mostPoints {
			return out
		}
	}
	return out
}

// arc gives the chords of an arc, both ends included, in radians.
func (f frame) arc(centre geom.Point2, radius, from, sweep float64) []geom.Point2 {
	if !(radius > 0) {
		return nil
	}
	return f.ellipse(centre, geom.Point2{X: radius}, geom.Point2{Y: radius}, from, sweep)
}
