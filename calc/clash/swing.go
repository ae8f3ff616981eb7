package clash

import (
	"math"

	"brakeside/calc/geom"
)

// Step is the least movement, in millimetres, by which a swing is followed.
// Nothing can come and go unseen within it, so anything nearer than half of it
// to the clearance counts as a hit: doubt is never safety.
const Step = 0.05

// pass is the outcome of one swing.
type pass struct {
	least float64 // smallest distance met, in millimetres
	angle float64 // where the least distance, or the hit, was met, in radians
	hit   bool
	depth float64 // how far they overlap, where nothing moves, in millimetres
	reach Stretch // in which they do, of a hit
}

// motion is a section of the part or the leaf that turns about the hinge, front
// upwards, past one that stands still.
type motion struct {
	moving    geom.Polygon // as it lies at angle 0
	slide     geom.Point2  // how far it is covered along each radian before angle 0
	wrap      *wrapping    // and how far beside that, round a round bar; nil if not
	still     *section
	from, to  float64
	clearance float64
	radius    float64  // no point of the section moves farther in a radian
	nearest   *float64 // how near they come is wanted too, if nearer than this; nil if not

	slid, turned [24]geom.Point2 // room for one look
}

// at gives the section at an angle, until it is asked again. Turned on from there
// as it is, it covers what at gives for every later angle.
func (m *motion) at(angle float64) geom.Polygon {
	g := m.moving
	if m.wrap != nil {
		return appendTurned(m.turned[:0], m.wrap.covers(g, m.slide.Times(max(0, -angle)), angle), angle)
	}
	if angle < 0 && m.slide != (geom.Point2{}) {
		g = g.SweptInto(m.slid[:0], m.slide.Times(-angle))
	}
	return appendTurned(m.turned[:0], g, angle)
}

// turning follows a section that turns about the hinge past one that stands
// still.
func turning(moving, still *section, from, to, clearance float64, nearest *float64) pass {
	if tooFar(moving, still, clearance, nearest) {
		return pass{least: math.Inf(1)}
	}
	m := motion{moving: moving.outline, still: still, from: from, to: to, clearance: clearance, radius: moving.far, nearest: nearest}
	return m.pass()
}

// pass decides whether the two come too near, and measures how near if asked.
func (m *motion) pass() pass {
	p := m.decide()
	if p.hit || m.nearest == nil {
		return p
	}
	return m.measure()
}

// coarse is how many even looks are taken before a swing is measured.
const coarse = 12

// measure finds how near the two come, to within the least step. Even looks give
// a first answer; then the walk of decide leaves out what is no nearer than what
// was found so far, here or elsewhere.
func (m *motion) measure() pass {
	p, bound := pass{least: math.Inf(1)}, *m.nearest
	look := func(angle float64) (moving geom.Polygon, towards geom.Point2) {
		moving = m.at(angle)
		d, towards := geom.Parting(moving, m.still.outline)
		if d < p.least {
			p.least, p.angle = d, angle
		}
		bound = min(bound, d)
		return moving, towards
	}
	for i := range coarse {
		look(m.from + (m.to-m.from)*float64(i+1)/coarse)
	}
	for angle := m.from; angle < m.to; {
		moving, towards := look(angle)
		room := untilPast(moving, towards, support(m.still.outline, towards)-max(0, bound-Step))
		angle += max(room, Step/max(m.radius, 1))
	}
	return p
}

// landing is how far before the clearance, in millimetres, a turn along a
// separating line ends: so near that the next look need not call it a hit.
const landing = 0.6 * Step

// decide turns on, from each look, as far as the line that separates the two at
// that look stays between them; how far that is follows from the circles on
// which the corners run. Where the line holds for less than the least step, that
// step is taken: they were farther apart than half of it, so nothing is missed.
func (m *motion) decide() pass {
	reach := min(m.radius, m.still.far+m.clearance) // of a point that matters
	for angle := m.from; ; {
		moving := m.at(angle)
		d, towards := geom.Parting(moving, m.still.outline)
		if d-m.clearance < Step/2 {
			return pass{least: d, angle: angle, hit: true}
		}
		if angle >= m.to {
			return pass{least: math.Inf(1)}
		}
		room := untilPast(moving, towards, support(m.still.outline, towards)-m.clearance-landing)
		angle = min(m.to, angle+max(room, Step/max(reach, 1)))
	}
}

// support is how near a polygon begins in a direction, seen from the hinge.
func support(g geom.Polygon, direction geom.Point2) float64 {
	low := math.Inf(1)
	for _, p := range g {
		low = min(low, direction.Dot(p))
	}
	return low
}

// untilPast is the angle by which a polygon can turn before a corner passes the
// line that lies so far from the hinge in a direction.
func untilPast(g geom.Polygon, direction geom.Point2, limit float64) float64 {
	least := math.Inf(1)
	for _, p := range g {
		radius := p.Length()
		if radius <= limit {
			continue
		}
		if radius <= -limit {
			return 0
		}
		ahead := math.Atan2(direction.Cross(p), direction.Dot(p))
		past := math.Acos(limit / radius)
		switch {
		case math.Abs(ahead) < past:
			return 0
		case ahead < 0:
			ahead += 2 * math.Pi
		}
		least = min(least, ahead-past)
	}
	return least
}

