package fold

import (
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Give is how far two plates of one part may nominally run into each other
// before it counts: formed corners give that much (common practice, no source).
const Give unit.MM = 0.6

// Meeting is two faces that run through each other when every bend is made.
type Meeting struct {
	Faces [2]int
	// Shorter is the one of the two that parts them when it is made shorter by
	// By, measured from its bend; -1 when shortening one face does not.
	Shorter int
	By      unit.MM
}

// Meet looks for faces of the finished part that run through each other, sheet
// through sheet, and gives the first pair. A part of more than MostJoints
// bends is not looked at.
func Meet(b *flat.Blank) (Meeting, bool) {
	if len(b.Joints) > MostJoints {
		return Meeting{}, false
	}
	f := finished{blank: b, tree: NewTree(b, 0)}
	f.frames = f.tree.Place(All(len(b.Joints)))
	for i := range b.Faces {
		f.bodies = append(f.bodies, f.eroded(i, b.Faces[i].Solid))
	}
	for i := range b.Faces {
		for k := i + 1; k < len(b.Faces); k++ {
			if f.neighbours(i, k) || !meet(f.bodies[i], f.bodies[k]) {
				continue
			}
			m := Meeting{Faces: [2]int{i, k}, Shorter: -1}
			f.cure(&m)
			return m, true
		}
	}
	return Meeting{}, false
}

// finished is a part with every bend made.
type finished struct {
	blank  *flat.Blank
	tree   *Tree
	frames []geom.Frame
	bodies [][]body // by face
}

// body is a convex body and the box around it.
type body struct {
	corners   []geom.Point3
	low, high geom.Point3
}

// eroded gives plates made smaller all round by half of Give.
func (f *finished) eroded(face int, plates []geom.Polygon) []body {
	thick, by := float64(f.blank.Sheet.Thickness), float64(Give)/2
	skin := min(by, 0.45*thick)
	var out []body
	for _, g := range plates {
		inner := g.Inset(by)
		if inner == nil {
			continue
		}
		b := body{corners: geom.Placed(geom.Prism(inner, skin, thick-skin), f.frames[face])}
		b.low, b.high = b.corners[0], b.corners[0]
		for _, p := range b.corners[1:] {
			b.low = geom.Point3{X: min(b.low.X, p.X), Y: min(b.low.Y, p.Y), Z: min(b.low.Z, p.Z)}
			b.high = geom.Point3{X: max(b.high.X, p.X), Y: max(b.high.Y, p.Y), Z: max(b.high.Z, p.Z)}
		}
		out = append(out, b)
	}
	return out
}

func meet(a, b []body) bool {
	for i := range a {
		for k := range b {
			if a[i].near(&b[k]) && geom.Separation(a[i].corners, b[k].corners) == 0 {
				return true
			}
		}
	}
	return false
}

// near reports whether the boxes around two bodies meet.
func (b *body) near(c *body) bool {
	return b.low.X <= c.high.X && c.low.X <= b.high.X && b.low.Y <= c.high.Y && c.low.Y <= b.high.Y &&
		b.low.Z <= c.high.Z && c.low.Z <= b.high.Z
}

// neighbours reports whether a bend lies between two faces.
func (f *finished) neighbours(a, c int) bool { return f.tree.Up[a] == c || f.tree.Up[c] == a }

// cure finds which of two faces parts them with the least shortening. Only an
// outer face can simply be made shorter.
func (f *finished) cure(m *Meeting) {
	for _, face := range f.blank.Leaves() {
		if face != m.Faces[0] && face != m.Faces[1] || f.tree.Via[face] < 0 {
			continue
		}
		other := m.Faces[0] + m.Faces[1] - face
		if by, ok := f.shorter(face, other); ok && (m.Shorter < 0 || by < m.By) {
			m.Shorter, m.By = face, by
		}
	}
}

// hundredth is how closely a shortening is found, in millimetres.
const hundredth = 0.01

// shorter finds by halving how much a face must be shortened to part from
// another; false when nothing would be left of it.
func (f *finished) shorter(face, other int) (unit.MM, bool) {
	j := f.blank.Joints[f.tree.Via[face]]
	out := j.Across
	if j.Faces[0] == face {
		out = out.Times(-1)
	}
	middle, half := f.blank.Middle(face, out)
	tip := middle.Add(out.Times(half))
	clear := func(by float64) bool {
		var cut []geom.Polygon
		for _, g := range f.blank.Faces[face].Solid {
			if c := g.Clip(tip.Sub(out.Times(by)), out.Left()); c != nil {
				cut = append(cut, c)
			}
		}
		return !meet(f.eroded(face, cut), f.bodies[other])
	}
	low, high := 0.0, 2*half-j.Half()
	if !clear(high - 1) {
		return 0, false
	}
	for high -= 1; high-low > hundredth; {
		if middle := (low + high) / 2; clear(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return unit.MM(high), true
}
