package scene

import (
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// mostRaised is the largest angle at which a flap is drawn that swings: farther up it
// would be seen edge on.
const mostRaised unit.Deg = 45

// Bench is a step at the brake: the part half bent, the bar or the fingers on it, the
// leaf raised with it, seen over the operator's right shoulder.
func Bench(p *process.Plan, step int) Picture {
	s := &p.Steps[step-1]
	raised := min(s.Target/2, mostRaised)
	m := bench(p, s, raised)
	return Picture{Strokes: append(m.strokes(), m.way(s, raised)...), Spots: m.sided(m.faces())}
}

// bench is the part in the brake while the bend of a step stands at an angle.
func bench(p *process.Plan, s *process.Step, raised unit.Deg) *mesh {
	at := atBrake(p, s, raised)
	c := &scene{camera: shoulder().squeezed(squeeze(at))}
	w := windowOf(at, s)
	w.brake(c, p, s, raised)
	m := c.add(at, c.levels(p.Blank))
	c.close()
	return m
}

// The arrow that shows the way of a flap: its least radius on paper as a share of the
// picture, its chords, its head in shares of its radius, and how far off the flap it
// begins where the bend goes on that far.
const (
	leastWay = 0.16
	wayStep  = math.Pi / 24
	wayHead  = 0.16
	wayAhead = math.Pi / 40
)

// way is the arrow along which the outer edge of the flap goes from where it is drawn
// to where the bend ends. It lies over all else.
func (m *mesh) way(s *process.Step, angle unit.Deg) []Stroke {
	radius, x := m.flap(s)
	radius = max(radius, leastWay*nominal/m.scale())
	at := func(turn, radius float64) geom.Point2 {
		sin, cos := math.Sincos(turn)
		p, _ := m.camera.see(geom.Point3{X: x, Y: -radius * cos, Z: radius * sin})
		return p
	}
	from, to := angle.Rad(), s.Target.Rad()
	from += min(wayAhead, (to-from)/2)
	steps := int(math.Ceil((to - from) / wayStep))
	var out []Stroke
	for k := range steps {
		a, b := from+(to-from)*float64(k)/float64(steps), from+(to-from)*float64(k+1)/float64(steps)
		out = append(out, Stroke{at(a, radius), at(b, radius), Way})
	}
	back := to - wayHead
	for _, r := range []float64{1 - 0.6*wayHead, 1 + 0.6*wayHead} {
		out = append(out, Stroke{at(to, radius), at(back, radius*r), Way})
	}
	return out
}

// flap gives how far from the hinge the face that swings ends, and the middle of it
// along the brake.
func (m *mesh) flap(s *process.Step) (radius, x float64) {
	face := m.blank.FaceIndex(s.Swinging)
	for _, g := range m.blank.Faces[face].Solid {
		for _, p := range placed(g, 0, m.frames[face]) {
			radius = max(radius, math.Hypot(p.Y, p.Z))
		}
	}
	low, high := m.between(face)
	return radius, (low + high) / 2
}
