package fold

import (
	"math"

	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Give is how deep two flats of one part may nominally lie in each other before
// it counts: five times the hundredth of a millimetre that drawings are written
// to. Flat sheet does not give as a formed corner does.
const Give unit.MM = 0.05

// CurveGives is how deep a flat may nominally lie in the curve of a bend, which
// never comes as round as it is drawn (common practice, no source).
const CurveGives unit.MM = 0.2

// Meeting is a face that runs through another one, or through the curve of a
// bend, when every bend is made.
type Meeting struct {
	Face, Other int // Other is -1 where it is a curve
	Bend        int // whose curve, -1 where it is a face
	// Shorter is the one of the faces that parts them when it is made shorter by
	// By, measured from its bend; -1 when shortening one face does not.
	Shorter int
	By      unit.MM
}

// Meet looks for faces of the finished part that run through each other, or
// through a curve, sheet through sheet, and gives the first pair. A part of more
// than MostJoints bends is not looked at.
func Meet(b *flat.Blank) (Meeting, bool) {
	if len(b.Joints) > MostJoints {
		return Meeting{}, false
	}
	f := finished{blank: b, tree: NewTree(b, 0)}
	f.frames = f.tree.Place(All(len(b.Joints)))
	var cores [][]body // of the faces, where they may lie in a curve
	for i := range b.Faces {
		f.bodies = append(f.bodies, f.eroded(i, b.Faces[i].Solid, Give))
		cores = append(cores, f.eroded(i, b.Faces[i].Solid, CurveGives))
	}
	for i := range b.Faces {
		for k := i + 1; k < len(b.Faces); k++ {
			if !f.neighbours(i, k) && meet(f.bodies[i], f.bodies[k]) {
				return f.cured(Meeting{Face: i, Other: k, Bend: -1}), true
			}
		}
	}
	for k, j := range b.Joints {
		curve := f.curve(k)
		for i := range b.Faces {
			if i != j.Faces[0] && i != j.Faces[1] && meet(cores[i], curve) {
				return f.cured(Meeting{Face: i, Other: -1, Bend: k}), true
			}
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

// eroded gives plates made smaller all round by half of what may lie in
// another.
func (f *finished) eroded(face int, plates []geom.Polygon, give unit.MM) []body {
	thick, by := float64(f.blank.Sheet.Thickness), float64(give)/2
	skin := min(by, 0.45*thick)
	var out []body
	for _, g := range plates {
		if inner := g.Inset(by); inner != nil {
			out = append(out, newBody(geom.Placed(geom.Prism(inner, skin, thick-skin), f.frames[face])))
		}
	}
	return out
}

// curve gives the bodies of a bend.
func (f *finished) curve(joint int) []body {
	j := f.blank.Joints[joint]
	stays, across := j.Faces[0], j.Across
	if f.tree.Up[stays] == j.Faces[1] {
		stays, across = j.Faces[1], across.Times(-1)
	}
	var out []body
	for _, z := range curved(j, across, fineStep) {
		out = append(out, newBody(geom.Placed(z, f.frames[stays])))
	}
	return out
}

// fineStep is the largest angle of a piece of a curve where it is asked whether
// a flat runs through it: the pieces then reach no farther beyond the metal than
// a 250th of its radius.
const fineStep = math.Pi / 18

func newBody(corners []geom.Point3) body {
	b := body{corners: corners, low: corners[0], high: corners[0]}
	for _, p := range corners[1:] {
		b.low = geom.Point3{X: min(b.low.X, p.X), Y: min(b.low.Y, p.Y), Z: min(b.low.Z, p.Z)}
		b.high = geom.Point3{X: max(b.high.X, p.X), Y: max(b.high.Y, p.Y), Z: max(b.high.Z, p.Z)}
	}
	return b
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

// cured adds which face parts the two with the least shortening. Only an outer
// face can simply be made shorter.
func (f *finished) cured(m Meeting) Meeting {
	m.Shorter = -1
	for _, face := range f.blank.Leaves() {
		if face != m.Face && face != m.Other || f.tree.Via[face] < 0 {
			continue
		}
		give, others := CurveGives, []body(nil)
		switch {
		case m.Bend >= 0:
			others = f.curve(m.Bend)
		case face == m.Face:
			give, others = Give, f.bodies[m.Other]
		default:
			give, others = Give, f.bodies[m.Face]
		}
		by, ok := f.shorter(face, func(plates []geom.Polygon) bool { return !meet(f.eroded(face, plates, give), others) })
		if ok && (m.Shorter < 0 || by < m.By) {
			m.Shorter, m.By = face, by
		}
	}
	return m
}

// hundredth is how closely a shortening is found, in millimetres.
const hundredth = 0.01

// shorter finds by halving how much a face must be shortened until what is left
// of it is clear; false when nothing would be left.
func (f *finished) shorter(face int, clear func(plates []geom.Polygon) bool) (unit.MM, bool) {
	j := f.blank.Joints[f.tree.Via[face]]
	out := j.Across
	if j.Faces[0] == face {
		out = out.Times(-1)
	}
	middle, half := f.blank.Middle(face, out)
	tip := middle.Add(out.Times(half))
	works := func(by float64) bool {
		var cut []geom.Polygon
		for _, g := range f.blank.Faces[face].Solid {
			if c := g.Clip(tip.Sub(out.Times(by)), out.Left()); c != nil {
				cut = append(cut, c)
			}
		}
		return clear(cut)
	}
	low, high := 0.0, 2*half-j.Half()-1
	if !works(high) {
		return 0, false
	}
	for high-low > hundredth {
		if middle := (low + high) / 2; works(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return unit.MM(high), true
}
