package scene

import (
	"math"

	"brakeside/calc/geom"
)

// samples is how finely the room on a face is looked for, along each side.
const samples = 9

// wideAs is how many times as wide as high the room for a name is looked for.
const wideAs = 4.0

// faces finds where on every face a name stands best: where it is seen, farthest from
// the face's edges and from what hides it.
func (m *mesh) faces() []Spot {
	var out []Spot
	for i, f := range m.blank.Faces {
		spot := Spot{What: FaceSpot, Name: f.ID}
		for _, piece := range f.Pieces {
			m.roomiest(&spot, i, piece)
		}
		out = append(out, spot)
	}
	return out
}

// roomiest improves a spot by the places of one piece of a face. Of places that are
// equal but for rounding the first is taken, on every kind of processor.
func (m *mesh) roomiest(spot *Spot, face int, piece geom.Polygon) {
	frame := m.frames[face]
	z := 0.0
	if m.camera.faces(frame.Turn(geom.Point3{Z: 1})) > 0 {
		z = m.levels[len(m.levels)-1]
	}
	see := func(p geom.Point2) geom.Point3 { return frame.Place(geom.Point3{X: p.X, Y: p.Y, Z: z}) }
	var shown, limits []geom.Point2
	for i, p := range piece {
		q := piece[(i+1)%len(piece)]
		for k := range samples {
			at, _ := m.camera.see(see(p.Add(q.Sub(p).Times(float64(k) / samples))))
			limits = append(limits, at)
		}
	}
	low, high := geom.Bounds(piece...)
	for i := range samples {
		for k := range samples {
			p := geom.Point2{X: low.X + (high.X-low.X)*(float64(i)+0.5)/samples, Y: low.Y + (high.Y-low.Y)*(float64(k)+0.5)/samples}
			if !piece.Holds(p) || m.opening(face, p) {
				continue
			}
			at, _ := m.camera.see(see(p))
			if m.covered(see(p)) {
				limits = append(limits, at)
			} else {
				shown = append(shown, at)
			}
		}
	}
	for _, at := range shown {
		room := math.Inf(1)
		for _, l := range limits {
			off := l.Sub(at)
			room = min(room, math.Max(math.Abs(off.X)/wideAs, math.Abs(off.Y)))
		}
		if !spot.Seen || room > spot.Room+geom.Near {
			spot.At, spot.Room, spot.Seen = at, room, true
		}
	}
}

// opening reports whether a place of the blank lies in an opening of a face.
func (m *mesh) opening(face int, p geom.Point2) bool {
	for _, o := range m.blank.Faces[face].Openings {
		if o.Outline.Holds(p) {
			return true
		}
	}
	return false
}

// covered reports whether something stands before a place.
func (c *scene) covered(p geom.Point3) bool {
	at, depth := c.camera.see(p)
	for _, i := range c.cells.around(at, at) {
		if c.shades[i].before(at, depth) {
			return true
		}
	}
	return false
}

// before reports whether a facet covers a place at a depth.
func (s *screen) before(at geom.Point2, depth float64) bool {
	if depth-s.base-s.slope.Dot(at) <= nearer || !s.ring.Holds(at) {
		return false
	}
	for _, h := range s.holes {
		if h.Holds(at) {
			return false
		}
	}
	return true
}

// bends finds the middle of every bend; it is seen where its outer or inner face is.
func (m *mesh) bends() []Spot {
	var out []Spot
	for _, z := range m.zones {
		middle := z.joint.Line[0].Add(z.joint.Line[1]).Times(0.5)
		spot := Spot{What: BendSpot, Name: z.joint.ID}
		for _, level := range m.levels {
			p := z.place(middle, level)
			if at, _ := m.camera.see(p); !spot.Seen {
				spot.At, spot.Seen = at, !m.covered(p)
			}
		}
		out = append(out, spot)
	}
	return out
}

// mirror finds the place of the blank that the mirror check names, and whether it is
// seen.
func (m *mesh) mirror(at *geom.Point2) (spot Spot, seen bool) {
	if at == nil {
		return spot, false
	}
	spot.What = MirrorSpot
	place, _ := m.sheetAt(*at)
	if place == nil {
		place, _ = m.sheetAt(m.nearest(*at))
	}
	if place == nil {
		return spot, false
	}
	for _, level := range m.levels {
		p := place(*at, level)
		if on, _ := m.camera.see(p); !spot.Seen {
			spot.At, spot.Seen = on, !m.covered(p)
		}
	}
	return spot, spot.Seen
}

// nearest is the place on the sheet next to a corner of it, which belongs to no face
// by itself: a little way towards the middle of the face it is a corner of.
func (m *mesh) nearest(at geom.Point2) geom.Point2 {
	best, out := math.Inf(1), at
	for _, f := range m.blank.Faces {
		for _, g := range f.Pieces {
			for _, p := range g {
				if d := p.Sub(at).Length(); d < best {
					best, out = d, p.Add(g.Centroid().Sub(p).Times(0.02))
				}
			}
		}
	}
	return out
}

// upright is the most that a face leans from the vertical that is said to stand, as
// the cosine of the angle between it and the bed.
const upright = 0.7

// sided says of the faces that stand on which side of the clamped one they do.
func (m *mesh) sided(spots []Spot) []Spot {
	middle := m.middle(m.tree.Root)
	for i := range spots {
		face := m.blank.FaceIndex(spots[i].Name)
		normal := m.frames[face].Turn(geom.Point3{Z: 1})
		if m.swings(face) || math.Abs(normal.Z) > upright {
			continue
		}
		off := m.middle(face).Sub(middle)
		switch {
		case math.Abs(normal.X) > math.Abs(normal.Y) && off.X < 0:
			spots[i].Side = AtLeft
		case math.Abs(normal.X) > math.Abs(normal.Y):
			spots[i].Side = AtRight
		case off.Y < 0:
			spots[i].Side = InFront
		default:
			spots[i].Side = Behind
		}
	}
	return spots
}

// middle is the middle of the largest piece of a face.
func (m *mesh) middle(face int) geom.Point3 {
	best, at := -1.0, geom.Point2{}
	for _, g := range m.blank.Faces[face].Pieces {
		if area := math.Abs(g.Area()); area > best {
			best, at = area, g.Centroid()
		}
	}
	return m.frames[face].Place(geom.Point3{X: at.X, Y: at.Y})
}

// between gives between which x a face lies.
func (m *mesh) between(face int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, g := range m.blank.Faces[face].Solid {
		for _, p := range placed(g, 0, m.frames[face]) {
			low, high = min(low, p.X), max(high, p.X)
		}
	}
	return low, high
}
