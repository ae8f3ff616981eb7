package flat

import (
	"cmp"
	"math"
	"slices"
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
	zones := make([][4]geom.Point2, len(b.Joints))
	for i := range b.Joints {
		j := &b.Joints[i]
		j.orient(b.Faces)
		zones[i] = j.within(0)
		j.Zone = zones[i][:]
	}
	d.boxZones()
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
	low, high := geom.Bounds()
	for _, f := range b.Faces {
		for _, g := range f.Pieces {
			l, h := geom.Bounds(g...)
			low = geom.Point2{X: min(low.X, l.X), Y: min(low.Y, l.Y)}
			high = geom.Point2{X: max(high.X, h.X), Y: max(high.Y, h.Y)}
		}
	}
	for _, f := range b.Faces {
		for _, g := range f.Pieces {
			for i := range g {
				g[i] = g[i].Sub(low)
			}
		}
		for k, o := range f.Openings {
			for i := range o.Outline {
				o.Outline[i] = o.Outline[i].Sub(low)
			}
			f.Openings[k].Centre = o.Centre.Sub(low)
		}
	}
	for i := range b.rounds {
		b.rounds[i].centre = b.rounds[i].centre.Sub(low)
	}
	for i := range b.Joints {
		for k := range b.Joints[i].Line {
			b.Joints[i].Line[k] = b.Joints[i].Line[k].Sub(low)
		}
	}
	b.Width, b.Height = unit.MM(high.X-low.X), unit.MM(high.Y-low.Y)
}

// orient sets the direction across the bend.
func (j *Joint) orient(faces []Face) {
	out, _ := outward(&faces[j.Faces[0]], j.Line)
	along := j.Line[1].Sub(j.Line[0]).Unit()
	j.Across = along.Left()
	if out.Dot(j.Across) < 0 {
		j.Across = j.Across.Times(-1)
	}
}

// solid cuts a face into convex pieces and takes the bend zones off them.
func (d *developer) solid(i int) {
	f := &d.blank.Faces[i]
	f.Solid = make([]geom.Polygon, 0, len(f.Pieces)+2)
	for _, g := range f.Pieces {
		pieces, ok := geom.Pieces(g)
		if !ok {
			d.refuse(d.facePointer(i), "the outline of face %s does not bound an area", f.ID)
			return
		}
		f.Solid = append(f.Solid, pieces...)
	}
	for k, j := range d.blank.Joints {
		if j.Faces[0] == i || j.Faces[1] == i {
			f.Solid = d.without(f.Solid, k)
		}
	}
	if len(f.Solid) == 0 {
		d.refuse(d.facePointer(i), "face %s is used up by its bends; make it wider", f.ID)
	}
	d.zonesMeet(i)
}

