package calc_test

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
)

// The outsider judges one bend in one brake slowly and with means of its own:
// solids folded here, cut by the sections of the brake, so that what meets does so
// over the stretch where it really reaches in. It knows nothing of benches, shadows,
// classes or careful steps. What it shares with the planner is the blank, the brake
// and the arithmetic of points.

// shape is a convex solid of the part in space, as the polygons that bound it.
type shape struct {
	face   int
	zone   bool // a piece of a bend, not of the flat
	swings bool
	own    bool // it is the flat beside the bend that is being made
	sides  [][]geom.Point3
	core   []geom.Point3 // corners of what formed corners do not give, nil where nothing is left

	low, high geom.Point3 // the box around it
}

// drawnOut is the solid between two equal rings of corners.
func drawnOut(a, b []geom.Point3) [][]geom.Point3 {
	sides := [][]geom.Point3{a, b}
	for i := range a {
		k := (i + 1) % len(a)
		sides = append(sides, []geom.Point3{a[i], a[k], b[k], b[i]})
	}
	return sides
}

// put is the shape where a placement brings it.
func (s shape) put(f geom.Frame) shape {
	sides := make([][]geom.Point3, len(s.sides))
	for i, ring := range s.sides {
		sides[i] = geom.Placed(ring, f)
	}
	s.sides = sides
	if s.core != nil {
		s.core = geom.Placed(s.core, f)
	}
	s.low, s.high = around(append(append([]geom.Point3(nil), sides[0]...), sides[1]...))
	return s
}

