// Package iso draws a part in isometric view, finished or half bent, with
// hidden lines removed.
//
// The sheet has its real thickness and its bends their real radius. Every edge
// is cut where a surface that lies nearer to the viewer begins and ceases to
// cover it, and only what is left is drawn; so the picture is right whatever the
// order of painting, and it can be plotted. The largest face lies flat, seen
// from above, turned and, where that shows much more, over so that most of the
// part is in sight; all stages of one part are seen from the same side.
package iso

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/traveler/draw"
)

// Of makes a part of its blank.
func Of(b *flat.Blank) *Part {
	p := &Part{blank: b, tree: fold.NewTree(b, largest(b))}
	p.choose()
	return p
}

// largest is the face of the largest area.
func largest(b *flat.Blank) int {
	best, most := 0, 0.0
	for i, f := range b.Faces {
		sum := 0.0
		for _, g := range f.Solid {
			sum += g.Area()
		}
		if sum > most+geom.Near {
			best, most = i, sum
		}
	}
	return best
}

// Finished draws the finished part into a box of width x height millimetres.
func (p *Part) Finished(width, height float64) *draw.Page {
	page := p.page(fold.All(len(p.blank.Joints)), width, height)
	page.Title, page.Description = "The finished part", "The finished part in isometric view, hidden lines removed."
	return page
}

// margin is the white edge around a picture, in millimetres.
const margin = 1.0

// What must be so far apart on paper, in millimetres, to be drawn as two lines:
// the two ends of a bend, and the two faces of the sheet.
const (
	twoEnds  = 1.2
	twoFaces = 0.7
)

// page draws one stage and fits it into a box.
func (p *Part) page(made fold.Made, width, height float64) *draw.Page {
	page := &draw.Page{Width: width, Height: height}
	m := newMesh(p, made, paper(p))
	fit := m.fit(width, height)
	if fit.scale*float64(p.blank.Sheet.Thickness) > twoFaces {
		m = newMesh(p, made, real(p))
		fit = m.fit(width, height)
	}
	for _, s := range m.visible() {
		apart := fit.scale*s.wide > twoEnds
		if s.kind == creaseLine && apart || s.kind == tangentLine && !apart {
			continue
		}
		a, b := fit.at(s.from), fit.at(s.to)
		page.Add(draw.Line{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: draw.Thin})
	}
	return page
}

// fit is how what is seen is laid into a box.
type fit struct {
	scale     float64
	left, top float64
	low, high geom.Point2
}

func (f fit) at(q geom.Point2) draw.Point {
	return draw.Point{X: f.left + f.scale*(q.X-f.low.X), Y: f.top + f.scale*(f.high.Y-q.Y)}
}

// fit scales the mesh to a box.
func (m *mesh) fit(width, height float64) fit {
	var all []geom.Point2
	for _, s := range m.segments {
		a, _ := m.part.side.see(s.from)
		b, _ := m.part.side.see(s.to)
		all = append(all, a, b)
	}
	f := fit{}
	f.low, f.high = geom.Bounds(all...)
	size := f.high.Sub(f.low)
	f.scale = math.Min((width-2*margin)/math.Max(size.X, 1e-6), (height-2*margin)/math.Max(size.Y, 1e-6))
	f.left, f.top = (width-f.scale*size.X)/2, (height-f.scale*size.Y)/2
	return f
}

// Turning a part over to show it must be worth this much: people look for the
// face they laid down.
const worthTurning = 1.25

// choose picks the side that shows most of the finished part's edges.
func (p *Part) choose() {
	var chosen side
	best := math.Inf(-1)
	for i, s := range sides() {
		p.side = s
		shown := 0.0
		for _, v := range newMesh(p, fold.All(len(p.blank.Joints)), paper(p)).visible() {
			if v.kind == edgeLine {
				shown += v.to.Sub(v.from).Length()
			}
		}
		if i >= 4 {
			shown /= worthTurning
		}
		if shown > best+1e-6 {
			best, chosen = shown, s
		}
	}
	p.side = chosen
}
