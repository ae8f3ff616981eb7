package finished

import (
	"math"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// The finished part is folded here from the frozen blank, as flat panels with
// sharp corners and no thickness: right for a picture, wrong by the bend
// allowances for a size, so the sheet calls it not to scale.

// point3 is a place in space in millimetres; z points out of face A.
type point3 struct{ x, y, z float64 }

// motion turns and shifts what lies in the plane of the blank into space: the
// images of the two axes, of the direction out of face A, and of the origin.
type motion struct{ x, y, z, origin point3 }

var still = motion{x: point3{1, 0, 0}, y: point3{0, 1, 0}, z: point3{0, 0, 1}}

func (m motion) of(p point3) point3 {
	q := m.along(p)
	return point3{q.x + m.origin.x, q.y + m.origin.y, q.z + m.origin.z}
}

// along moves a direction.
func (m motion) along(p point3) point3 {
	return point3{
		p.x*m.x.x + p.y*m.y.x + p.z*m.z.x,
		p.x*m.x.y + p.y*m.y.y + p.z*m.z.y,
		p.x*m.x.z + p.y*m.y.z + p.z*m.z.z,
	}
}

// after is first the other motion, then this one.
func (m motion) after(first motion) motion {
	return motion{m.along(first.x), m.along(first.y), m.along(first.z), m.of(first.origin)}
}

// bendAbout is the motion that lifts what lies beyond a bend line, on the side
// that the unit vector away points to, by an angle towards face A.
func bendAbout(on, away draw.Point, radians float64) motion {
	sin, cos := math.Sincos(radians)
	// A direction of the blank has a part along away, which turns, and a part
	// along the line, which stays.
	turn := func(x, y float64) point3 {
		part := x*away.X + y*away.Y
		return point3{x + part*(cos-1)*away.X, y + part*(cos-1)*away.Y, part * sin}
	}
	m := motion{x: turn(1, 0), y: turn(0, 1), z: point3{-sin * away.X, -sin * away.Y, cos}}
	image := m.along(point3{on.X, on.Y, 0})
	m.origin = point3{on.X - image.x, on.Y - image.y, -image.z}
	return m
}

// panel is one flat piece of the blank.
type panel struct {
	ring   []draw.Point // on the blank, y up
	placed bool
	motion motion
}

// joint is a bend line as a fold between panels.
type joint struct {
	line     traveler.BendLine
	on, away draw.Point
	radians  float64
}

// onBlank gives one place of the blank in millimetres, y up.
func onBlank(p traveler.Point) draw.Point {
	return draw.Point{X: float64(p.X.MM()), Y: float64(p.Y.MM())}
}

// InMM gives places of the blank in millimetres, y up.
func InMM(points []traveler.Point) []draw.Point {
	ring := make([]draw.Point, len(points))
	for i, p := range points {
		ring[i] = onBlank(p)
	}
	return ring
}

// jointOf makes a fold of a bend line.
func jointOf(l traveler.BendLine) joint {
	a, b := onBlank(l.Line[0]), onBlank(l.Line[1])
	length := canvas.Distance(a, b)
	j := joint{line: l, on: draw.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}, radians: l.Angle.Deg().Rad()}
	if length > 0 {
		j.away = draw.Point{X: (a.Y - b.Y) / length, Y: (b.X - a.X) / length}
	}
	if !l.Up {
		j.radians = -j.radians
	}
	return j
}

// beside is a place a hair from the middle of the joint, on either side of it.
func (j joint) beside(side float64) draw.Point {
	const hair = 0.02
	return draw.Point{X: j.on.X + side*hair*j.away.X, Y: j.on.Y + side*hair*j.away.Y}
}

// folded gives the panels of a blank in their places when every bend is made;
// none when the lines do not part the blank into panels that hang together.
func folded(b traveler.Blank) []panel {
	panels := []panel{{ring: InMM(b.Outline)}}
	var joints []joint
	for _, l := range b.Lines {
		j := jointOf(l)
		cut := false
		for i, p := range panels {
			if one, other, ok := p.cutAt(j); ok {
				panels[i] = one
				panels = append(panels, other)
				cut = true
				break
			}
		}
		if !cut {
			return nil
		}
		joints = append(joints, j)
	}
	return hang(panels, joints)
}

