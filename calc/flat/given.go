package flat

import (
	"fmt"
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// Snap is how far apart two corners of a drawn blank may lie and still be
// meant as one: drawings are written to a hundredth of a millimetre.
const Snap = 0.02

// flat takes a blank as it is drawn.
func (d *developer) flat(f *part.Flat) {
	d.givenFaces(f)
	for i, b := range f.Bends {
		d.givenBend(fmt.Sprintf("/flat/bends/%d", i), b)
	}
	if d.err == nil {
		d.tree()
	}
}

// givenFaces groups the joined pieces into faces.
func (d *developer) givenFaces(f *part.Flat) {
	count := 0
	for _, face := range f.Faces {
		count += len(face.Outline)
	}
	snap := newCorners(count)
	index := map[string]int{}
	for i, face := range f.Faces {
		g, at := snap.outline(face.Outline)
		if k, message := mistake(g); message != "" {
			d.refuse(fmt.Sprintf("/flat/faces/%d/outline/%d", i, at[k]), "%s", message)
		}
		into := group(f.Joined, face.ID, index)
		if into < 0 {
			into = len(d.blank.Faces)
			d.blank.Faces = append(d.blank.Faces, Face{ID: face.ID, Word: face.ID})
		} else {
			d.blank.Faces[into].Aliases = append(d.blank.Faces[into].Aliases, face.ID)
		}
		index[face.ID] = into
		d.blank.Faces[into].Pieces = append(d.blank.Faces[into].Pieces, anticlockwise(g))
	}
}

// group finds the face that a piece belongs to by following the joined pairs
// from it to any piece that already has a place; -1 if there is none.
func group(joined [][2]string, id string, index map[string]int) int {
	reached := map[string]bool{id: true}
	for grew := true; grew; {
		grew = false
		for _, pair := range joined {
			if reached[pair[0]] != reached[pair[1]] {
				reached[pair[0]], reached[pair[1]], grew = true, true, true
			}
		}
	}
	for other, at := range index {
		if reached[other] {
			return at
		}
	}
	return -1
}

// outline snaps corners and leaves out those of a fine curve that become one;
// at tells which corner as drawn each one was. A corner that is drawn twice is
// kept twice.
func (c *corners) outline(drawn [][2]unit.MM) (g geom.Polygon, at []int) {
	for i, p := range drawn {
		q := c.points[c.number(geom.Point2{X: float64(p[0]), Y: float64(p[1])})]
		if n := len(g); n > 0 && (q == g[n-1] && p != drawn[i-1] || i == len(drawn)-1 && q == g[0] && p != drawn[0]) {
			continue
		}
		g, at = append(g, q), append(at, i)
	}
	return g, at
}

// mistake words what is wrong with an outline, and at which corner.
func mistake(g geom.Polygon) (at int, message string) {
	for i, p := range g {
		q := g[(i+1)%len(g)]
		if q.Sub(p).Length() < geom.Near {
			return i, fmt.Sprintf("(%.2f, %.2f) stands twice in a row; every edge needs a length", p.X, p.Y)
		}
	}
	if i, j, cross := g.Crossing(); cross {
		return i, fmt.Sprintf("the edge from (%.2f, %.2f) meets the edge from (%.2f, %.2f); an outline must not cross or touch itself",
			g[i].X, g[i].Y, g[j].X, g[j].Y)
	}
	return 0, ""
}

// givenBend finds the edges of both faces that lie on the bend line.
func (d *developer) givenBend(pointer string, b part.FlatBend) {
	if d.err != nil {
		return
	}
	line := [2]geom.Point2{}
	for i, p := range b.Line {
		line[i] = geom.Point2{X: float64(p[0]), Y: float64(p[1])}
	}
	faces := [2]int{d.blank.FaceIndex(b.Between[0]), d.blank.FaceIndex(b.Between[1])}
	if faces[0] == faces[1] {
		d.refuse(pointer+"/between", "%s and %s are joined into one flat face, so no bend can lie between them", b.Between[0], b.Between[1])
		return
	}
	for i, f := range faces {
		if out, ok := outward(&d.blank.Faces[f], line); !ok {
			d.refuse(pointer+"/line", "does not lie on an edge of face %s, from (%.2f, %.2f) to (%.2f, %.2f)",
				b.Between[i], line[0].X, line[0].Y, line[1].X, line[1].Y)
			return
		} else if i == 1 {
			if first, _ := outward(&d.blank.Faces[faces[0]], line); first.Dot(out) > 0 {
				d.refuse(pointer+"/between", "faces %s and %s lie on the same side of the bend line", b.Between[0], b.Between[1])
				return
			}
		}
	}
	s := d.hemmed(b.ID, b.Angle, b.Hem)
	if b.Hem == part.NoHem {
		s = d.signed(b.ID, b.Angle, b.Radius)
	}
	d.joint(b.ID, bendWord(b), faces, line, s)
}

// outward gives the direction out of the face across the line, if edges of the
// face cover the line.
func outward(f *Face, line [2]geom.Point2) (geom.Point2, bool) {
	along := line[1].Sub(line[0])
	long := along.Length()
	along = along.Times(1 / long)
	covered, out := 0.0, geom.Point2{}
	for _, g := range f.Pieces {
		for i, p := range g {
			q := g[(i+1)%len(g)]
			if math.Abs(along.Cross(p.Sub(line[0]))) > Snap || math.Abs(along.Cross(q.Sub(line[0]))) > Snap {
				continue
			}
			a, b := along.Dot(p.Sub(line[0])), along.Dot(q.Sub(line[0]))
			if overlap := math.Min(math.Max(a, b), long) - math.Max(math.Min(a, b), 0); overlap > 0 {
				covered += overlap
				out = q.Sub(p).Unit().Left().Times(-1)
			}
		}
	}
	return out, covered > long-4*Snap
}

// tree makes sure that the bends join all faces, and each but one way.
func (d *developer) tree() {
	root := make([]int, len(d.blank.Faces))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			i = root[i]
		}
		return i
	}
	for i, j := range d.blank.Joints {
		a, b := find(j.Faces[0]), find(j.Faces[1])
		if a == b && !d.twin(i) {
			d.refuse(fmt.Sprintf("/flat/bends/%d", i),
				"closes a ring of faces, which a flat sheet cannot be folded into; leave one bend out and join there after bending")
			return
		}
		root[a] = b
	}
	for i, f := range d.blank.Faces {
		if find(i) != find(0) {
			d.refuse("/flat/faces", "face %s does not hang together with face %s; add the bend or the joined pair between them",
				f.ID, d.blank.Faces[0].ID)
		}
	}
}

// twin reports whether an earlier bend joins the same two faces on the same
// line: the two are one bend with a gap in it.
func (d *developer) twin(i int) bool {
	j := d.blank.Joints[i]
	for _, k := range d.blank.Joints[:i] {
		same := k.Faces == j.Faces || k.Faces == [2]int{j.Faces[1], j.Faces[0]}
		along := k.Line[1].Sub(k.Line[0]).Unit()
		if same && k.Angle == j.Angle && k.Bend.Radius == j.Bend.Radius && math.Abs(along.Cross(j.Line[0].Sub(k.Line[0]))) < Snap &&
			math.Abs(along.Cross(j.Line[1].Sub(k.Line[0]))) < Snap {
			return true
		}
	}
	return false
}
