package scene

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
)

// what is what a line of a part is.
type what int

const (
	edgeLine    what = iota // an edge of the sheet, or where a bend turns out of sight
	creaseLine              // the middle of a bend, for pictures in which its ends are one line
	tangentLine             // an end of a bend
)

// segment is a straight line in space.
type segment struct {
	from, to geom.Point3
	what     what
	wide     float64 // of the bend that a crease or a tangent belongs to, in millimetres
	kind     Kind
}

// facet is a flat piece of a surface: a convex ring, and rings that are open in it.
type facet struct {
	ring  []geom.Point3
	holes [][]geom.Point3
}

// scene is all surfaces that hide and all lines that may be seen.
type scene struct {
	camera   camera
	facets   []facet
	segments []segment

	shades []screen // of the facets, once all are there
	cells  *grid
}

// mesh adds the surface of a part at one stage to a scene. Levels are the heights in
// the sheet at which it has surfaces: 0 and its thickness, or its middle alone when
// it is drawn without thickness.
type mesh struct {
	*scene
	*stage
	frames []geom.Frame
	levels []float64
	zones  []curved // by joint
}

// curved is one bend zone: how it lies in the blank and in how many strips it is
// drawn.
type curved struct {
	joint  flat.Joint
	across geom.Point2 // away from the face that stays
	parent geom.Frame  // of that face
	strips int         // 1 while it is flat
	angle  float64     // as far as it is bent
	inside float64     // radius at that angle: a shallow bend curls evenly, at the length it has in the end
	moves  bool

	low, high geom.Point2 // the box around the zone in the blank
}

// One flat strip of a bend stands for an angle no larger than this, and is nowhere
// farther off the curve, in millimetres.
const (
	stripAngle = math.Pi / 12
	stripOff   = 0.1
)

func (m *mesh) curved(i int) curved {
	j := m.blank.Joints[i]
	c := curved{joint: j, across: j.Across, parent: m.frames[j.Faces[0]], strips: 1, moves: m.moving.Has(i)}
	if m.tree.Up[j.Faces[0]] == j.Faces[1] {
		c.across, c.parent = j.Across.Times(-1), m.frames[j.Faces[1]]
	}
	c.moves = c.moves || m.swings(j.Faces[0]) && m.swings(j.Faces[1])
	c.low, c.high = geom.Bounds(j.Zone...)
	if share := m.shares[i]; share > 0 {
		c.angle = math.Abs(j.Angle.Rad()) * share
		c.inside = 2*j.Half()/c.angle - j.Bend.K*float64(j.Bend.Thickness)
		wide := 2 * math.Acos(max(0, 1-stripOff/(c.inside+float64(j.Bend.Thickness))))
		c.strips = 2 * int(math.Ceil(c.angle/2/min(stripAngle, wide)-1e-9)) // even: half of them lies on each face
	}
	return c
}

// place gives where a place of the zone in the blank, at a height in the sheet,
// comes to lie.
func (c curved) place(p geom.Point2, z float64) geom.Point3 {
	if c.angle == 0 {
		return c.parent.Place(geom.Point3{X: p.X, Y: p.Y, Z: z})
	}
	half := c.joint.Half()
	start := c.joint.Line[0].Sub(c.across.Times(half))
	run := c.across.Dot(p.Sub(start)) // from the tangent where it begins
	on := p.Sub(c.across.Times(run))  // on that tangent
	sin, cos := math.Sincos(min(max(run/(2*half), 0), 1) * c.angle)
	thick := float64(c.joint.Bend.Thickness)
	radius := c.inside + thick - z // of this height about the axis of the bend
	height := thick + c.inside - radius*cos
	if !c.joint.Up() {
		radius = c.inside + z
		height = -c.inside + radius*cos
	}
	at := on.Add(c.across.Times(radius * sin))
	return c.parent.Place(geom.Point3{X: at.X, Y: at.Y, Z: height})
}

// kind is what the lines of the zone are lines of.
func (c curved) kind() Kind {
	if c.moves {
		return Swing
	}
	return Metal
}

// border is where the k-th strip begins, as a share of the zone.
func (c curved) border(k int) float64 { return float64(k) / float64(c.strips) }

// at is a point of the line that runs along the bend at a share of its zone.
func (c curved) at(share float64) geom.Point2 {
	return c.joint.Line[0].Add(c.across.Times(c.joint.Half() * (2*share - 1)))
}

func (c curved) placed(g geom.Polygon, z float64) []geom.Point3 {
	out := make([]geom.Point3, len(g))
	for i, p := range g {
		out[i] = c.place(p, z)
	}
	return out
}
