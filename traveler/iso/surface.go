package iso

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
)

// Part is a part ready to be drawn.
type Part struct {
	blank *flat.Blank
	tree  *fold.Tree
	side  side // from which it is seen
}

// kind is what a line of the part is.
type kind int

const (
	edgeLine    kind = iota // an edge of the sheet, or where a bend turns out of sight
	creaseLine              // the middle of a bend, for pictures in which its ends are one line
	tangentLine             // an end of a bend
)

// segment is a straight line in space.
type segment struct {
	from, to geom.Point3
	kind     kind
	wide     float64 // of the bend that a crease or a tangent belongs to, in millimetres
}

// facet is a flat piece of the surface: a convex ring, and rings that are open
// in it.
type facet struct {
	ring  []geom.Point3
	holes [][]geom.Point3
}

// mesh is the surface of a part at one stage, as facets that hide and lines that
// may be seen. Levels are the heights in the sheet at which it has surfaces: 0
// and its thickness, or its middle alone when it is drawn without thickness.
type mesh struct {
	part     *Part
	made     fold.Made
	frames   []geom.Frame
	levels   []float64
	zones    []curved // by joint
	facets   []facet
	segments []segment
}

// real are the levels of a sheet with thickness, paper those of one without.
func real(p *Part) []float64 { return []float64{0, float64(p.blank.Sheet.Thickness)} }

func paper(p *Part) []float64 { return []float64{float64(p.blank.Sheet.Thickness) / 2} }

func placed(g geom.Polygon, z float64, f geom.Frame) []geom.Point3 {
	out := make([]geom.Point3, len(g))
	for i, p := range g {
		out[i] = f.Place(geom.Point3{X: p.X, Y: p.Y, Z: z})
	}
	return out
}

// curved is one bend zone: how it lies in the blank and in how many strips it is
// drawn.
type curved struct {
	joint  flat.Joint
	across geom.Point2 // away from the face that stays
	parent geom.Frame  // of that face
	strips int         // 1 while it is not made
	angle  float64     // 0 while it is not made

	low, high geom.Point2 // the box around the zone in the blank
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
	inside, thick := float64(c.joint.Bend.Radius), float64(c.joint.Bend.Thickness)
	radius := inside + thick - z // of this height about the axis of the bend
	height := thick + inside - radius*cos
	if !c.joint.Up() {
		radius = inside + z
		height = -inside + radius*cos
	}
	at := on.Add(c.across.Times(radius * sin))
	return c.parent.Place(geom.Point3{X: at.X, Y: at.Y, Z: height})
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