// without takes the zone of a bend off convex pieces: what lies beside the
// zone stays, what lies before it is cut at the tangent. A strip beside it that is
// narrower than Snap is no strip: corner and end of the line are meant as one.
func (d *developer) without(pieces []geom.Polygon, joint int) []geom.Polygon {
	j := &d.blank.Joints[joint]
	along := j.Line[1].Sub(j.Line[0]).Unit()
	t := j.Tangents()
	out := make([]geom.Polygon, 0, len(pieces)+2)
	keep := func(g geom.Polygon) {
		if g != nil {
			out = append(out, g)
		}
	}
	for _, g := range pieces {
		if !d.inZone(g, joint) {
			out = append(out, g)
			continue
		}
		middle, low, high := g, along.Dot(j.Line[0]), along.Dot(j.Line[1])
		begins, ends := reach(g, along)
		if low-begins > Snap {
			keep(g.Clip(j.Line[0], along.Left()))
			middle = middle.Clip(j.Line[0], along.Left().Times(-1))
		}
		if ends-high > Snap {
			keep(g.Clip(j.Line[1], along.Left().Times(-1)))
			if middle != nil {
				middle = middle.Clip(j.Line[1], along.Left())
			}
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

// reach is how far a polygon reaches in a direction.
func reach(g geom.Polygon, direction geom.Point2) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range g {
		low, high = min(low, direction.Dot(p)), max(high, direction.Dot(p))
	}
	return low, high
}

// zone is a bend zone as the checks of a blank look at it.
type zone struct {
	low, high    geom.Point2    // the box around it
	tight, loose [4]geom.Point2 // made smaller by a rounding, and by Snap
	slender      bool           // nothing is left of it when made smaller by Snap
}

func (d *developer) boxZones() {
	d.zones = make([]zone, len(d.blank.Joints))
	for i, j := range d.blank.Joints {
		low, high := geom.Bounds(j.Zone...)
		d.zones[i] = zone{low, high, j.within(geom.Near), j.within(Snap), min(2*j.Half(), float64(j.Length())) <= 2*Snap}
	}
}

// within is the bend zone made smaller all round, anticlockwise.
func (j Joint) within(by float64) [4]geom.Point2 {
	along := j.Line[1].Sub(j.Line[0]).Unit()
	out, in := along.Left().Times(j.Half()-by), along.Times(by)
	a, b := j.Line[0].Add(in), j.Line[1].Sub(in)
	return [4]geom.Point2{a.Sub(out), b.Sub(out), b.Add(out), a.Add(out)}
}

// inZone reports whether the piece reaches into the zone.
func (d *developer) inZone(g geom.Polygon, joint int) bool {
	z := &d.zones[joint]
	low, high := geom.Bounds(g...)
	if low.X > z.high.X || z.low.X > high.X || low.Y > z.high.Y || z.low.Y > high.Y {
		return false
	}
	return geom.Apart(g, z.tight[:]) == 0
}

// zonesMeet refuses a face whose parallel bends are so close that their zones
// overlap.
func (d *developer) zonesMeet(i int) {
	for a, j := range d.blank.Joints {
		if j.Faces[0] != i && j.Faces[1] != i {
			continue
		}
		for b, k := range d.blank.Joints[:a] {
			if k.Faces[0] != i && k.Faces[1] != i {
				continue
			}
			if d.zonesOverlap(a, b) {
				d.refuse(d.facePointer(i),
					"the zones of bends %s and %s overlap on face %s; move the bends at least %s mm apart or cut a relief where they meet",
					k.ID, j.ID, d.blank.Faces[i].ID, unit.MM(j.Half()+k.Half()).Text(2))
			}
		}
	}
}

func (d *developer) zonesOverlap(a, b int) bool {
	y, z := &d.zones[a], &d.zones[b]
	if y.low.X > z.high.X || z.low.X > y.high.X || y.low.Y > z.high.Y || z.low.Y > y.high.Y {
		return false
	}
	return !y.slender && !z.slender && geom.Apart(y.loose[:], z.loose[:]) == 0
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

// plate is one convex piece of a face and the box around it.
type plate struct {
	face      int
	g         geom.Polygon
	low, high geom.Point2
}

// apart refuses faces that cover the same metal.
func (d *developer) apart() {
	all := make([]plate, 0, 2*len(d.blank.Faces))
	for i, f := range d.blank.Faces {
		for _, g := range f.Solid {
			low, high := geom.Bounds(g...)
			all = append(all, plate{i, g, low, high})
		}
	}
	order := make([]int32, len(all))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(p, q int32) int { return cmp.Compare(all[p].low.X, all[q].low.X) })
	for i, k := range order {
		p := &all[k]
		for _, n := range order[i+1:] {
			q := &all[n]
			if q.low.X > p.high.X-Snap {
				break
			}
			if p.face != q.face && p.low.Y < q.high.Y-Snap && q.low.Y < p.high.Y-Snap && overlap(p.g, q.g) {
				d.refuse(d.overlapPointer(), "faces %s and %s overlap in the blank near (%.1f, %.1f); one of them must give way",
					d.blank.Faces[p.face].ID, d.blank.Faces[q.face].ID, q.low.X, math.Max(p.low.Y, q.low.Y))
				return
			}
		}
	}
}

// overlap reports whether two pieces overlap by more than corners that are
// meant as one may.
func overlap(g, h geom.Polygon) bool {
	if geom.Apart(g, h) > 0 {
		return false
	}
	g, h = g.Inset(Snap), h.Inset(Snap)
	return g != nil && h != nil && geom.Apart(g, h) == 0
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
			d.refuse("/flat/faces", "the blank is not one piece: something apart from it, or over it, begins at (%.2f, %.2f); joined faces must "+
				"touch along an edge and must not overlap", opening[0].X, opening[0].Y)
			return
		}
	}
	d.blank.Outline = loops
	d.blank.curves()
}
