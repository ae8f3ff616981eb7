package flat

import (
	"slices"

	"brakeside/calc/geom"
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
	kept := map[string]bool{}
	for i, f := range b.Faces {
		kept[f.ID] = i != face
	}
	return b.Only(kept)
}

// Only gives the blank with nothing left of it but some faces, which must hang
// together, and the bends between them; the others are cut off on the bend lines.
// The part file it came from stays that of the whole part.
func (b *Blank) Only(ids map[string]bool) (*Blank, error) {
	out := &Blank{Part: b.Part, Sheet: b.Sheet, Making: b.Making, rounds: slices.Clone(b.rounds)}
	number := make([]int, len(b.Faces))
	for i, f := range b.Faces {
		if number[i] = -1; ids[f.ID] {
			number[i] = len(out.Faces)
			out.Faces = append(out.Faces, copied(f))
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

// copied is a face of which nothing is worked out yet.
func copied(f Face) Face {
	out := Face{ID: f.ID, Word: f.Word, Aliases: f.Aliases}
	for _, g := range f.Pieces {
		out.Pieces = append(out.Pieces, slices.Clone(g))
	}
	for _, o := range f.Openings {
		o.Outline = slices.Clone(o.Outline)
		out.Openings = append(out.Openings, o)
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
