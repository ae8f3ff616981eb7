// Package sketch draws what the office looks at before there is a sheet: the
// finished part cut square to its bends, and the bars of a brake in section.
//
// Sections are to scale and fitted to the box they are given; all lengths are
// millimetres. Blanks, isometric views and end views at the brake are drawn by
// traveler/layout and traveler/view.
package sketch

import (
	"fmt"
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/traveler/draw"
)

// root is the face that stays where it lies while the others fold up from it: a
// large one, and rather one in the middle than one at the end.
func root(b *flat.Blank) int {
	best, most := 0, 0.0
	for i, f := range b.Faces {
		area := 0.0
		for _, g := range f.Solid {
			area += g.Area()
		}
		for _, j := range b.Joints {
			if j.Faces[0] == i || j.Faces[1] == i {
				area *= 1.2
			}
		}
		if area > most {
			best, most = i, area
		}
	}
	return best
}

// bodies gives the convex bodies of the finished part: its flat pieces and its
// bends.
func bodies(b *flat.Blank) [][]geom.Point3 {
	tree := fold.NewTree(b, root(b))
	all := fold.All(len(b.Joints))
	var out [][]geom.Point3
	for _, face := range tree.Solids(all) {
		out = append(out, face...)
	}
	frames := tree.Place(all)
	for i, j := range b.Joints {
		up, across := upper(tree, b, i), j.Across
		if up == j.Faces[1] {
			across = across.Times(-1)
		}
		for _, z := range fold.Zone(j, across, true) {
			out = append(out, geom.Placed(z, frames[up]))
		}
	}
	return out
}

// upper is the face of a joint that the other one hangs on.
func upper(t *fold.Tree, b *flat.Blank, joint int) int {
	f := b.Joints[joint].Faces
	if t.Up[f[0]] == f[1] && t.Via[f[0]] == joint {
		return f[1]
	}
	return f[0]
}

// Section draws the finished part cut square to its bends. A part with bends in
// more than one direction has two sections: the second is seen from the side.
func Section(b *flat.Blank, width, height float64) []*draw.Page {
	directions := []geom.Point2{square(b.Joints[0])}
	for _, j := range b.Joints[1:] {
		if math.Abs(square(j).Dot(directions[0])) < 0.5 {
			directions = append(directions, square(j))
			break
		}
	}
	var pages []*draw.Page
	solid := bodies(b)
	for i, d := range directions {
		title := []string{"End view", "Side view"}[i]
		pages = append(pages, fitted(title, shadows(b, solid, d), [2]float64{width, height}))
	}
	return pages
}

// square is the direction over a bend, always to the right or up.
func square(j flat.Joint) geom.Point2 {
	d := j.Across
	if d.X < -geom.Near || math.Abs(d.X) <= geom.Near && d.Y < 0 {
		d = d.Times(-1)
	}
	return d
}

// shadows cuts the bodies in the middle of the root and gives the shadow of
// each one met, as seen along the cut.
func shadows(b *flat.Blank, solid [][]geom.Point3, over geom.Point2) []geom.Polygon {
	along := geom.Point2{X: -over.Y, Y: over.X}
	var corners []geom.Point2
	for _, g := range b.Faces[root(b)].Pieces {
		corners = append(corners, g...)
	}
	low, high := geom.Bounds(corners...)
	cut := low.Add(high).Times(0.5).Dot(along)
	var out []geom.Polygon
	for _, body := range solid {
		from, to := geom.Span(body, func(p geom.Point3) float64 { return geom.Point2{X: p.X, Y: p.Y}.Dot(along) })
		if from > cut || to < cut {
			continue
		}
		var flat []geom.Point2
		for _, p := range body {
			flat = append(flat, geom.Point2{X: geom.Point2{X: p.X, Y: p.Y}.Dot(over), Y: p.Z})
		}
		out = append(out, geom.Hull(flat))
	}
	return out
}

// fitted puts polygons on a page of a size, as large as they go, with their
// overall sizes beside them.
func fitted(title string, shapes []geom.Polygon, size [2]float64) *draw.Page {
	page := &draw.Page{Title: title, Width: size[0], Height: size[1]}
	var corners []geom.Point2
	for _, g := range shapes {
		corners = append(corners, g...)
	}
	if len(corners) == 0 {
		return page
	}
	low, high := geom.Bounds(corners...)
	page.Description = fmt.Sprintf("%s, %.1f by %.1f millimetres over all", title, high.X-low.X, high.Y-low.Y)
	const edge = 9.0
	scale := math.Min((size[0]-2*edge)/math.Max(high.X-low.X, 1), (size[1]-2*edge)/math.Max(high.Y-low.Y, 1))
	left, top := (size[0]-scale*(high.X-low.X))/2, (size[1]-scale*(high.Y-low.Y))/2
	at := func(p geom.Point2) draw.Point {
		return draw.Point{X: left + (p.X-low.X)*scale, Y: top + (high.Y-p.Y)*scale}
	}
	for _, g := range shapes {
		var ring []draw.Point
		for _, p := range g {
			ring = append(ring, at(p))
		}
		page.Add(draw.Polygon(draw.Outline, draw.Black, ring...))
	}
	bottom := at(low)
	right := at(high)
	page.Add(
		draw.Text{
			X: size[0] / 2, Y: math.Min(bottom.Y+6, size[1]-2),
			Size: 4, Words: fmt.Sprintf("%.1f", high.X-low.X), Anchor: draw.Centre,
		},
		draw.Text{
			X: math.Min(right.X+5.5, size[0]-1), Y: (bottom.Y + right.Y) / 2,
			Size: 4, Words: fmt.Sprintf("%.1f", high.Y-low.Y), Anchor: draw.Centre, Turn: 90,
		},
	)
	return page
}

// Bar draws the section of a bar to scale: the nose at the left, standing on
// the sheet.
func Bar(b brake.Bar, width, height float64) *draw.Page {
	page := fitted("Section of "+b.Name, []geom.Polygon{b.Section}, [2]float64{width, height})
	for i, m := range page.Marks {
		if path, ok := m.(draw.Path); ok {
			path.Fill = draw.Grey
			page.Marks[i] = path
			bottom := 0.0
			for _, p := range path.Points {
				bottom = math.Max(bottom, p.Y)
			}
			page.Add(draw.Line{X1: 2, Y1: bottom, X2: width - 2, Y2: bottom, Pen: draw.Heavy})
		}
	}
	return page
}