// cutAt parts a panel along a joint that runs through it: from the joint's
// middle to the nearest edge both ways, so that a line which ends in a relief
// parts it too.
func (p panel) cutAt(j joint) (one, other panel, ok bool) {
	if !canvas.Inside(j.on, p.ring) {
		return panel{}, panel{}, false
	}
	back, ahead := cutEnd{edge: -1, at: math.Inf(-1)}, cutEnd{edge: -1, at: math.Inf(1)}
	for i, a := range p.ring {
		at, crosses := j.crossing(a, p.ring[(i+1)%len(p.ring)])
		if crosses && at < 0 && at > back.at {
			back = cutEnd{i, at}
		}
		if crosses && at >= 0 && at < ahead.at {
			ahead = cutEnd{i, at}
		}
	}
	if back.edge < 0 || ahead.edge < 0 {
		return panel{}, panel{}, false
	}
	return panel{ring: p.walk(j, back, ahead)}, panel{ring: p.walk(j, ahead, back)}, true
}

// cutEnd is where a joint meets the edge of a panel: on which edge of its ring,
// and how far along the joint from its middle.
type cutEnd struct {
	edge int
	at   float64
}

// crossing tells how far along the joint from its middle an edge crosses it.
func (j joint) crossing(a, b draw.Point) (at float64, crosses bool) {
	side := func(p draw.Point) float64 { return (p.X-j.on.X)*j.away.X + (p.Y-j.on.Y)*j.away.Y }
	sa, sb := side(a), side(b)
	if (sa > 0) == (sb > 0) {
		return 0, false
	}
	share := sa / (sa - sb)
	x, y := a.X+share*(b.X-a.X)-j.on.X, a.Y+share*(b.Y-a.Y)-j.on.Y
	return x*j.away.Y - y*j.away.X, true
}

// place is the point so far along the joint from its middle.
func (j joint) place(at float64) draw.Point {
	return draw.Point{X: j.on.X + at*j.away.Y, Y: j.on.Y - at*j.away.X}
}

// walk gives the ring that starts at one end of a cut, follows the panel's ring
// to the other, and returns along the cut.
func (p panel) walk(j joint, from, to cutEnd) []draw.Point {
	ring := []draw.Point{j.place(from.at)}
	for i := from.edge; i != to.edge; i = (i + 1) % len(p.ring) {
		ring = append(ring, p.ring[(i+1)%len(p.ring)])
	}
	return append(ring, j.place(to.at))
}

// hang places the largest panel as it lies and folds the others about the
// joints that lead to them.
func hang(panels []panel, joints []joint) []panel {
	largest := 0
	for i, p := range panels {
		if p.area() > panels[largest].area() {
			largest = i
		}
	}
	panels[largest].placed, panels[largest].motion = true, still
	for range panels {
		for _, j := range joints {
			one, other := holder(panels, j.beside(1)), holder(panels, j.beside(-1))
			if one < 0 || other < 0 {
				return nil
			}
			back := joint{on: j.on, away: draw.Point{X: -j.away.X, Y: -j.away.Y}, radians: j.radians}
			join(&panels[other], &panels[one], j)
			join(&panels[one], &panels[other], back)
		}
	}
	for _, p := range panels {
		if !p.placed {
			return nil
		}
	}
	return panels
}

// join places a panel that hangs on one already placed.
func join(on, loose *panel, j joint) {
	if on.placed && !loose.placed {
		loose.placed, loose.motion = true, on.motion.after(bendAbout(j.on, j.away, j.radians))
	}
}

// holder is the panel that a place on the blank belongs to, -1 for none.
func holder(panels []panel, at draw.Point) int {
	for i, p := range panels {
		if canvas.Inside(at, p.ring) {
			return i
		}
	}
	return -1
}

// area is the panel's area in square millimetres (shoelace).
func (p panel) area() float64 {
	twice := 0.0
	for i, a := range p.ring {
		b := p.ring[(i+1)%len(p.ring)]
		twice += a.X*b.Y - b.X*a.Y
	}
	return math.Abs(twice) / 2
}

// space gives the panel's corners where they are when it is folded.
func (p panel) space(ring []draw.Point) []point3 {
	corners := make([]point3, len(ring))
	for i, q := range ring {
		corners[i] = p.motion.of(point3{q.X, q.Y, 0})
	}
	return corners
}
