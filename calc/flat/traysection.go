package flat

import (
	"math"

	"brakeside/calc/geom"
)

// section is one leg of a chain cut square to its bends: X runs outwards from
// the tangent at the base, Y up from the base's outer face, the way the first
// bend folds. From is where the leg's flat begins, on the face that is the
// outer one of the first bend, and along has length 1.
type section struct{ from, along geom.Point2 }

// sections folds the legs of a side as they will stand.
func (p *pan) sections(e *edge) []section {
	out := make([]section, len(e.bends))
	at := section{along: geom.Point2{X: 1}}
	for i, b := range e.bends {
		turn, centre := b.Angle.Rad(), float64(b.Radius+b.Thickness)
		if !e.inward(i) {
			turn, centre = -turn, -float64(b.Radius)
		}
		axis := at.from.Add(at.along.Left().Times(centre))
		at.from, at.along = axis.Add(at.from.Sub(axis).Turned(turn)), at.along.Turned(turn)
		out[i] = at
		at.from = at.from.Add(at.along.Times(e.flats[i]))
	}
	return out
}

// leans reports whether a leg leads inwards, over the base; one within a degree
// of upright does not.
func (s section) leans() bool { return s.along.X < -upright }

const upright = 0.01745 // sin 1

// inner is how far from the tangent at the base a leg begins, on the side that
// is nearer to it.
func (s section) inner(thick float64) float64 {
	return min(s.from.X, s.from.X+s.along.Left().X*thick)
}

// halving gives by how much two legs that lean inwards are cut back on each
// millimetre of their lengths, so that they end side by side. They end where
// their planes cross, when both run up to that line steeply enough; else, as
// level lips do, on the upright plane that halves the corner.
func halving(a, b section) (ofA, ofB float64) {
	ofA, ofB = -b.along.X*a.along.Y/b.along.Y, -a.along.X*b.along.Y/a.along.Y
	if b.along.Y*a.along.Y > geom.Near && ofA > 0 && ofA <= 1 && ofB > 0 && ofB <= 1 {
		return ofA, ofB
	}
	return -a.along.X, -b.along.X
}

// A corner in space: X from the corner of the flat base along the edge of its
// first side, Y along that of its second, Z as Y of a section. Both sides lie
// outside of the edge of the other.

// inCorner puts a place of a section into the corner, so far in.
func inCorner(side int, in float64, at geom.Point2) geom.Point3 {
	if side == 0 {
		return geom.Point3{X: in, Y: -at.X, Z: at.Y}
	}
	return geom.Point3{X: -at.X, Y: in, Z: at.Y}
}

// plate gives the flat of a leg in the corner, from its cut and a hair to the
// far end of the base.
func (c *corner) plate(side, leg int) []geom.Point3 {
	e := c.sides[side]
	s, cut := e.sections[leg], c.cut(side, leg)
	thick := s.along.Left().Times(float64(c.sheet.Thickness))
	end := s.from.Add(s.along.Times(e.flats[leg]))
	var few [8]geom.Point3
	out := few[:0]
	add := func(in float64, at geom.Point2) {
		for _, p := range [...]geom.Point2{at, at.Add(thick)} {
			out = append(out, inCorner(side, in, p), inCorner(side, max(e.long, in), p))
		}
	}
	add(cut.flatStart+hair, s.from)
	add(cut.flatEnd+hair, end)
	return out
}

// besideCurve reports whether a leg that lies over the base, alone or hung on a
// wall, reaches down beside the curve at the other side's base.
func (c *corner) besideCurve(side, leg int) bool {
	e, other := c.sides[side], c.sides[1-side]
	if leg == 0 && (!e.sections[0].leans() || other.sections[0].leans()) {
		return false
	}
	thick := float64(c.sheet.Thickness)
	s, top := e.sections[leg], other.sections[0]
	foot := s.from.Y + min(0, s.along.Y*e.flats[leg]) + min(0, s.along.X*thick)
	return foot < top.from.Y+max(0, top.along.X*thick)-geom.Near
}

// curve gives a body around the first bend of a side in the corner. On the
// inside it is filled up to the chord.
func (c *corner) curve(side int) []geom.Point3 {
	e := c.sides[side]
	b, in := e.bends[0], c.cut(side, 0).zoneFar+hair
	out := make([]geom.Point3, 0, 12)
	for _, share := range []float64{0, 0.5, 1} {
		sin, cos := math.Sincos(b.Angle.Rad() * share)
		for _, radius := range []float64{float64(b.Radius), float64(b.Radius + b.Thickness)} {
			at := geom.Point2{X: radius * sin, Y: float64(b.Radius+b.Thickness) - radius*cos}
			out = append(out, inCorner(side, in, at), inCorner(side, max(e.long, in), at))
		}
	}
	return out
}

// tabPlate gives the flat of the tab in the corner.
func (c *corner) tabPlate(t *tab) []geom.Point3 {
	foot := c.sides[1].sections[0].from
	thick, radius := float64(t.bend.Thickness), float64(t.bend.Radius)
	begin := radius + thick - foot.X
	out := make([]geom.Point3, 0, 8)
	for _, x := range [...]float64{begin, begin + t.flat} {
		for _, y := range [...]float64{t.in - radius, t.in - radius - thick} {
			out = append(out, geom.Point3{X: x, Y: y, Z: foot.Y + t.low}, geom.Point3{X: x, Y: y, Z: foot.Y + t.up})
		}
	}
	return out
}
