package scene

import (
	"math"

	"brakeside/calc/geom"
)

// add puts a part into a scene, with or without its thickness.
func (c *scene) add(s *stage, levels []float64) *mesh {
	m := &mesh{scene: c, stage: s, levels: levels}
	for _, f := range s.tree.PlaceAt(func(joint int) float64 { return s.shares[joint] }) {
		m.frames = append(m.frames, f.Then(s.pose))
	}
	for i := range s.blank.Faces {
		m.face(i)
	}
	for i := range s.blank.Joints {
		m.zones = append(m.zones, m.curved(i))
	}
	for _, z := range m.zones {
		m.zone(z)
	}
	for _, loop := range s.blank.Outline {
		m.edges(loop)
	}
	return m
}

// face adds the flat of a face on every level.
func (m *mesh) face(i int) {
	f := m.blank.Faces[i]
	for _, z := range m.levels {
		var holes [][]geom.Point3
		for _, o := range f.Openings {
			holes = append(holes, placed(o.Outline, z, m.frames[i]))
		}
		for _, g := range f.Solid {
			m.facets = append(m.facets, facet{placed(g, z, m.frames[i]), holes})
		}
	}
}

// zone adds the strips of a bend, and the lines along it.
func (m *mesh) zone(c curved) {
	for _, g := range m.metal(c) {
		for k := range c.strips {
			strip := g.Clip(c.at(c.border(k)), c.across.Left().Times(-1))
			if strip != nil {
				strip = strip.Clip(c.at(c.border(k+1)), c.across.Left())
			}
			for _, z := range m.levels {
				if strip != nil {
					m.facets = append(m.facets, facet{ring: c.placed(strip, z)})
				}
			}
		}
		if c.angle > 0 {
			m.along(c, g)
		}
	}
}

// metal gives the convex pieces of sheet in a bend zone.
func (m *mesh) metal(c curved) []geom.Polygon {
	along := c.joint.Line[1].Sub(c.joint.Line[0]).Unit()
	half := c.joint.Half()
	middle := c.joint.Line[0]
	var out []geom.Polygon
	for k, f := range c.joint.Faces {
		into := c.joint.Across.Times(float64(2*k - 1)) // from the line into this face
		for _, g := range m.blank.Faces[f].Pieces {
			pieces, ok := geom.Pieces(g)
			if !ok {
				continue
			}
			for _, p := range pieces {
				for _, cut := range [][2]geom.Point2{
					{middle, into.Left().Times(-1)}, {middle.Add(into.Times(half)), into.Left()},
					{c.joint.Line[0], along.Left().Times(-1)}, {c.joint.Line[1], along.Left()},
				} {
					if p != nil {
						p = p.Clip(cut[0], cut[1])
					}
				}
				if p != nil {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// along adds the lines along a bend that may be seen: its middle, its two ends,
// and where its surface turns out of sight.
func (m *mesh) along(c curved, g geom.Polygon) {
	wide := c.angle * (c.inside + float64(c.joint.Bend.Thickness))
	add := func(share float64, what what) {
		a, b, ok := chord(g, c.at(share), c.across)
		if !ok {
			return
		}
		for _, z := range m.levels {
			m.segments = append(m.segments, segment{c.place(a, z), c.place(b, z), what, wide, c.kind()})
		}
	}
	for k := 0; k <= c.strips; k++ {
		if m.facing(c, k-1) != m.facing(c, k) {
			add(c.border(k), edgeLine)
		}
	}
	if m.facing(c, -1)*m.facing(c, c.strips) >= 0 {
		add(0.5, creaseLine)
		add(0, tangentLine)
		add(1, tangentLine)
	}
}

// edgeOn is the sine of the angle below which a surface is said to be seen edge on:
// then a line is drawn at both ends of it, since the nearer may hide the other.
const edgeOn = 0.03

// facing tells whether a strip shows face A to the viewer, 1, face B, -1, or is seen
// edge on, 0. Strips -1 and c.strips are the flats beside the bend.
func (m *mesh) facing(c curved, k int) int {
	share := (min(max(float64(k), -0.5), float64(c.strips)-0.5) + 0.5) / float64(c.strips)
	sin, cos := math.Sincos(share * c.angle)
	if !c.joint.Up() {
		sin = -sin
	}
	normal := geom.Point3{X: -c.across.X * sin, Y: -c.across.Y * sin, Z: cos}
	shown := m.camera.faces(c.parent.Turn(normal))
	switch {
	case shown > edgeOn:
		return 1
	case shown < -edgeOn:
		return -1
	}
	return 0
}

// chord is what of a line square to a direction lies in a convex polygon.
func chord(g geom.Polygon, through, across geom.Point2) (a, b geom.Point2, ok bool) {
	const hair = 1e-7
	var on []geom.Point2
	for i, p := range g {
		q := g[(i+1)%len(g)]
		s, t := across.Dot(p.Sub(through)), across.Dot(q.Sub(through))
		if math.Abs(s) < hair {
			on = append(on, p)
		} else if math.Abs(t) >= hair && (s > 0) != (t > 0) {
			on = append(on, p.Add(q.Sub(p).Times(s/(s-t))))
		}
	}
	if len(on) < 2 {
		return a, b, false
	}
	run := across.Left()
	a, b = on[0], on[0]
	for _, p := range on {
		if run.Dot(p) < run.Dot(a) {
			a = p
		}
		if run.Dot(p) > run.Dot(b) {
			b = p
		}
	}
	return a, b, b.Sub(a).Length() > hair
}
