package sketch

import (
	"cmp"
	"math"
	"slices"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/traveler/draw"
)

// seen is where a place in space stands in the view from a corner: x to the
// right and down, y to the right and up, z up.
func seen(p geom.Point3) geom.Point2 {
	const cos30, sin30 = 0.8660254037844386, 0.5
	return geom.Point2{X: (p.X + p.Y) * cos30, Y: p.Z + (p.Y-p.X)*sin30}
}

// towards points from the part to the viewer of that view.
var towards = geom.Point3{X: 1, Y: -1, Z: 1}

// side is one side of a body.
type side struct {
	corners []geom.Point3
	edges   [][2]geom.Point3 // those that are drawn
	far     float64
}

// Corner draws the finished part as seen from a corner above it.
func Corner(b *flat.Blank, width, height float64) *draw.Page {
	sides := sidesOf(b)
	slices.SortStableFunc(sides, func(a, b side) int { return cmp.Compare(b.far, a.far) })
	var all []geom.Point2
	for _, s := range sides {
		for _, p := range s.corners {
			all = append(all, seen(p))
		}
	}
	low, high := geom.Bounds(all...)
	const edge = 4.0
	scale := math.Min((width-2*edge)/math.Max(high.X-low.X, 1), (height-2*edge)/math.Max(high.Y-low.Y, 1))
	left, top := (width-scale*(high.X-low.X))/2, (height-scale*(high.Y-low.Y))/2
	at := func(p geom.Point3) draw.Point {
		q := seen(p)
		return draw.Point{X: left + (q.X-low.X)*scale, Y: top + (high.Y-q.Y)*scale}
	}
	page := &draw.Page{Title: "Finished part", Description: "The finished part seen from a corner above it.", Width: width, Height: height}
	for _, s := range sides {
		page.Add(draw.Polygon(draw.NoPen, draw.Paper, placed(s.corners, at)...))
		for _, e := range s.edges {
			a, b := at(e[0]), at(e[1])
			page.Add(draw.Line{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: draw.Thin})
		}
	}
	return page
}

func placed(points []geom.Point3, at func(geom.Point3) draw.Point) []draw.Point {
	out := make([]draw.Point, len(points))
	for i, p := range points {
		out[i] = at(p)
	}
	return out
}

// sidesOf lists the sides of the finished part that face the viewer.
func sidesOf(b *flat.Blank) []side {
	tree := fold.NewTree(b, root(b))
	all := fold.All(len(b.Joints))
	frames := tree.Place(all)
	thick := float64(b.Sheet.Thickness)
	var out []side
	for i, f := range b.Faces {
		for k := range f.Solid {
			out = append(out, piece{f.Solid, k}.prism(thick, frames[i])...)
		}
	}
	for i, j := range b.Joints {
		up, across := upper(tree, b, i), j.Across
		if up == j.Faces[1] {
			across = across.Times(-1)
		}
		for _, z := range fold.Zone(j, across, true) {
			out = append(out, wedge(geom.Placed(z, frames[up]))...)
		}
	}
	return out
}

// inner reports whether an edge of one convex piece is a cut between pieces of
// the same face, and so no edge of the part: just beyond its middle lies another
// piece.
func (p piece) inner(from, to geom.Point2) bool {
	out := geom.Point2{X: to.Y - from.Y, Y: from.X - to.X}.Unit().Times(0.01)
	beyond := from.Add(to).Times(0.5).Add(out)
	for i, g := range p.all {
		if i != p.own && holds(g, beyond) {
			return true
		}
	}
	return false
}

// holds reports whether a convex polygon holds a point.
func holds(g geom.Polygon, p geom.Point2) bool {
	for i, a := range g {
		if g[(i+1)%len(g)].Sub(a).Cross(p.Sub(a)) < 0 {
			return false
		}
	}
	return true
}

// piece is one convex piece of a face.
type piece struct {
	all []geom.Polygon // of the face
	own int
}

// prism gives the sides of a piece, thick and in its place, that face the
// viewer.
func (p piece) prism(thick float64, f geom.Frame) []side {
	g := p.all[p.own]
	n := len(g)
	points := geom.Placed(geom.Prism(g, 0, thick), f)
	bottom, top := side{}, side{}
	var out []side
	for i := range n {
		k := (i + 1) % n
		top.corners = append(top.corners, points[n+i])
		bottom.corners = append(bottom.corners, points[n-1-i])
		if p.inner(g[i], g[k]) {
			continue
		}
		top.edges = append(top.edges, [2]geom.Point3{points[n+i], points[n+k]})
		bottom.edges = append(bottom.edges, [2]geom.Point3{points[i], points[k]})
		wall := side{corners: []geom.Point3{points[i], points[k], points[n+k], points[n+i]}}
		wall.edges = [][2]geom.Point3{{points[i], points[k]}, {points[n+i], points[n+k]}}
		out = append(out, wall)
	}
	return facing(append(out, top, bottom))
}

// wedge gives the sides of a piece of a bend, without edges: the metal runs on
// round it. Its corners come in pairs, one of each end.
func wedge(points []geom.Point3) []side {
	n := len(points) / 2
	var out []side
	ends := [2]side{}
	for i := range n {
		k := (i + 1) % n
		out = append(out, side{corners: []geom.Point3{points[2*i], points[2*k], points[2*k+1], points[2*i+1]}})
		for e := range ends {
			ends[e].corners = append(ends[e].corners, points[2*i+e])
		}
	}
	out = append(out, ends[0], ends[1])
	for i := range out {
		out[i].far = farthest(out[i].corners)
	}
	return out
}

// facing keeps the sides that are turned towards the viewer.
func facing(sides []side) []side {
	var out []side
	for _, s := range sides {
		normal := s.corners[1].Sub(s.corners[0]).Cross(s.corners[2].Sub(s.corners[1]))
		if normal.Dot(towards) <= 0 {
			continue
		}
		s.far = farthest(s.corners)
		out = append(out, s)
	}
	return out
}

// farthest is how far from the viewer the middle of some corners is.
func farthest(corners []geom.Point3) float64 {
	sum := 0.0
	for _, p := range corners {
		sum -= p.Dot(towards) / float64(len(corners))
	}
	return sum
}
