package iso

import (
	"math"

	"brakeside/calc/geom"
)

// side is a side from which a part is seen. Right, up and away are directions of
// the part, of length 1: to the right and up on the page, and away from the
// viewer.
type side struct{ right, up, away geom.Point3 }

// sides are the eight isometric views that stand the part on its largest face
// or on the other side of it: x to the right and up, y to the left and up, and so
// on by quarter turns.
func sides() []side {
	sin, cos := math.Sin(math.Pi/6), math.Cos(math.Pi/6)
	flatten := math.Sqrt(2. / 3) // by what an isometric view shortens all three axes
	first := side{
		right: geom.Point3{X: cos, Y: -cos}.Times(flatten),
		up:    geom.Point3{X: sin, Y: sin, Z: 1}.Times(flatten),
		away:  geom.Point3{X: 1, Y: 1, Z: -1}.Times(1 / math.Sqrt(3)),
	}
	var out []side
	for _, over := range []bool{false, true} {
		for quarter := range 4 {
			s := first
			for _, v := range []*geom.Point3{&s.right, &s.up, &s.away} {
				for range quarter {
					*v = geom.Point3{X: -v.Y, Y: v.X, Z: v.Z}
				}
				if over { // turned over about x
					*v = geom.Point3{X: v.X, Y: -v.Y, Z: -v.Z}
				}
			}
			out = append(out, s)
		}
	}
	return out
}

// see gives where a place lies on the page, y up, and how far away it is.
func (s side) see(p geom.Point3) (geom.Point2, float64) {
	return geom.Point2{X: s.right.Dot(p), Y: s.up.Dot(p)}, s.away.Dot(p)
}
