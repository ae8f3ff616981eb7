package process

import (
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/lift"
	"brakeside/calc/unit"
)

// Weight is what handling a piece needs: its mass, where it balances, and
// whether one person may lift it. Blank and part weigh the same.
type Weight struct {
	Mass  unit.KG
	Blank geom.Point2 // centre of mass of the blank, from its lower left corner
	// Part is the centre of mass of the finished part, with its largest face,
	// Lying, staying where it lies in the blank: x and y as in the blank, z up
	// from face B of it, in millimetres. Lying is empty for a part of more bends
	// than are folded.
	Part  geom.Point3
	Lying string
	Lift  lift.Advice
}

// weigh works out the weight of the blank and of the part.
func weigh(b *flat.Blank) Weight {
	w := Weight{Mass: b.Mass(), Blank: centreOf(b.Outline...)}
	w.Lift = lift.Sheet(w.Mass, [2]unit.MM{b.Width, b.Height})
	if len(b.Joints) <= fold.MostJoints {
		w.fold(b)
	}
	return w
}

// fold finds the centre of mass of the finished part. Each face and each bend
// zone counts with the metal it takes in the blank, the zone where the middle of
// its ring lies.
func (w *Weight) fold(b *flat.Blank) {
	root := largest(b)
	tree := fold.NewTree(b, root)
	frames := tree.Place(fold.All(len(b.Joints)))
	sum, area := geom.Point3{}, 0.0
	add := func(at geom.Point3, by float64) { sum, area = sum.Add(at.Times(by)), area+by }
	half := float64(b.Sheet.Thickness) / 2
	for i, f := range b.Faces {
		for _, g := range f.Solid {
			c := centreOf(g)
			add(frames[i].Place(geom.Point3{X: c.X, Y: c.Y, Z: half}), math.Abs(g.Area()))
		}
		for _, o := range f.Openings {
			c := centreOf(o.Outline)
			add(frames[i].Place(geom.Point3{X: c.X, Y: c.Y, Z: half}), -math.Abs(o.Outline.Area()))
		}
	}
	for _, j := range b.Joints {
		parent, across := j.Faces[0], j.Across
		if tree.Up[j.Faces[0]] == j.Faces[1] {
			parent, across = j.Faces[1], across.Times(-1)
		}
		add(frames[parent].Place(ringCentre(j, across)), math.Abs(j.Zone.Area()))
	}
	w.Part, w.Lying = sum.Times(1/area), b.Faces[root].ID
}

// ringCentre is the centre of mass of a made bend zone, in the blank's
// coordinates of the face that across comes from.
func ringCentre(j flat.Joint, across geom.Point2) geom.Point3 {
	radius := bend.RingCentre(j.Bend)
	sin, cos := math.Sincos(j.Bend.Angle.Rad() / 2)
	height := float64(j.Bend.Thickness+j.Bend.Radius) - float64(radius)*cos
	if !j.Up() {
		height = float64(j.Bend.Thickness) - height
	}
	middle := j.Line[0].Add(j.Line[1]).Times(0.5).Add(across.Times(float64(radius)*sin - j.Half()))
	return geom.Point3{X: middle.X, Y: middle.Y, Z: height}
}

// largest is the face of the greatest area, the first of equal ones.
func largest(b *flat.Blank) int {
	best, most := 0, 0.0
	for i, f := range b.Faces {
		area := 0.0
		for _, g := range f.Solid {
			area += math.Abs(g.Area())
		}
		if area > most+tiny {
			best, most = i, area
		}
	}
	return best
}

// centreOf is the centre of the area within loops; openings run the other way
// round and so count against it.
func centreOf(loops ...geom.Polygon) geom.Point2 {
	sum, area := geom.Point2{}, 0.0
	for _, g := range loops {
		sum, area = sum.Add(g.Centroid().Times(g.Area())), area+g.Area()
	}
	return sum.Times(1 / area)
}
