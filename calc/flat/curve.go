package flat

import (
	"math"

	"brakeside/calc/geom"
)

// round is a circle along which chords were cut into the blank.
type round struct {
	centre geom.Point2
	radius float64
}

// curves finds the runs of corners that stand for arcs: those that lie on one
// of the circles which were cut, and the round holes.
func (b *Blank) curves() {
	b.Curves = nil
	for loop, g := range b.Outline {
		for _, r := range b.rounds {
			b.runsOn(loop, g, r)
		}
	}
}

// runsOn notes the runs of at least two edges of a loop that lie on a circle.
func (b *Blank) runsOn(loop int, g geom.Polygon, r round) {
	on := func(i int) bool {
		return math.Abs(g[i%len(g)].Sub(r.centre).Length()-r.radius) < Snap/2
	}
	chord := func(i int) bool { // the edge after corner i is short enough to be one
		long := g[(i+1)%len(g)].Sub(g[i%len(g)]).Length()
		return on(i) && on(i+1) && long < 1.2*r.radius*math.Pi/2/roundSteps
	}
	for i := range g {
		if !chord(i) || chord(i+len(g)-1) {
			continue // not the first of a run
		}
		n := 0
		for n < len(g) && chord(i+n) {
			n++
		}
		if n >= 2 {
			b.Curves = append(b.Curves, Curve{Loop: loop, From: i, Chords: n, Centre: r.centre, Radius: r.radius})
		}
	}
}

// beyond is what an arc has of the sheet beyond the chords that stand for it, in
// square millimetres: above zero where it bulges out, below where it is cut in.
func (c Curve) beyond(g geom.Polygon) float64 {
	sum := 0.0
	for i := range c.Chords {
		p, q := g[(c.From+i)%len(g)], g[(c.From+i+1)%len(g)]
		angle := 2 * math.Asin(min(1, q.Sub(p).Length()/2/c.Radius))
		segment := c.Radius * c.Radius / 2 * (angle - math.Sin(angle))
		if q.Sub(p).Cross(c.Centre.Sub(p)) > 0 { // the sheet lies at the left, as does the centre
			sum += segment
		} else {
			sum -= segment
		}
	}
	return sum
}

// punched adds the openings of all faces to the outline.
func (b *Blank) punched() {
	for _, f := range b.Faces {
		for _, o := range f.Openings {
			if o.Radius > 0 {
				b.Curves = append(b.Curves, Curve{Loop: len(b.Outline), Chords: len(o.Outline), Centre: o.Centre, Radius: o.Radius})
			}
			b.Outline = append(b.Outline, o.Outline)
		}
	}
	b.drawnCurves()
}
