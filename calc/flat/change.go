package flat

import (
	"slices"

	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Leaves lists the faces that hang on a single bend, or on the pieces of one.
func (b *Blank) Leaves() []int {
	var out []int
	for f := range b.Faces {
		neighbours := map[int]bool{}
		for _, j := range b.Joints {
			if j.Faces[0] == f {
				neighbours[j.Faces[1]] = true
			}
			if j.Faces[1] == f {
				neighbours[j.Faces[0]] = true
			}
		}
		if len(neighbours) == 1 {
			out = append(out, f)
		}
	}
	return out
}

// Without gives the blank with one of its Leaves cut off on the bend line. The
// part file it came from stays that of the whole part.
func (b *Blank) Without(face int) (*Blank, error) {
	out := &Blank{Part: b.Part, Sheet: b.Sheet, Making: b.Making, rounds: b.movedRounds(stay)}
	for i, f := range b.Faces {
		if i != face {
			out.Faces = append(out.Faces, copied(f, stay))
		}
	}
	for _, j := range b.Joints {
		if j.Faces[0] == face || j.Faces[1] == face {
			continue
		}
		for k, f := range j.Faces {
			if f > face {
				j.Faces[k]--
			}
		}
		out.Joints = append(out.Joints, j)
	}
	return out.rebuilt()
}

// Only gives the blank with nothing left of it but some faces, which must hang
// together, and the bends between them; the others are cut off on the bend lines.
// The part file it came from stays that of the whole part.
func (b *Blank) Only(ids map[string]bool) (*Blank, error) {
	out := &Blank{Part: b.Part, Sheet: b.Sheet, Making: b.Making, rounds: b.movedRounds(stay)}
	number := make([]int, len(b.Faces))
	for i, f := range b.Faces {
		if number[i] = -1; ids[f.ID] {
			number[i] = len(out.Faces)
			out.Faces = append(out.Faces, copied(f, stay))
		}
	}
	for _, j := range b.Joints {
		j.Faces = [2]int{number[j.Faces[0]], number[j.Faces[1]]}
		if j.Faces[0] >= 0 && j.Faces[1] >= 0 {
			out.Joints = append(out.Joints, j)
		}
	}
	return out.rebuilt()
}

// Stretched gives the blank made longer by a length: everything beyond a line
// square to a direction is moved that way. The direction must have length 1.
func (b *Blank) Stretched(through, direction geom.Point2, by unit.MM) (*Blank, error) {
	move := func(p geom.Point2) geom.Point2 {
		if direction.Dot(p.Sub(through)) <= 0 {
			return p
		}
		return p.Add(direction.Times(float64(by)))
	}
	out := &Blank{Part: b.Part, Sheet: b.Sheet, Making: b.Making, rounds: b.movedRounds(move)}
	for _, f := range b.Faces {
		out.Faces = append(out.Faces, copied(f, move))
	}
	for _, j := range b.Joints {
		j.Line = [2]geom.Point2{move(j.Line[0]), move(j.Line[1])}
		out.Joints = append(out.Joints, j)
	}
	return out.rebuilt()
}

// Turned gives the blank with one bend folded the other way, or less far: the
// angle is signed as in Joint.Angle.
func (b *Blank) Turned(joint int, angle unit.Deg) (*Blank, error) {
	out := &Blank{Part: b.Part, Sheet: b.Sheet, Making: b.Making, rounds: b.movedRounds(stay)}
	for _, f := range b.Faces {
		out.Faces = append(out.Faces, copied(f, stay))
	}
	out.Joints = slices.Clone(b.Joints)
	out.Joints[joint].Angle = angle
	out.Joints[joint].Bend.Angle = max(angle, -angle)
	return out.rebuilt()
}

// Middle is the middle of a face along a direction, and how far it reaches to
// each side of that.
func (b *Blank) Middle(face int, direction geom.Point2) (middle geom.Point2, half float64) {
	var all []geom.Point2
	for _, g := range b.Faces[face].Pieces {
		all = append(all, g...)
	}
	low, high := all[0], all[0]
	for _, p := range all {
		if direction.Dot(p) < direction.Dot(low) {
			low = p
		}
		if direction.Dot(p) > direction.Dot(high) {
			high = p
		}
	}
	return low.Add(high).Times(0.5), direction.Dot(high.Sub(low)) / 2
}

func copied(f Face, move func(geom.Point2) geom.Point2) Face {
	out := Face{ID: f.ID, Word: f.Word, Aliases: f.Aliases}
	for _, g := range f.Pieces {
		moved := make(geom.Polygon, len(g))
		for i, p := range g {
			moved[i] = move(p)
		}
		out.Pieces = append(out.Pieces, moved)
	}
	for _, o := range f.Openings {
		outline := make(geom.Polygon, len(o.Outline))
		for i, p := range o.Outline {
			outline[i] = move(p)
		}
		o.Outline, o.Centre = outline, move(o.Centre)
		out.Openings = append(out.Openings, o)
	}
	return out
}

// stay is the move that changes nothing.
func stay(p geom.Point2) geom.Point2 { return p }

func (b *Blank) movedRounds(move func(geom.Point2) geom.Point2) []round {
	out := make([]round, len(b.rounds))
	for i, r := range b.rounds {
		out[i] = round{move(r.centre), r.radius}
	}
	return out
}

// rebuilt works out again what follows from faces and joints.
func (b *Blank) rebuilt() (*Blank, error) {
	d := &developer{part: b.Part, sheet: b.Sheet, blank: b}
	d.finish()
	if d.err != nil {
		return nil, d.err
	}
	b.punched()
	return b, nil
}

// CutBack gives the blank with one face of a bend cut back to the bend line,
// as far as it reaches past it beside the bend. It reports false when nothing
// is to be cut.
func (b *Blank) CutBack(joint, side int) (*Blank, bool) {
	j := b.Joints[joint]
	face, out := j.Faces[side], j.Across
	if side == 1 {
		out = out.Times(-1)
	}
	changed := &Blank{Part: b.Part, Sheet: b.Sheet, Making: b.Making, Joints: slices.Clone(b.Joints), rounds: b.movedRounds(stay)}
	cut := false
	for i, f := range b.Faces {
		c := copied(f, stay)
		if i == face {
			c.Pieces = nil
			for _, g := range f.Pieces {
				kept, shorter := behind(g, j.Line[0], out)
				cut = cut || shorter
				c.Pieces = append(c.Pieces, kept...)
			}
		}
		changed.Faces = append(changed.Faces, c)
	}
	if !cut {
		return nil, false
	}
	_, err := changed.rebuilt()
	return changed, err == nil
}

// behind keeps what of a polygon does not lie beyond a line, and tells whether
// anything did.
func behind(g geom.Polygon, through, out geom.Point2) (kept []geom.Polygon, shorter bool) {
	pieces, ok := geom.Pieces(g)
	if !ok {
		return []geom.Polygon{g}, false
	}
	for _, p := range pieces {
		c := p.Clip(through, out.Left())
		if c == nil {
			shorter = true
			continue
		}
		shorter = shorter || p.Area()-c.Area() > 1
		kept = append(kept, c)
	}
	return kept, shorter
}