// tooFar reports whether two sections stay farther apart than the clearance, and
// than the nearest found so far if that is wanted, however one is turned about
// the hinge. What decide would doubt, and so call a hit, is not too far.
func tooFar(a, b *section, clearance float64, nearest *float64) bool {
	if nearest != nil {
		clearance = max(clearance, *nearest)
	}
	return a.near > b.far+clearance+Step || b.near > a.far+clearance+Step
}

// advance walks from one angle to another by safe steps: between two looks no
// point moves farther than the distance found at the first, so nothing is missed
// (conservative advancement). Look gives the distance at an angle, reach is the
// largest radius of a point that matters.
func advance(look func(float64) float64, from, to, clearance, reach float64) pass {
	p := pass{least: math.Inf(1)}
	for angle := from; ; {
		d := look(angle)
		if d < p.least {
			p.least, p.angle = d, angle
		}
		room := d - clearance
		if room < Step/2 {
			p.hit, p.angle = true, angle
			return p
		}
		if angle >= to {
			return p
		}
		angle = min(to, angle+max(room, Step)/max(reach, 1))
	}
}

// turned turns a section about the hinge: what lies in front rises.
func turned(g geom.Polygon, angle float64) geom.Polygon {
	return appendTurned(make(geom.Polygon, 0, len(g)), g, angle)
}

func appendTurned(to, g geom.Polygon, angle float64) geom.Polygon {
	sin, cos := math.Sincos(-angle)
	for _, p := range g {
		to = append(to, geom.Point2{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos})
	}
	return to
}

// appendTurnedSolid turns a body about the hinge: x stays, y and z turn.
func appendTurnedSolid(to, body []geom.Point3, angle float64) []geom.Point3 {
	sin, cos := math.Sincos(-angle)
	for _, p := range body {
		to = append(to, geom.Point3{X: p.X, Y: p.Y*cos - p.Z*sin, Z: p.Y*sin + p.Z*cos})
	}
	return to
}

// turningSolids follows a convex body that turns about the hinge past one that
// stands still.
func turningSolids(moving, still []geom.Point3, from, to float64) pass {
	farM, farS := farthestSolid(moving), farthestSolid(still)
	if nearestSolid(moving) > farS || nearestSolid(still) > farM {
		return pass{least: math.Inf(1)}
	}
	var room []geom.Point3
	look := func(angle float64) float64 {
		room = appendTurnedSolid(room[:0], moving, angle)
		return geom.Separation(room, still)
	}
	return advance(look, from, to, 0, min(farM, farS))
}

// turnedBox is around a body: along the brake, and across it where it lies and over all
// of a turn about the hinge.
type turnedBox struct {
	along       Stretch
	lies, turns geom.Box
}

// boxAround is the box of a body that turns from one angle to another. A point on its
// way is no farther from where it begins and ends than its arc rises over its chord.
func boxAround(body []geom.Point3, from, to float64) turnedBox {
	inf := math.Inf(1)
	none := geom.Box{Low: geom.Point2{X: inf, Y: inf}, High: geom.Point2{X: -inf, Y: -inf}}
	t, rise := turnedBox{along: nowhere, lies: none, turns: none}, farthestSolid(body)*(1-math.Cos((to-from)/2))+Step
	sinA, cosA := math.Sincos(-from)
	sinB, cosB := math.Sincos(-to)
	for _, p := range body {
		t.along = Stretch{min(t.along.Low, p.X), max(t.along.High, p.X)}
		t.lies = t.lies.With(geom.Point2{X: p.Y, Y: p.Z})
		t.turns = t.turns.With(geom.Point2{X: p.Y*cosA - p.Z*sinA, Y: p.Y*sinA + p.Z*cosA})
		t.turns = t.turns.With(geom.Point2{X: p.Y*cosB - p.Z*sinB, Y: p.Y*sinB + p.Z*cosB})
	}
	t.turns.Low, t.turns.High = t.turns.Low.Sub(geom.Point2{X: rise, Y: rise}), t.turns.High.Add(geom.Point2{X: rise, Y: rise})
	return t
}

// misses reports whether a body that turns cannot meet one that stands still.
func (t *turnedBox) misses(still *turnedBox) bool {
	return t.along.Low > still.along.High+geom.Near || still.along.Low > t.along.High+geom.Near || t.turns.Gap(still.lies) > 0
}

func farthestSolid(body []geom.Point3) float64 {
	far := 0.0
	for _, p := range body {
		far = max(far, math.Hypot(p.Y, p.Z))
	}
	return far
}

func nearestSolid(body []geom.Point3) float64 { return nearest(shadow(body)) }
