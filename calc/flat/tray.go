package flat

import (
	"fmt"
	"math"
	"slices"

	"brakeside/calc/geom"
	"brakeside/calc/part"
)

// Each side of a base is worked out in coordinates of its own: u runs along
// the base's edge, v outwards from the tangent of the first bend. The crossing
// of the tangents of two neighbouring sides is the corner of the flat base. What
// is cut off at one end of a side is counted from that end inwards.

// pan is a tray under way.
type pan struct {
	*developer
	tray   *part.Tray
	edges  [4]*edge // in the order of part.SidesInOrder
	fitted []fitted
}

// edge is one side of the base.
type edge struct {
	side     part.Side
	chain    []part.Wall
	ids      []string // of the walls and their bends
	bends    []*signedBend
	offs     []float64 // how far the tangents of the bends lie inside the outside sizes
	flats    []float64
	sections []section
	long     float64  // flat length of the base along this edge
	near     [2]*edge // the sides at u = 0 and at u = long
	left     int      // which end is at the left, seen with the base below
	place    func(u, v float64) geom.Point2
	cuts     [2][]cut   // at both ends, by place in the chain
	begins   [2]float64 // at both ends, how far in the edge of the base begins
	tabs     [2]*tab
}

// trayForm develops a base with walls.
func (d *developer) trayForm(t *part.Tray) {
	p := &pan{developer: d, tray: t}
	for i, side := range part.SidesInOrder {
		p.edges[i] = &edge{side: side, chain: t.Walls[side]}
		p.chain(p.edges[i])
	}
	left, right, front, back := p.edges[0], p.edges[1], p.edges[2], p.edges[3]
	flatX, leastX := p.flatLength(t.BaseX, [2]*signedBend{left.first(), right.first()})
	flatY, leastY := p.flatLength(t.BaseY, [2]*signedBend{front.first(), back.first()})
	if leastX > 0 {
		p.usedUp("/tray/base/0", t.BaseX, leastX)
	}
	if leastY > 0 {
		p.usedUp("/tray/base/1", t.BaseY, leastY)
	}
	if d.err != nil {
		return
	}
	p.lay(float64(flatX), float64(flatY))
	p.corners()
	p.tellFitted()
	p.room()
	d.blank.Faces = append(d.blank.Faces, Face{ID: "base", Word: "base", Pieces: []geom.Polygon{p.basePolygon()}})
	d.spots = append(d.spots, func(x, y float64) geom.Point2 {
		return geom.Point2{X: x - left.off(), Y: y - front.off()}
	})
	for _, e := range p.edges {
		p.walls(e)
	}
}

// room makes room for all faces and bends of the tray.
func (p *pan) room() {
	walls := 0
	for _, e := range p.edges {
		walls += len(e.chain)
	}
	if p.tray.Corners.Tabs != part.NoTabs {
		walls += 4
	}
	p.blank.Faces = make([]Face, 0, walls+1)
	p.spots = make([]func(x, y float64) geom.Point2, 0, walls+1)
	p.blank.Joints, p.bends = make([]Joint, 0, walls), make([]*signedBend, 0, walls)
}

// chain works out the bends and the flat lengths of one side.
func (p *pan) chain(e *edge) {
	n := len(e.chain)
	e.ids, e.bends = make([]string, n), make([]*signedBend, n)
	sizes := make([]float64, 2*n)
	e.offs, e.flats = sizes[:n:n], sizes[n:]
	for i, w := range e.chain {
		e.ids[i] = wallID(e.side, i)
		e.bends[i] = p.hemmed(e.ids[i], w.Angle, w.Hem)
	}
	for i, w := range e.chain {
		e.offs[i] = float64(p.takeOff(e.bends[i].Bend))
		ends := [2]*signedBend{e.bends[i], nil}
		if i+1 < len(e.bends) {
			ends[1] = e.bends[i+1]
		}
		flat, least := p.flatLength(w.Leg, ends)
		if least > 0 {
			p.usedUp("/tray/walls/"+string(e.side)+"/"+itoa(i)+"/leg", w.Leg, least)
		}
		e.flats[i] = float64(flat)
	}
}

