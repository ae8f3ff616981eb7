package robot

import (
	"fmt"
	"math"
)

// hinge is one bend line of the sheet in hand, made or not.
type hinge struct {
	line  Line
	faces [2]int
	over  Point   // unit, square to the line, from the first face to the second
	at    float64 // where the middle of the bend lies in that direction
	bend  bend
}

// bend is what was made of a hinge; the zero value is flat.
type bend struct {
	angle     float64 // turned through, 0 when flat
	up        bool    // towards face A
	radius    float64
	allowance float64 // metal that the bend uses
}

// metal is the sheet in the robot's hands: thickness, faces between the bend
// lines, and hinges.
type metal struct {
	thickness float64
	faces     [][]Point
	hinges    []hinge
}

// cutUp divides the blank along its bend lines.
func cutUp(p *Paper) (*metal, error) {
	m := &metal{thickness: p.Thickness, faces: [][]Point{p.Outline}}
	for _, l := range p.Lines {
		if err := m.cut(l); err != nil {
			return nil, err
		}
	}
	for _, l := range p.Lines {
		over := l.along().left()
		h := hinge{line: l, over: over, at: over.dot(l.From)}
		mid := l.From.half(l.To)
		for side, sign := range []float64{-1, 1} {
			if h.faces[side] = m.faceAt(mid.plus(over.times(0.3 * sign))); h.faces[side] < 0 {
				return nil, fmt.Errorf("no metal beside the bend line of step %d", l.Step)
			}
		}
		m.hinges = append(m.hinges, h)
	}
	return m, nil
}

// cut divides the face that a line crosses.
func (m *metal) cut(l Line) error {
	best, face := 1.0, -1 // a millimetre off is no crossing
	var ends [2]int
	var places [2]float64
	for i, f := range m.faces {
		a, sa, da := nearest(f, l.From)
		b, sb, db := nearest(f, l.To)
		if worse := math.Max(da, db); worse < best && inside(f, l.From.half(l.To)) {
			best, face = worse, i
			ends, places = [2]int{a, b}, [2]float64{sa, sb}
		}
	}
	if face < 0 {
		return fmt.Errorf("the bend line of step %d does not cross the metal", l.Step)
	}
	f := m.faces[face]
	m.faces[face] = walk(f, ends[0], places[0], ends[1], places[1], l.From, l.To)
	m.faces = append(m.faces, walk(f, ends[1], places[1], ends[0], places[0], l.To, l.From))
	return nil
}

// nearest is the place on a ring that is nearest to a point: which edge, how
// far along it, and how far off.
func nearest(ring []Point, p Point) (edge int, share, off float64) {
	off = math.Inf(1)
	for i, a := range ring {
		along := a.to(ring[(i+1)%len(ring)])
		if along.length() == 0 {
			continue
		}
		s := math.Max(0, math.Min(1, a.to(p).dot(along)/along.dot(along)))
		if d := p.to(a.plus(along.times(s))).length(); d < off {
			edge, share, off = i, s, d
		}
	}
	return edge, share, off
}

// walk goes round a ring from one place on it to another, and gives the ring
// that closes straight from there.
func walk(ring []Point, from int, fromShare float64, to int, toShare float64, a, b Point) []Point {
	out := []Point{a}
	n := len(ring)
	if from != to || toShare < fromShare {
		for i := from + 1; ; i++ {
			out = append(out, ring[i%n])
			if i%n == to {
				break
			}
		}
	}
	return append(out, b)
}

// inside tells whether a place lies in a ring, by the even-odd rule.
func inside(ring []Point, p Point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

func (m *metal) faceAt(p Point) int {
	for i, f := range m.faces {
		if inside(f, p) {
			return i
		}
	}
	return -1
}

// toward gives a hinge's direction over the bend and its middle, seen from one
// of its faces.
func (h hinge) toward(from int) (over Point, at float64) {
	if h.faces[0] == from {
		return h.over, h.at
	}
	return h.over.times(-1), -h.at
}

// beyond is the face on the other side.
func (h hinge) beyond(face int) int {
	if h.faces[0] == face {
		return h.faces[1]
	}
	return h.faces[0]
}

// folded moves what lies behind a made bend, seen from one of its faces: it is
// drawn in by the metal that the bend uses, and turned about the axis of the
// bend.
func (m *metal) folded(h hinge, from int) pose {
	if h.bend.angle == 0 {
		return still
	}
	over, at := h.toward(from)
	o := space{over.X, over.Y, 0}
	begins := at - h.bend.allowance/2
	axis := o.times(begins).plus(space{z: m.thickness + h.bend.radius})
	rise := space{z: 1}
	if !h.bend.up {
		axis = o.times(begins).plus(space{z: -h.bend.radius})
		rise.z = -1
	}
	drawn := still
	drawn.o = o.times(-h.bend.allowance)
	return drawn.within(about(axis, o.cross(rise), h.bend.angle))
}

// poses tells where every face is when one of them stays where it lies in the
// blank. A face that hangs together with none is left still.
func (m *metal) poses(root int) []pose {
	out := make([]pose, len(m.faces))
	done := make([]bool, len(m.faces))
	out[root], done[root] = still, true
	for todo := []int{root}; len(todo) > 0; todo = todo[1:] {
		f := todo[0]
		for _, h := range m.hinges {
			if h.faces[0] != f && h.faces[1] != f {
				continue
			}
			if g := h.beyond(f); !done[g] {
				out[g], done[g] = m.folded(h, f).within(out[f]), true
				todo = append(todo, g)
			}
		}
	}
	return out
}

// side lists the faces that hang together with one of them without crossing
// the hinges of a step.
func (m *metal) side(face, step int) []bool {
	in := make([]bool, len(m.faces))
	in[face] = true
	for todo := []int{face}; len(todo) > 0; todo = todo[1:] {
		for _, h := range m.hinges {
			if h.line.Step == step || h.faces[0] != todo[0] && h.faces[1] != todo[0] {
				continue
			}
			if g := h.beyond(todo[0]); !in[g] {
				in[g] = true
				todo = append(todo, g)
			}
		}
	}
	return in
}

// farthest is how far a face reaches in a direction of the blank.
func (m *metal) farthest(face int, way Point) float64 {
	out := math.Inf(-1)
	for _, p := range m.faces[face] {
		out = math.Max(out, way.dot(p))
	}
	return out
}

// Allowances of the ideal sheet. The neutral line lies at K of the thickness:
// 0.33 for an inside radius below two thicknesses and 0.5 from there (textbook
// pair, Kalpakjian and Schmid, Groover, from memory), 0.5 in a hem (common
// practice, no source); a part file may pin it.
func allowance(angle, radius, thickness, pinned float64) float64 {
	k := 0.5
	if pinned > 0 {
		k = pinned
	} else if angle < 180 && radius < 2*thickness-1e-9 {
		k = 0.33
	}
	return angle * math.Pi / 180 * (radius + k*thickness)
}

// apexReach is how far the corner of the outer faces, or past a right angle and
// where sizes run to it the outside tangent, lies beyond the beginning of a
// bend.
func apexReach(angle, radius, thickness float64, tangent bool) float64 {
	if angle >= 180 || tangent && angle > 90 {
		return radius + thickness
	}
	return (radius + thickness) * math.Tan(angle*math.Pi/360)
}
