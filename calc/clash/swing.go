package clash

import (
	"math"

	"brakeside/calc/geom"
)

// Step is the least movement, in millimetres, by which a swing is followed.
// Nothing can come and go unseen within it, so anything nearer than half of it
// to the clearance counts as a hit: doubt is never safety.
const Step = 0.05

// pass is the outcome of one swing.
type pass struct {
	least float64 // smallest distance met, in millimetres
	angle float64 // where the least distance, or the hit, was met, in radians
	hit   bool
	depth float64 // how far they overlap, where nothing moves, in millimetres
}

// turning follows a polygon that turns about the hinge, front upwards, past
// one that stands still. Between two looks no point moves farther than the
// distance found at the first, so nothing is missed (conservative advancement).
func turning(moving, still geom.Polygon, from, to, clearance float64) pass {
	if tooFar(moving, still, clearance) {
		return pass{least: math.Inf(1)}
	}
	reach := min(farthest(moving), farthest(still)+clearance)
	look := func(angle float64) float64 { return geom.Apart(turned(moving, angle), still) }
	return advance(look, from, to, clearance, reach)
}

// tooFar reports whether two polygons stay farther apart than the clearance
// however one is turned about the hinge.
func tooFar(a, b geom.Polygon, clearance float64) bool {
	return nearest(a) > farthest(b)+clearance || nearest(b) > farthest(a)+clearance
}

// advance walks from one angle to another by safe steps. Look gives the
// distance at an angle, reach is the largest radius of a point that matters.
func advance(look func(float64) float64, from, to, clearance, reach float64) pass {
	p := pass{least: math.Inf(1)}
	for angle := from; ; {
		d := look(angle)
		if d < p.least {
			p.least, p.angle = d, angle
		}
		room := d - clearance
		if room < Step/2 {
			p.hit, p.angle = true, angle
			return p
		}
		if angle >= to {
			return p
		}
		angle = min(to, angle+max(room, Step)/max(reach, 1))
	}
}

// turned turns a section about the hinge: what lies in front rises.
func turned(g geom.Polygon, angle float64) geom.Polygon {
	sin, cos := math.Sincos(-angle)
	out := make(geom.Polygon, len(g))
	for i, p := range g {
		out[i] = geom.Point2{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}
	}
	return out
}

// turnedSolid turns a body about the hinge: x stays, y and z turn.
func turnedSolid(body []geom.Point3, angle float64) []geom.Point3 {
	sin, cos := math.Sincos(-angle)
	out := make([]geom.Point3, len(body))
	for i, p := range body {
		out[i] = geom.Point3{X: p.X, Y: p.Y*cos - p.Z*sin, Z: p.Y*sin + p.Z*cos}
	}
	return out
}

func farthest(g geom.Polygon) float64 {
	far := 0.0
	for _, p := range g {
		far = max(far, p.Length())
	}
	return far
}

// nearest is the distance of a convex polygon from the hinge.
func nearest(g geom.Polygon) float64 { return geom.Apart(g, geom.Polygon{{}}) }

// turningSolids follows a convex body that turns about the hinge past one that
// stands still.
func turningSolids(moving, still []geom.Point3, from, to float64) pass {
	lowM, highM := geom.Span(moving, alongX)
	lowS, highS := geom.Span(still, alongX)
	farM, farS := farthestSolid(moving), farthestSolid(still)
	if lowM > highS || lowS > highM || nearestSolid(moving) > farS || nearestSolid(still) > farM {
		return pass{least: math.Inf(1)}
	}
	look := func(angle float64) float64 { return geom.Separation(turnedSolid(moving, angle), still) }
	return advance(look, from, to, 0, min(farM, farS))
}

func alongX(p geom.Point3) float64 { return p.X }

func farthestSolid(body []geom.Point3) float64 {
	far := 0.0
	for _, p := range body {
		far = max(far, math.Hypot(p.Y, p.Z))
	}
	return far
}

func nearestSolid(body []geom.Point3) float64 { return nearest(shadow(body)) }

// shadow is the outline of a body as seen along the brake.
func shadow(body []geom.Point3) geom.Polygon {
	points := make([]geom.Point2, len(body))
	for i, p := range body {
		points[i] = geom.Point2{X: p.Y, Y: p.Z}
	}
	return geom.Hull(points)
}