// first is the bend at the base, nil when this side has no wall.
func (e *edge) first() *signedBend {
	if len(e.bends) == 0 {
		return nil
	}
	return e.bends[0]
}

// off is how far the corner of the flat base lies inside the outside size at
// this side.
func (e *edge) off() float64 {
	if e.first() == nil {
		return 0
	}
	return e.offs[0]
}

// lay tells each side where it lies in the blank.
func (p *pan) lay(x, y float64) {
	left, right, front, back := p.edges[0], p.edges[1], p.edges[2], p.edges[3]
	front.long, front.near, front.left = x, [2]*edge{left, right}, 1
	front.place = func(u, v float64) geom.Point2 { return geom.Point2{X: u, Y: -v} }
	back.long, back.near, back.left = x, [2]*edge{left, right}, 0
	back.place = func(u, v float64) geom.Point2 { return geom.Point2{X: u, Y: y + v} }
	left.long, left.near, left.left = y, [2]*edge{front, back}, 0
	left.place = func(u, v float64) geom.Point2 { return geom.Point2{X: -v, Y: u} }
	right.long, right.near, right.left = y, [2]*edge{front, back}, 1
	right.place = func(u, v float64) geom.Point2 { return geom.Point2{X: x + v, Y: u} }
}

// at is the place that lies so far in from one end of a side.
func (e *edge) at(end int, in, v float64) geom.Point2 {
	if end == 1 {
		in = e.long - in
	}
	return e.place(in, v)
}

// walls adds the faces and bends of one side.
func (p *pan) walls(e *edge) {
	parent, v := 0, 0.0
	for i, b := range e.bends {
		half := halfOf(b)
		l := leg{at: v + half, from: v + 2*half, to: v + 2*half + e.flats[i]}
		if least := e.narrowest(i); least <= 0 {
			p.refuse(fmt.Sprintf("/tray/walls/%s/%d", e.side, i),
				"nothing is left of this wall between its corner cuts; make it or the base longer by more than %s mm", mm(-least).Text(1))
			return
		}
		p.blank.Faces = append(p.blank.Faces, Face{ID: e.ids[i], Word: e.word(i), Pieces: []geom.Polygon{p.wallPolygon(e, i, l)}})
		child := len(p.blank.Faces) - 1
		p.spots = append(p.spots, e.spot(i, l.from))
		line := [2]geom.Point2{e.at(0, e.cuts[0][i].middle(), l.at), e.at(1, e.cuts[1][i].middle(), l.at)}
		p.joint(e.ids[i], e.word(i), [2]int{parent, child}, line, b)
		if i == 0 {
			p.addTabs(e, child, l)
		}
		parent, v = child, l.to
	}
}

// spot gives the place in the blank of a hole in the i-th leg, whose flat
// begins at from.
func (e *edge) spot(i int, from float64) func(x, y float64) geom.Point2 {
	return func(x, y float64) geom.Point2 {
		return e.at(e.left, x-e.near[e.left].off(), y-e.offs[i]+from)
	}
}

// wallID names a wall and the bend that raises it: left, left.2, left.3.
func wallID(side part.Side, i int) string {
	if i == 0 {
		return string(side)
	}
	return string(side) + "." + itoa(i+1)
}

// word is what people read for the i-th wall of this side and the bend that raises it.
func (e *edge) word(i int) string { return wallWord(e.side, i, e.chain[i].Hem) }

// leg tells where along v a wall or lip lies: the middle of its bend zone, the
// beginning and the end of its flat.
type leg struct{ at, from, to float64 }

// narrowest is the least width that the cuts leave of a leg.
func (e *edge) narrowest(i int) float64 {
	low, high := e.cuts[0][i], e.cuts[1][i]
	return e.long - max(low.middle()+high.middle(), low.flatStart+high.flatStart, low.flatEnd+high.flatEnd)
}

