// Package fold tells where every face is when some of the bends have been
// made.
//
// A blank lies in the plane of its face B: x and y as in the blank, z from 0 at
// face B to the thickness at face A. A made bend is a cylinder: the part behind
// it is drawn back by the bend allowance and turned about the axis of the
// cylinder, which stands the inside radius away from the inner face. Where a
// face lies does not depend on the order in which the bends were made.
package fold

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
)

// Made is the set of bends made, one bit for each joint of the blank.
type Made uint64

// MostJoints is the largest number of joints that a Made can hold.
const MostJoints = 64

// Has reports whether the joint has been bent.
func (m Made) Has(joint int) bool { return m&(1<<joint) != 0 }

// With gives the set with a joint added.
func (m Made) With(joint int) Made { return m | 1<<joint }

// All is the set of the first n joints.
func All(n int) Made { return Made(1)<<n - 1 }

// Tree is the blank seen from one face: which joint leads to each other face.
type Tree struct {
	blank *flat.Blank
	Root  int
	Order []int  // faces, each behind the one it hangs on, the root first
	Via   []int  // the joint by which a face hangs on its parent, -1 for the root
	Up    []int  // the parent of a face, -1 for the root
	Path  []Made // the joints between the root and the face
}

// NewTree hangs the blank on one of its faces.
func NewTree(b *flat.Blank, root int) *Tree {
	n := len(b.Faces)
	t := &Tree{blank: b, Root: root, Via: make([]int, n), Up: make([]int, n), Path: make([]Made, n)}
	for i := range t.Via {
		t.Via[i], t.Up[i] = -1, -1
	}
	seen := make([]bool, n)
	seen[root] = true
	t.Order = []int{root}
	for at := 0; at < len(t.Order); at++ {
		f := t.Order[at]
		for k, j := range b.Joints {
			next := -1
			switch f {
			case j.Faces[0]:
				next = j.Faces[1]
			case j.Faces[1]:
				next = j.Faces[0]
			}
			if next < 0 || seen[next] {
				continue
			}
			seen[next] = true
			t.Via[next], t.Up[next] = k, f
			t.Path[next] = t.Path[f].With(k)
			t.Order = append(t.Order, next)
		}
	}
	return t
}

// Place gives the placement of every face when the bends of made have been
// made, the root staying where it lies in the blank.
func (t *Tree) Place(made Made) []geom.Frame {
	out := make([]geom.Frame, len(t.blank.Faces))
	out[t.Root] = geom.Fixed
	for _, f := range t.Order[1:] {
		out[f] = t.Hinge(f, made).Then(out[t.Up[f]])
	}
	return out
}

// PlaceAt gives the placement of every face when every bend is made in part: 0 is
// flat, 1 the full angle. The root stays where it lies in the blank.
func (t *Tree) PlaceAt(share func(joint int) float64) []geom.Frame {
	out := make([]geom.Frame, len(t.blank.Faces))
	out[t.Root] = geom.Fixed
	for _, f := range t.Order[1:] {
		out[f] = t.partial(f, share(t.Via[f])).Then(out[t.Up[f]])
	}
	return out
}

// Hinge gives the placement of a face relative to the face it hangs on.
func (t *Tree) Hinge(face int, made Made) geom.Frame {
	if !made.Has(t.Via[face]) {
		return geom.Fixed
	}
	return t.partial(face, 1)
}

// partial gives the placement of a face when its bend is made in part: share 0
// is flat, 1 is the full angle. The bend zone curls evenly, at the length it
// has when finished.
func (t *Tree) partial(face int, share float64) geom.Frame {
	j := t.blank.Joints[t.Via[face]]
	across := j.Across
	if j.Faces[1] == t.Up[face] {
		across = across.Times(-1)
	}
	return Curl(j, across, share)
}

