package dxf

import (
	"math"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
)

// entity reads one entity.
func (r *reader) entity(begins tag) {
	g := r.group()
	s := Shape{Kind: begins.value, Layer: g.text(8), Row: begins.row}
	if g.text(230) != "" && r.number(g, 230) < 0.999999 {
		s.Unread = "is drawn in a plane of its own; draw it in the plane of the sheet, seen from above"
	}
	switch s.Kind {
	case "LINE":
		s.Points = []geom.Point2{r.point(g, 10), r.point(g, 11)}
	case "CIRCLE":
		s.Centre, s.Radius, s.Closed = r.point(g, 10), r.number(g, 40)*r.scale, true
		s.Points = r.arc(s.Centre, s.Radius, 0, 360)
		s.Points = s.Points[:max(len(s.Points)-1, 0)]
	case "ARC":
		from := r.number(g, 50)
		sweep := math.Mod(r.number(g, 51)-from, 360)
		if sweep <= 0 {
			sweep += 360
		}
		s.Points = r.arc(r.point(g, 10), r.number(g, 40)*r.scale, from, sweep)
	case "LWPOLYLINE":
		s.Closed = g.flag(1)
		s.Points = r.bulged(r.light(g), s.Closed)
	case "POLYLINE":
		r.polyline(&s, g)
	case "POINT", "TEXT", "MTEXT", "DIMENSION", "ATTDEF", "ATTRIB", "SEQEND", "VERTEX", "VIEWPORT", "LEADER":
		return // words and marks, which cut nothing
	default:
		s.Points = []geom.Point2{r.point(g, 10)}
		s.Unread = "cannot be read; draw it as lines, polylines, arcs and circles"
	}
	r.keep(s)
}

// keep adds a shape, up to the limit.
func (r *reader) keep(s Shape) {
	if r.points += len(s.Points); r.points > mostPoints && r.err == nil {
		r.err = fault.New(fault.TooLarge, "", "the drawing has more than the %d corners that are read", mostPoints)
		return
	}
	r.drawing.Shapes = append(r.drawing.Shapes, s)
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
			out = append(out, vertex{p: geom.Point2{X: r.parse(p) * r.scale}})
		case p.code == 20 && len(out) > 0:
			out[len(out)-1].p.Y = r.parse(p) * r.scale
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

// polyline reads the older polyline, whose corners are entities of their own.
func (r *reader) polyline(s *Shape, g tags) {
	var corners []vertex
	for {
		p, ok := r.peek()
		if !ok || p.code != 0 || p.value != "VERTEX" && p.value != "SEQEND" {
			break
		}
		r.take()
		v := r.group()
		if p.value == "SEQEND" {
			break
		}
		if !v.flag(frameBit) {
			corners = append(corners, vertex{r.point(v, 10), r.number(v, 42)})
		}
	}
	s.Closed = g.flag(closedBit)
	if g.flag(spatialBit) || g.flag(meshBits) {
		s.Unread = "is a polyline or a mesh in space; draw it flat"
	}
	if g.flag(splineBit) && s.Unread == "" && len(corners) == 0 {
		s.Unread = "is a spline without corners; draw it as lines and arcs"
	}
	s.Points = r.bulged(corners, s.Closed)
}

// bulged turns corners and bulges into straight edges.
func (r *reader) bulged(corners []vertex, closed bool) []geom.Point2 {
	var out []geom.Point2
	for i, v := range corners {
		out = append(out, v.p)
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
		n := chords(radius.Length(), math.Abs(sweep))
		for k := 1; k < n; k++ {
			out = append(out, centre.Add(radius.Turned(sweep*float64(k)/float64(n))))
		}
		if len(out) > mostPoints {
			return out
		}
	}
	return out
}

// arc gives the chords of an arc, both ends included, in degrees.
func (r *reader) arc(centre geom.Point2, radius, from, sweep float64) []geom.Point2 {
	if !(radius > 0) {
		return nil
	}
	n := chords(radius, sweep*math.Pi/180)
	out := make([]geom.Point2, 0, n+1)
	for k := 0; k <= n; k++ {
		sin, cos := math.Sincos((from + sweep*float64(k)/float64(n)) * math.Pi / 180)
		out = append(out, centre.Add(geom.Point2{X: radius * cos, Y: radius * sin}))
	}
	return out
}

// chords is how many chords stand for an arc: so many that none lies farther
// inside it than ChordError, and at least one for every fifteen degrees.
func chords(radius, sweep float64) int {
	step := math.Pi / 12
	if radius > ChordError {
		step = math.Min(step, 2*math.Acos(1-ChordError/radius))
	}
	return min(max(int(math.Ceil(sweep/step-1e-9)), 1), 2000)
}
