package scene

import (
	"math"
	"slices"

	"brakeside/calc/geom"
)

// sharp is the sine of the least angle at which two edges of an outline meet in
// a corner; chords of an arc meet at less.
const sharp = 0.34

// hair is how far into the sheet one looks to see what an edge belongs to, in
// millimetres.
const hair = 0.005

// edges adds the edges of a ring of the blank, the sheet at their left, and the
// side of the sheet along them.
func (m *mesh) edges(loop geom.Polygon) {
	for i, p := range loop {
		q := loop[(i+1)%len(loop)]
		before := loop[(i+len(loop)-1)%len(loop)]
		in, on := p.Sub(before).Unit(), q.Sub(p).Unit()
		corner := math.Abs(in.Cross(on)) > sharp || in.Dot(on) < 0
		m.edge(p, q, corner)
	}
}

// edge adds one edge, cut where it enters and leaves bend zones and at the
// strips in them.
func (m *mesh) edge(p, q geom.Point2, corner bool) {
	along := q.Sub(p)
	long := along.Length()
	if long < geom.Near {
		return
	}
	along = along.Times(1 / long)
	stops := m.stops(p, along, long)
	for i := 1; i < len(stops); i++ {
		a, b := p.Add(along.Times(stops[i-1])), p.Add(along.Times(stops[i]))
		from, to, kind := m.side(a, b, along)
		if from == nil {
			continue
		}
		for k := range from {
			m.segments = append(m.segments, segment{from: from[k], to: to[k], kind: kind})
		}
		if len(m.levels) == 2 {
			m.facets = append(m.facets, facet{ring: []geom.Point3{from[0], to[0], to[1], from[1]}})
			if i == 1 && corner {
				m.segments = append(m.segments, segment{from: from[0], to: from[1], kind: kind})
			}
		}
	}
}

// stops lists where along an edge it is cut.
func (m *mesh) stops(p, along geom.Point2, long float64) []float64 {
	out := []float64{0, long}
	low, high := geom.Bounds(p, p.Add(along.Times(long)))
	for i := range m.zones {
		c := &m.zones[i]
		if low.X > c.high.X+hair || c.low.X > high.X+hair || low.Y > c.high.Y+hair || c.low.Y > high.Y+hair {
			continue
		}
		slope := c.across.Dot(along)
		if math.Abs(slope) < 1e-9 {
			continue
		}
		for k := 0; k <= c.strips; k++ {
			if at := c.across.Dot(c.at(c.border(k)).Sub(p)) / slope; at > 0 && at < long {
				out = append(out, at)
			}
		}
	}
	slices.Sort(out)
	return slices.CompactFunc(out, func(a, b float64) bool { return math.Abs(b-a) < geom.Near })
}

// side gives where both ends of a stretch of an edge come to lie, on every level: in
// the bend zone or on the face that the sheet beside it belongs to; and what the
// stretch is a line of.
func (m *mesh) side(a, b, along geom.Point2) (from, to []geom.Point3, kind Kind) {
	place, kind := m.sheetAt(a.Add(b).Times(0.5).Add(along.Left().Times(hair)))
	if place == nil {
		return nil, nil, kind
	}
	for _, z := range m.levels {
		from, to = append(from, place(a, z)), append(to, place(b, z))
	}
	return from, to, kind
}

// sheetAt gives how the sheet at a place of the blank is moved, and what a line on it
// is a line of; nil where there is none.
func (m *mesh) sheetAt(p geom.Point2) (place func(geom.Point2, float64) geom.Point3, kind Kind) {
	for i := range m.zones {
		c := &m.zones[i]
		if p.X >= c.low.X && p.X <= c.high.X && p.Y >= c.low.Y && p.Y <= c.high.Y && c.joint.Zone.Holds(p) {
			return c.place, c.kind()
		}
	}
	for i := range m.blank.Faces {
		for _, g := range m.blank.Faces[i].Pieces {
			if g.Holds(p) {
				return func(p geom.Point2, z float64) geom.Point3 {
					return m.frames[i].Place(geom.Point3{X: p.X, Y: p.Y, Z: z})
				}, m.kind(i)
			}
		}
	}
	return nil, Metal
}

// kind is what the lines of a face are lines of.
func (m *mesh) kind(face int) Kind {
	if m.swings(face) {
		return Swing
	}
	return Metal
}
