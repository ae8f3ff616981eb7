package clash

import "brakeside/calc/geom"

// section is a convex outline as seen along the brake, with what is asked of it
// again and again.
type section struct {
	outline   geom.Polygon
	box       geom.Box
	near, far float64 // from the hinge
}

func newSection(g geom.Polygon) section {
	return section{g, geom.BoxAround(g...), nearest(g), farthest(g)}
}

// farthest is how far the corner is from the hinge that is farthest from it.
func farthest(g geom.Polygon) float64 {
	far := 0.0
	for _, p := range g {
		far = max(far, p.Length())
	}
	return far
}

// nearest is the distance of a convex polygon from the hinge.
func nearest(g geom.Polygon) float64 {
	hinge := [1]geom.Point2{}
	return geom.Apart(g, hinge[:])
}

// shadow is the outline of a body as seen along the brake.
func shadow(body []geom.Point3) geom.Polygon {
	var few [32]geom.Point2
	points := few[:0]
	for _, p := range body {
		points = append(points, geom.Point2{X: p.Y, Y: p.Z})
	}
	return geom.Hull(points)
}

// moved is a polygon at another place.
func moved(g geom.Polygon, y, z float64) geom.Polygon {
	out := make(geom.Polygon, len(g))
	for i, p := range g {
		out[i] = geom.Point2{X: p.X + y, Y: p.Y + z}
	}
	return out
}

// cover is the convex cover of two polygons: what one sweeps on its straight
// way to the other, when one is the other moved.
func cover(a, b geom.Polygon) geom.Polygon {
	return geom.Hull(append(append([]geom.Point2(nil), a...), b...))
}

// pose is a body of the part as it lies at one moment.
type pose struct {
	section
	low, high float64 // along the brake
}

func newPose(body []geom.Point3) pose {
	p := pose{section: newSection(shadow(body))}
	p.low, p.high = geom.Span(body, alongX)
	return p
}

func alongX(p geom.Point3) float64 { return p.X }