// wallPolygon draws a leg from the middle of its bend zone to the middle of the
// next one, or to its edge.
func (p *pan) wallPolygon(e *edge, i int, l leg) geom.Polygon {
	var few [2][16]geom.Point2
	var ends [2]geom.Polygon
	for end := range 2 {
		c := e.cuts[end][i]
		s := stroke{e: e, end: end, points: few[end][:0]}
		s.add(c.middle(), l.at)
		s.add(c.zoneFar, l.from)
		s.add(c.flatStart, l.from)
		if t := e.tabs[end]; i == 0 && t != nil {
			s.tab(t, l.from)
		}
		s.add(c.flatEnd, l.to)
		if i+1 < len(e.chain) {
			p.border(&s, i+1, c.flatEnd, l.to)
		}
		ends[end] = s.points
	}
	return ring(ends)
}

// stroke is one end of a face, from its bend outwards.
type stroke struct {
	e      *edge
	end    int
	points geom.Polygon
}

// add goes on to the place that lies so far in from the end.
func (s *stroke) add(in, v float64) {
	at := s.e.at(s.end, in, v)
	if n := len(s.points); n == 0 || at != s.points[n-1] {
		s.points = append(s.points, at)
	}
}

// ring closes the two ends of a face: the first is walked outwards, the second
// back. It runs anticlockwise.
func ring(ends [2]geom.Polygon) geom.Polygon {
	g := make(geom.Polygon, 0, len(ends[0])+len(ends[1]))
	g = append(g, ends[0]...)
	for i := len(ends[1]) - 1; i >= 0; i-- {
		g = append(g, ends[1][i])
	}
	if g.Area() < 0 {
		slices.Reverse(g)
	}
	return g
}

func anticlockwise(g geom.Polygon) geom.Polygon {
	if g.Area() < 0 {
		return g.Reversed()
	}
	return g
}

// basePolygon draws the base to the middle of its bend zones, with the corner
// cuts.
func (p *pan) basePolygon() geom.Polygon {
	var out geom.Polygon
	add := func(points ...geom.Point2) {
		for _, q := range points {
			if n := len(out); n == 0 || q != out[n-1] {
				out = append(out, q)
			}
		}
	}
	for _, walk := range []struct{ edge, from int }{{2, 0}, {1, 0}, {3, 1}, {0, 1}} {
		e := p.edges[walk.edge]
		add(p.baseEnd(e, walk.from)...)
		add(p.baseEnd(e, 1-walk.from).Reversed()...)
		add(p.corner(e, 1-walk.from)...)
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

// baseEnd is one end of the base's edge along a side, from its corner to the
// middle of the bend zone.
func (p *pan) baseEnd(e *edge, end int) geom.Polygon {
	s := stroke{e: e, end: end}
	switch {
	case e.first() == nil:
		s.add(0, 0)
	case p.bare(e, end):
		p.attach(&s, 0, -e.near[end].off(), 0)
	default:
		p.border(&s, 0, e.begins[end], 0)
	}
	return s.points
}

// corner is what stands between one end of a side and the side that comes next:
// nothing, the crossing of the tangents, or the relief.
func (p *pan) corner(e *edge, end int) geom.Polygon {
	if e.first() == nil || e.near[end].first() == nil || p.bare(e, end) {
		return nil
	}
	half := float64(p.tray.Corners.Size) / 2
	switch p.tray.Corners.Relief {
	case part.Square:
		return geom.Polygon{e.at(end, half, 0), e.at(end, half, -half), e.at(end, 0, -half)}
	case part.Round:
		p.blank.rounds = append(p.blank.rounds, round{e.at(end, 0, 0), half})
		var out geom.Polygon
		for i := 0; i <= roundSteps; i++ {
			sin, cos := math.Sincos(math.Pi / 2 * float64(i) / roundSteps)
			out = append(out, e.at(end, half*cos, -half*sin))
		}
		return out
	case part.Vee:
		return geom.Polygon{e.at(end, half, 0), e.at(end, veeDepth*half, -veeDepth*half), e.at(end, 0, -half)}
	}
	return geom.Polygon{e.at(end, 0, 0)}
}

// veeDepth is how deep a vee of 120 degrees reaches behind both tangents, in
// halves of its width: 1 / (1 + tan 15).
const veeDepth = 0.7886751345948129

// roundSteps is into how many chords a quarter circle of a round relief is cut.
const roundSteps = 12
