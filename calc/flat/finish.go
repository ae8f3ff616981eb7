package flat

import (
	"math"
	"sort"

	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// finish moves the blank to the origin and works out what follows from faces
// and joints.
func (d *developer) finish() {
	b := d.blank
	b.toOrigin()
	for i := range b.Joints {
		b.Joints[i].orient(b.Faces)
	}
	for i := range b.Faces {
		d.solid(i)
	}
	if d.err == nil {
		d.apart()
	}
	if d.err == nil {
		d.outline()
	}
}

func (b *Blank) toOrigin() {
	var all []geom.Point2
	for _, f := range b.Faces {
		for _, g := range f.Pieces {
			all = append(all, g...)
		}
	}
	low, high := geom.Bounds(all...)
	for _, f := range b.Faces {
		for _, g := range f.Pieces {
			for i := range g {
				g[i] = g[i].Sub(low)
			}
		}
	}
	for i := range b.Joints {
		for k := range b.Joints[i].Line {
			b.Joints[i].Line[k] = b.Joints[i].Line[k].Sub(low)
		}
	}
	b.Width, b.Height = unit.MM(high.X-low.X), unit.MM(high.Y-low.Y)
}

// orient sets the direction across the bend and its zone. The line is turned
// so that Faces[0] lies to its left.
func (j *Joint) orient(faces []Face) {
	out, _ := outward(faces[j.Faces[0]], j.Line)
	along := j.Line[1].Sub(j.Line[0]).Unit()
	j.Across = along.Left()
	if out.Dot(j.Across) < 0 {
		j.Across = j.Across.Times(-1)
	}
	t := j.Tangents()
	j.Zone = anticlockwise(geom.Polygon{t[0][0], t[0][1], t[1][1], t[1][0]})
}

// solid cuts a face into convex pieces and takes the bend zones off them.
func (d *developer) solid(i int) {
	f := &d.blank.Faces[i]
	f.Solid = nil
	for _, g := range f.Pieces {
		pieces, ok := geom.Pieces(g)
		if !ok {
			d.refuse(d.facePointer(i), "the outline of face %s does not bound an area", f.ID)
			return
		}
		f.Solid = append(f.Solid, pieces...)
	}
	for _, j := range d.blank.Joints {
		if j.Faces[0] == i || j.Faces[1] == i {
			f.Solid = without(f.Solid, j)
		}
	}
	if len(f.Solid) == 0 {
		d.refuse(d.facePointer(i), "face %s is used up by its bends; make it wider", f.ID)
	}
	d.zonesMeet(i)
}

// without takes the zone of a bend off convex pieces: what lies beside the
// zone stays, what lies before it is cut at the tangent.
func without(pieces []geom.Polygon, j Joint) []geom.Polygon {
	along := j.Line[1].Sub(j.Line[0]).Unit()
	t := j.Tangents()
	var out []geom.Polygon
	keep := func(g geom.Polygon) {
		if g != nil {
			out = append(out, g)
		}
	}
	for _, g := range pieces {
		if !inZone(g, j) {
			out = append(out, g)
			continue
		}
		keep(g.Clip(j.Line[0], along.Left()))           // before the line begins
		keep(g.Clip(j.Line[1], along.Left().Times(-1))) // behind its end
		middle := g.Clip(j.Line[0], along.Left().Times(-1))
		if middle != nil {
			middle = middle.Clip(j.Line[1], along.Left())
		}
		if middle == nil {
			continue
		}
		for k, side := range []float64{-1, 1} {
			across := j.Across.Times(side)
			keep(middle.Clip(t[k][0], across.Left().Times(-1)))
		}
	}
	return out
}

// inZone reports whether the piece reaches into the zone.
func inZone(g geom.Polygon, j Joint) bool {
	shrunk := j.Zone.Inset(geom.Near)
	return shrunk != nil && geom.Apart(g, shrunk) == 0
}

// zonesMeet refuses a face whose parallel bends are so close that their zones
// overlap.
func (d *developer) zonesMeet(i int) {
	var mine []Joint
	for _, j := range d.blank.Joints {
		if j.Faces[0] == i || j.Faces[1] == i {
			mine = append(mine, j)
		}
	}
	for a, j := range mine {
		for _, k := range mine[a+1:] {
			ja, ka := j.Zone.Inset(Snap), k.Zone.Inset(Snap)
			if ja != nil && ka != nil && geom.Apart(ja, ka) == 0 {
				d.refuse(d.facePointer(i), "the zones of bends %s and %s overlap on face %s; move the bends at least %s mm apart or cut a relief where they meet", j.ID, k.ID, d.blank.Faces[i].ID, unit.MM(j.Half()+k.Half()).Text(2))
			}
		}
	}
}

// facePointer is where a face stands in the part's file.
func (d *developer) facePointer(i int) string {
	if d.part.Flat == nil {
		return ""
	}
	for k, f := range d.part.Flat.Faces {
		if f.ID == d.blank.Faces[i].ID {
			return "/flat/faces/" + itoa(k)
		}
	}
	return "/flat/faces"
}

// apart refuses faces that cover the same metal.
func (d *developer) apart() {
	type piece struct {
		face int
		g    geom.Polygon
		low  geom.Point2
		high geom.Point2
	}
	var all []piece
	for i, f := range d.blank.Faces {
		for _, g := range f.Solid {
			if inner := g.Inset(Snap); inner != nil {
				low, high := geom.Bounds(inner...)
				all = append(all, piece{i, inner, low, high})
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].low.X < all[j].low.X })
	for i, p := range all {
		for _, q := range all[i+1:] {
			if q.low.X > p.high.X {
				break
			}
			if p.face != q.face && p.low.Y <= q.high.Y && q.low.Y <= p.high.Y && geom.Apart(p.g, q.g) == 0 {
				d.refuse(d.overlapPointer(), "faces %s and %s overlap in the blank near (%.1f, %.1f); one of them must give way", d.blank.Faces[p.face].ID, d.blank.Faces[q.face].ID, q.low.X, math.Max(p.low.Y, q.low.Y))
				return
			}
		}
	}
}

func (d *developer) overlapPointer() string {
	if d.part.Form() == part.TrayForm {
		return "/tray/walls"
	}
	return "/flat/faces"
}

// outline joins the faces into the outer edge of the blank and its openings.
func (d *developer) outline() {
	loops, ok := union(d.blank.Faces)
	if !ok {
		d.refuse("/flat/faces", "the faces do not join into one outline; neighbouring outlines must meet on the bend line within %v mm", Snap)
		return
	}
	sort.SliceStable(loops, func(i, j int) bool { return math.Abs(loops[i].Area()) > math.Abs(loops[j].Area()) })
	for _, opening := range loops[1:] {
		if opening.Area() > 0 {
			d.refuse("/flat/faces", "the blank is not one piece: something apart from it, or over it, begins at (%.2f, %.2f); joined faces must touch along an edge and must not overlap", opening[0].X, opening[0].Y)
			return
		}
	}
	d.blank.Outline = loops
}