// Curl gives the placement of what lies behind a bend that is made in part.
// Across points over the bend, away from what stays.
func Curl(j flat.Joint, across geom.Point2, share float64) geom.Frame {
	angle := math.Abs(j.Angle.Rad()) * share
	if angle == 0 {
		return geom.Fixed
	}
	allowance := 2 * j.Half()
	neutral := allowance / angle // radius of the neutral line, longer while the bend is shallow
	inside := neutral - j.Bend.K*float64(j.Bend.Thickness)
	start := j.Line[0].Sub(across.Times(j.Half()))
	axis := geom.Point3{X: start.X, Y: start.Y, Z: float64(j.Bend.Thickness) + inside}
	rise := geom.Point3{Z: 1}
	if !j.Up() {
		axis.Z, rise.Z = -inside, -1
	}
	over := geom.Point3{X: across.X, Y: across.Y}
	back := geom.Shift(over.Times(-allowance))
	return back.Then(geom.Rotation(axis, over.Cross(rise), angle))
}

// Solids gives the convex bodies of every face where made puts them, as sets of
// corners.
func (t *Tree) Solids(made Made) [][][]geom.Point3 {
	frames := t.Place(made)
	bodies, corners := 0, 0
	for _, f := range t.blank.Faces {
		bodies += len(f.Solid)
		for _, g := range f.Solid {
			corners += 2 * len(g)
		}
	}
	out := make([][][]geom.Point3, len(frames))
	list, places := make([][]geom.Point3, 0, bodies), make([]geom.Point3, 0, corners)
	for i, f := range t.blank.Faces {
		thick := frames[i].Z.Times(float64(t.blank.Sheet.Thickness))
		first := len(list)
		for _, g := range f.Solid {
			from := len(places)
			for _, p := range g {
				places = append(places, frames[i].Place(geom.Point3{X: p.X, Y: p.Y}))
			}
			for k := range g {
				places = append(places, places[from+k].Add(thick))
			}
			list = append(list, places[from:len(places):len(places)])
		}
		out[i] = list[first:len(list):len(list)]
	}
	return out
}

// zoneStep is the largest angle of one straight piece of a curved bend zone.
const zoneStep = math.Pi / 6

// Zone gives the convex bodies that cover the bend zone of a joint, in the
// blank's own coordinates as seen from the face where across comes from. A made
// zone is covered by wedges whose outer faces touch the cylinder from outside.
func Zone(j flat.Joint, across geom.Point2, made bool) [][]geom.Point3 {
	thick := float64(j.Bend.Thickness)
	if !made {
		return [][]geom.Point3{geom.Prism(j.Zone, 0, thick)}
	}
	return curved(j, across, zoneStep)
}

// curved covers a made bend zone by wedges of no more than an angle each.
func curved(j flat.Joint, across geom.Point2, most float64) [][]geom.Point3 {
	angle := math.Abs(j.Angle.Rad())
	steps := int(math.Ceil(angle/most - 1e-9))
	var out [][]geom.Point3
	for k := 0; k < steps; k++ {
		out = append(out, wedge(j, across, angle*float64(k)/float64(steps), angle*float64(k+1)/float64(steps)))
	}
	return out
}

// wedge covers the part of a cylinder between two angles: the corners at one end of
// the line, then those at the other.
func wedge(j flat.Joint, across geom.Point2, from, to float64) []geom.Point3 {
	thick, inside := float64(j.Bend.Thickness), float64(j.Bend.Radius)
	corner := (inside + thick) / math.Cos((to-from)/2) // where the outer tangents of both ends cross
	middle := (from + to) / 2
	start := across.Times(-j.Half())
	var out []geom.Point3
	for _, end := range j.Line {
		for _, p := range [...]struct{ radius, angle float64 }{
			{inside, from}, {inside + thick, from}, {corner, middle}, {inside + thick, to}, {inside, to},
		} {
			sin, cos := math.Sincos(p.angle)
			over, height := p.radius*sin, thick+inside-p.radius*cos
			if !j.Up() {
				height = thick - height
			}
			at := end.Add(start).Add(across.Times(over))
			out = append(out, geom.Point3{X: at.X, Y: at.Y, Z: height})
		}
	}
	return out
}
