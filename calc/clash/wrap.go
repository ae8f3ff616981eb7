package clash

import (
	"math"

	"brakeside/calc/geom"
)

// wrapping is how the side that swings moves when it is drawn round a round bar.
// The bend begins under the bar's axis and grows round it, so that the flat turns
// about the bar and not about the hinge: between the beginning and the stop it stands
// off the leaf, and is now behind an even slide and now ahead of it.
type wrapping struct {
	radius          float64     // of the outer face of the bend
	middle, target  float64     // half of the stop, and the angle at which it is drawn
	inwards, onward geom.Point2 // square to the leaf and along it, there
	uneven          float64     // the most by which the slide is behind or ahead
	// Before it has sprung back it lies farther out, and nearer to the leaf, than it
	// is drawn.
	farther, nearer float64
}

// wrapped is the wrapping of the bench; over a bar with an edge there is none.
func (b *Bench) wrapped() *wrapping {
	bar := b.over()
	if bar == nil {
		return nil
	}
	sin, cos := math.Sincos(b.Target.Rad())
	first := b.firstBend()
	drawn := float64(first.Radius + first.Thickness)
	w := &wrapping{
		radius: float64(bar.OutsideRadius + first.Thickness),
		middle: b.stop().Rad() / 2, target: b.Target.Rad(),
		inwards: geom.Point2{X: sin, Y: cos}, onward: geom.Point2{X: -cos, Y: sin},
		farther: max(0, b.tangent-(drawn*sin-b.tangent*cos)),
		nearer:  max(0, b.tangent*sin+drawn*cos-drawn),
	}
	w.uneven = w.mostUneven()
	return w
}

// covers is where a body may lie at an angle from the target, before it is turned
// there; slid is how far it has still to slide then. Turned on as it is, it covers all
// that follows.
func (w *wrapping) covers(g geom.Polygon, slid geom.Point2, angle float64) geom.Polygon {
	behind := 0.0
	if w.target+angle < w.middle {
		behind = w.uneven
	}
	var points []geom.Point2
	for _, p := range g {
		for _, along := range [2]geom.Point2{slid.Sub(w.onward.Times(behind)), w.onward.Times(w.uneven + w.farther)} {
			points = append(points, p.Add(along).Sub(w.inwards.Times(w.nearer)), p.Add(along).Add(w.inwards.Times(w.off(angle))))
		}
	}
	return geom.Hull(points)
}

// off is how far the flat may stand off the leaf's plane at an angle before the
// target or any later one. With R the radius of the outer face and S the stop, the
// axis stands R tan(S/2) behind the hinge and R above the bed, so that the plane
// through the hinge at the angle A lies R tan(S/2) sin A + R cos A from it, and the
// flat, which touches the circle of R, R (cos(A - S/2) / cos(S/2) - 1) off that plane:
// most half way.
func (w *wrapping) off(angle float64) float64 {
	at := max(w.target+angle, w.middle)
	return w.radius * max(0, math.Cos(at-w.middle)/math.Cos(w.middle)-1)
}

// perRadian is the most by which off changes in a radian.
func (w *wrapping) perRadian() float64 {
	if w == nil {
		return 0
	}
	return w.radius * math.Tan(w.middle)
}

// mostUneven is the most by which the flat is behind an even slide in the first half,
// and ahead of it in the second. At the angle A, u = A - S/2, it has come
// R / cos(S/2) (sin u - sin(S/2) u / (S/2)) farther, which is most where
// cos u = sin(S/2) / (S/2).
func (w *wrapping) mostUneven() float64 {
	sin, cos := math.Sincos(w.middle)
	u := math.Acos(sin / w.middle)
	return w.radius / cos * (math.Sin(u) - sin*u/w.middle)
}