// around is the box around points.
func around(points []geom.Point3) (low, high geom.Point3) {
	low, high = points[0], points[0]
	for _, p := range points {
		low = geom.Point3{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
		high = geom.Point3{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
	}
	return low, high
}

// span is the least and the greatest of a coordinate over a shape.
func (s *shape) span(of func(geom.Point3) float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, ring := range s.sides[:2] {
		l, h := geom.Span(ring, of)
		low, high = min(low, l), max(high, h)
	}
	return low, high
}

// within cuts a shape by a section, which runs along the brake without end: it
// gives from where to where along the brake what is left reaches. That is most at
// the surface of the shape, so only its sides are cut.
func (s *shape) within(section []plane) (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range section {
		if p.beyond(s) {
			return low, high, false
		}
	}
	var room, other [24]geom.Point3
	for _, ring := range s.sides {
		to, next := room[:0], other[:0]
		for _, p := range section {
			if to = p.cut(to, ring); len(to) == 0 {
				ring = nil
				break
			}
			ring, to, next = to, next, to
		}
		for _, p := range ring {
			low, high, ok = min(low, p.X), max(high, p.X), true
		}
	}
	return low, high, ok
}

// plane bounds a section: what lies no farther than limit in its direction, y and z,
// is inside.
type plane struct{ y, z, limit float64 }

func (p plane) past(q geom.Point3) float64 { return p.y*q.Y + p.z*q.Z - p.limit }

// beyond reports whether all of the box around a shape lies outside.
func (p plane) beyond(s *shape) bool {
	nearest := geom.Point3{Y: s.low.Y, Z: s.low.Z}
	if p.y < 0 {
		nearest.Y = s.high.Y
	}
	if p.z < 0 {
		nearest.Z = s.high.Z
	}
	return p.past(nearest) > 0
}

// cut keeps what of a ring lies inside, in the room it is given.
func (p plane) cut(out, ring []geom.Point3) []geom.Point3 {
	out = out[:0]
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		atA, atB := p.past(a), p.past(b)
		if atA <= 0 {
			out = append(out, a)
		}
		if (atA < 0 && atB > 0) || (atA > 0 && atB < 0) {
			out = append(out, a.Add(b.Sub(a).Times(atA/(atA-atB))))
		}
	}
	return out
}

// grown are the bounds of a convex section, anticlockwise, that is grown all round
// by a distance, its corners cut square to their middle; below 0 it is made smaller.
func grown(section geom.Polygon, by float64) []plane {
	var edges []plane
	for i, a := range section {
		along := section[(i+1)%len(section)].Sub(a)
		if along.Length() < geom.Near {
			continue
		}
		out := along.Unit().Left().Times(-1)
		edges = append(edges, plane{out.X, out.Y, out.Dot(a) + by})
	}
	all := edges
	for i, e := range edges {
		f := edges[(i+1)%len(edges)]
		m := geom.Point2{X: e.y + f.y, Y: e.z + f.z}
		if by <= 0 || m.Length() < 0.1 {
			continue
		}
		m = m.Unit()
		reach := math.Inf(-1)
		for _, p := range section {
			reach = max(reach, m.Dot(p))
		}
		all = append(all, plane{m.X, m.Y, reach + by})
	}
	return all
}

// folded is a part that is folded here: the faces hang on each other as a tree.
type folded struct {
	blank *flat.Blank
	root  int
	up    []int // by face, the one it hangs on
	via   []int // and the bend between
	order []int // parents first
}

func hung(b *flat.Blank, root int) folded {
	f := folded{blank: b, root: root, up: make([]int, len(b.Faces)), via: make([]int, len(b.Faces)), order: []int{root}}
	for i := range f.via {
		f.up[i], f.via[i] = -1, -1
	}
	for i := 0; i < len(f.order); i++ {
		for j, joint := range b.Joints {
			for end, face := range joint.Faces {
				if next := joint.Faces[1-end]; face == f.order[i] && next != root && f.via[next] < 0 {
					f.up[next], f.via[next] = face, j
					f.order = append(f.order, next)
				}
			}
		}
	}
	return f
}

// over points over the bend by which a face hangs, towards that face.
func (f folded) over(face int) geom.Point3 {
	j := f.blank.Joints[f.via[face]]
	if j.Faces[1] == face {
		return geom.Point3{X: j.Across.X, Y: j.Across.Y}
	}
	return geom.Point3{X: -j.Across.X, Y: -j.Across.Y}
}

// rolled places what lies beyond a bend that is folded by an angle, in radians: the
// zone keeps the length of its neutral line and is a piece of a cylinder, at K of
// the thickness from its inside.
func rolled(j flat.Joint, over geom.Point3, angle float64) geom.Frame {
	if angle == 0 {
		return geom.Fixed
	}
	thick, long := float64(j.Bend.Thickness), float64(j.Bend.Allowance())
	inside := long/angle - j.Bend.K*thick
	side, height := 1.0, thick+inside // which way it folds, and where the axis lies
	if j.Angle < 0 {
		side, height = -1, -inside
	}
	begin := geom.Point3{X: j.Line[0].X, Y: j.Line[0].Y}.Sub(over.Times(long / 2))
	axis := over.Cross(geom.Point3{Z: side})
	return geom.Shift(over.Times(-long)).Then(geom.Rotation(begin.Add(geom.Point3{Z: height}), axis, angle))
}

// frames places every face, the root as it lies in the blank; angle gives that of a
// bend, in radians.
func (f folded) frames(angle func(joint int) float64) []geom.Frame {
	out := make([]geom.Frame, len(f.up))
	out[f.root] = geom.Fixed
	for _, face := range f.order[1:] {
		out[face] = rolled(f.blank.Joints[f.via[face]], f.over(face), angle(f.via[face])).Then(out[f.up[face]])
	}
	return out
}

// finished gives the angle of the bends that have been made, in radians.
func (f folded) finished(made fold.Made) func(int) float64 {
	return func(j int) float64 {
		if made.Has(j) {
			return math.Abs(f.blank.Joints[j].Angle.Rad())
		}
		return 0
	}
}

// flats are the plates of a face as it lies in the blank, with their cores.
func (f folded) flats(face int, skin float64) []shape {
	thick := float64(f.blank.Sheet.Thickness)
	var out []shape
	for _, g := range f.blank.Faces[face].Solid {
		n := len(g)
		ring := geom.Prism(g, 0, thick)
		s := shape{face: face, sides: drawnOut(ring[:n:n], ring[n:])}
		if inner := g.Inset(skin); inner != nil {
			s.core = geom.Prism(inner, min(skin, 0.45*thick), thick-min(skin, 0.45*thick))
		}
		out = append(out, s)
	}
	return out
}

// roundPieces is how many straight pieces a bend is made of here; they lie inside
// the true curve.
const roundPieces = 9

// curve are the pieces of the bend by which a face hangs, folded by an angle in
// radians, where the face that it hangs on lies in the blank.
func (f folded) curve(face int, angle float64) []shape {
	j, over := f.blank.Joints[f.via[face]], f.over(face)
	thick, long := float64(j.Bend.Thickness), float64(j.Bend.Allowance())
	at := func(share, z float64) []geom.Point3 { // a line across the zone, so far into it
		ends := make([]geom.Point3, 0, 2)
		for _, p := range j.Line {
			begin := geom.Point3{X: p.X, Y: p.Y}.Sub(over.Times(long / 2))
			if angle == 0 {
				ends = append(ends, begin.Add(over.Times(long*share)).Add(geom.Point3{Z: z}))
				continue
			}
			inside := long/angle - j.Bend.K*thick
			radius, up := inside+thick-z, 1.0 // z counts from the face that is outside
			if j.Angle < 0 {
				radius, up = inside+z, -1
			}
			axis := begin.Add(geom.Point3{Z: thick + inside})
			if j.Angle < 0 {
				axis.Z = -inside
			}
			ends = append(ends, axis.Add(over.Times(radius*math.Sin(angle*share))).Add(geom.Point3{Z: -up * radius * math.Cos(angle*share)}))
		}
		return ends
	}
	var out []shape
	for i := range roundPieces {
		from, to := float64(i)/roundPieces, float64(i+1)/roundPieces
		a, b, c, d := at(from, 0), at(from, thick), at(to, thick), at(to, 0)
		ring := func(end int) []geom.Point3 { return []geom.Point3{a[end], b[end], c[end], d[end]} }
		out = append(out, shape{face: face, zone: true, sides: drawnOut(ring(0), ring(1))})
	}
	return out
}
