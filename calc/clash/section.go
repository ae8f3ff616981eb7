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

// covering is the convex cover of a section where it lies and at other places.
func covering(g geom.Polygon, places []geom.Point2) geom.Polygon {
	points := append([]geom.Point2(nil), g...)
	for _, by := range places {
		points = append(points, moved(g, by.X, by.Y)...)
	}
	return geom.Hull(points)
}

// pose is a body of the part as it lies at one moment.
type pose struct {
	section
	Stretch               // along the brake
	body    []geom.Point3 // two equal rings of corners
	places  []geom.Point2 // other places that the outline covers, as moves of the body
	looked  bool          // whether it is the same all along is known
	same    bool
}

func newPose(body []geom.Point3) pose {
	p := pose{section: newSection(shadow(body)), body: body}
	p.Low, p.High = geom.Span(body, alongX)
	return p
}

func alongX(p geom.Point3) float64 { return p.X }
