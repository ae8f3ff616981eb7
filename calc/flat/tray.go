package flat

import (
	"fmt"
	"math"

	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// Each side of a base is worked out in coordinates of its own: u runs along
// the base's edge, v outwards from the tangent of the first bend. The crossing
// of the tangents of two neighbouring sides is the corner of the flat base.

// edge is one side of the base.
type edge struct {
	side  part.Side
	chain []part.Wall
	bends []*signedBend
	flats []unit.MM
	size  unit.MM      // of the base along this edge, as written
	long  float64      // flat length of the base along this edge
	near  [2]part.Side // the sides at u = 0 and at u = long
	place func(u, v float64) geom.Point2
}

// tray develops a base with walls.
func (d *developer) tray(t *part.Tray) {
	edges := map[part.Side]*edge{}
	for _, side := range part.SidesInOrder {
		edges[side] = &edge{side: side, chain: t.Walls[side]}
		d.chain(edges[side])
	}
	flatX := d.baseFlat("/tray/base/0", t.BaseX, edges[part.Left], edges[part.Right])
	flatY := d.baseFlat("/tray/base/1", t.BaseY, edges[part.Front], edges[part.Back])
	if d.err != nil {
		return
	}
	layEdges(edges, flatX, flatY)
	d.blank.Faces = []Face{{ID: "base", Pieces: []geom.Polygon{basePolygon(t, edges)}}}
	for _, side := range part.SidesInOrder {
		d.walls(t, edges[side], edges)
	}
}

// chain works out the bends and the flat lengths of one side.
func (d *developer) chain(e *edge) {
	for i, w := range e.chain {
		e.bends = append(e.bends, d.signed(wallID(e.side, i), w.Angle, 0))
	}
	for i, w := range e.chain {
		ends := [2]*signedBend{e.bends[i], nil}
		if i+1 < len(e.bends) {
			ends[1] = e.bends[i+1]
		}
		pointer := fmt.Sprintf("/tray/walls/%s/%d/leg", e.side, i)
		e.flats = append(e.flats, d.flatLength(pointer, w.Leg, ends))
	}
}

func (d *developer) baseFlat(pointer string, size unit.MM, low, high *edge) float64 {
	return float64(d.flatLength(pointer, size, [2]*signedBend{low.first(), high.first()}))
}

// first is the bend at the base, nil when this side has no wall.
func (e *edge) first() *signedBend {
	if len(e.bends) == 0 {
		return nil
	}
	return e.bends[0]
}

// layEdges tells each side where it lies in the blank.
func layEdges(edges map[part.Side]*edge, x, y float64) {
	lay := func(side part.Side, long float64, near [2]part.Side, place func(u, v float64) geom.Point2) {
		e := edges[side]
		e.long, e.near, e.place = long, near, place
	}
	leftRight, frontBack := [2]part.Side{part.Left, part.Right}, [2]part.Side{part.Front, part.Back}
	lay(part.Front, x, leftRight, func(u, v float64) geom.Point2 { return geom.Point2{X: u, Y: -v} })
	lay(part.Back, x, leftRight, func(u, v float64) geom.Point2 { return geom.Point2{X: u, Y: y + v} })
	lay(part.Left, y, frontBack, func(u, v float64) geom.Point2 { return geom.Point2{X: -v, Y: u} })
	lay(part.Right, y, frontBack, func(u, v float64) geom.Point2 { return geom.Point2{X: x + v, Y: u} })
}

// cut is how far one end of a side is cut back from the corner of the flat
// base, by place in its chain.
type cut struct{ zoneNear, zoneFar, flatStart, flatEnd float64 }

// middle is the cut at the middle of the bend zone.
func (c cut) middle() float64 { return (c.zoneNear + c.zoneFar) / 2 }

// cuts works out one end of a side: end 0 is at u = 0.
//
// Two square neighbouring walls of thickness t that both end e short of the
// corner of their outer faces leave an opening of (e-t) times the root of 2
// between their inner edges, so e = t + gap/root 2.
func (e *edge) cuts(t *part.Tray, edges map[part.Side]*edge, end int) []cut {
	out := make([]cut, len(e.chain))
	neighbour := edges[e.near[end]]
	for i := range out {
		if neighbour.first() == nil {
			out[i] = e.mitred(i, cut{})
			continue
		}
		out[i] = e.cornered(t, neighbour, i)
		if i > 0 {
			out[i].zoneNear = math.Max(out[i].zoneNear, out[i-1].flatEnd)
			out[i].zoneFar = math.Max(out[i].zoneFar, out[i-1].flatEnd)
		}
	}
	return out
}

// cornered is the cut beside a neighbouring wall.
func (e *edge) cornered(t *part.Tray, neighbour *edge, i int) cut {
	opening := float64(t.Corners.Gap) / math.Sqrt2
	apex := float64(neighbour.first().OutsideSetback())
	wall := float64(e.bends[0].Thickness) + opening - apex
	var first cut
	switch t.Corners.Relief {
	case part.Square, part.Round:
		half := float64(t.Corners.Size) / 2
		first = cut{half, half, math.Min(half, wall), math.Min(half, wall)}
		if wall > half {
			first = cut{wall, wall, wall, wall}
		}
	case part.Vee:
		far := math.Max(float64(t.Corners.Size)/2, wall)
		first = cut{math.Max(0, wall), far, far, far}
	default:
		back := math.Max(0, wall)
		first = cut{back, back, back, back}
	}
	if i == 0 {
		return e.mitred(0, first)
	}
	straight := cut{first.flatEnd, first.flatEnd, first.flatEnd, first.flatEnd}
	if !e.inward(i) || len(neighbour.bends) <= i || !neighbour.inward(i) || e.chain[i].Mitre != 0 {
		return e.mitred(i, straight)
	}
	// Two inward lips would run into each other: both are mitred along the
	// line that halves the corner.
	start := float64(e.bends[i].Radius+e.bends[i].Thickness) + opening - apex
	return cut{start, start, start, start + float64(e.flats[i])}
}

// inward reports whether the i-th leg folds to the same side as the wall
// before it, so that it comes to lie over the base.
func (e *edge) inward(i int) bool { return (e.bends[i].angle > 0) == (e.bends[0].angle > 0) }

// mitred slants the end of a leg by the angle the part file gives.
func (e *edge) mitred(i int, c cut) cut {
	c.flatEnd = c.flatStart + float64(e.flats[i])*math.Tan(e.chain[i].Mitre.Rad())
	return c
}

// walls adds the faces and bends of one side.
func (d *developer) walls(t *part.Tray, e *edge, edges map[part.Side]*edge) {
	low, high := e.cuts(t, edges, 0), e.cuts(t, edges, 1)
	parent, v := 0, 0.0
	for i, b := range e.bends {
		half := halfOf(b)
		flatFrom := v + 2*half
		flatTo := flatFrom + float64(e.flats[i])
		outer := leg{at: v + half, from: flatFrom, to: flatTo, low: low[i], high: high[i]}
		if i+1 < len(e.bends) {
			outer.next, outer.nextLow, outer.nextHigh = halfOf(e.bends[i+1]), low[i+1], high[i+1]
		}
		if least := outer.narrowest(e.long); least <= 0 {
			d.refuse(fmt.Sprintf("/tray/walls/%s/%d", e.side, i), "nothing is left of this wall between its corner cuts; make it or the base longer by more than %s mm", unit.MM(-least).Text(1))
			return
		}
		d.blank.Faces = append(d.blank.Faces, Face{ID: wallID(e.side, i), Pieces: []geom.Polygon{outer.polygon(e)}})
		child := len(d.blank.Faces) - 1
		line := [2]geom.Point2{e.place(low[i].middle(), v+half), e.place(e.long-high[i].middle(), v+half)}
		d.joint(wallID(e.side, i), [2]int{parent, child}, line, b)
		parent, v = child, flatTo
	}
}

// wallID names a wall and the bend that raises it: left, left.2, left.3.
func wallID(side part.Side, i int) string {
	if i == 0 {
		return string(side)
	}
	return fmt.Sprintf("%s.%d", side, i+1)
}

// leg is one wall or lip with the cuts at its two ends.
type leg struct {
	at, from, to      float64 // v of the middle of its bend zone, of the start and of the end of its flat
	low, high         cut
	next              float64 // half the allowance of the next bend, 0 for none
	nextLow, nextHigh cut
}

// narrowest is the least width that the cuts leave.
func (l leg) narrowest(long float64) float64 {
	least := math.Min(long-l.low.middle()-l.high.middle(), long-l.low.flatStart-l.high.flatStart)
	return math.Min(least, long-l.low.flatEnd-l.high.flatEnd)
}

// polygon draws the face from the middle of its bend zone to the middle of the
// next one, or to its edge.
func (l leg) polygon(e *edge) geom.Polygon {
	low := [][2]float64{{l.low.middle(), l.at}, {l.low.zoneFar, l.from}, {l.low.flatStart, l.from}, {l.low.flatEnd, l.to}}
	high := [][2]float64{{l.high.middle(), l.at}, {l.high.zoneFar, l.from}, {l.high.flatStart, l.from}, {l.high.flatEnd, l.to}}
	if l.next > 0 {
		low = append(low, [2]float64{l.nextLow.zoneNear, l.to}, [2]float64{l.nextLow.middle(), l.to + l.next})
		high = append(high, [2]float64{l.nextHigh.zoneNear, l.to}, [2]float64{l.nextHigh.middle(), l.to + l.next})
	}
	var out geom.Polygon
	for _, p := range low {
		out = append(out, e.place(p[0], p[1]))
	}
	for i := len(high) - 1; i >= 0; i-- {
		out = append(out, e.place(e.long-high[i][0], high[i][1]))
	}
	return anticlockwise(out)
}

func anticlockwise(g geom.Polygon) geom.Polygon {
	if g.Area() < 0 {
		return g.Reversed()
	}
	return g
}

// basePolygon draws the base to the middle of its bend zones, with the corner
// cuts.
func basePolygon(t *part.Tray, edges map[part.Side]*edge) geom.Polygon {
	var out geom.Polygon
	walk := []struct {
		side    part.Side
		forward bool
	}{{part.Front, true}, {part.Right, true}, {part.Back, false}, {part.Left, false}}
	for _, w := range walk {
		e := edges[w.side]
		points := e.border(t, edges)
		if !w.forward {
			for i, j := 0, len(points)-1; i < j; i, j = i+1, j-1 {
				points[i], points[j] = points[j], points[i]
			}
		}
		for _, p := range points {
			out = append(out, e.place(p[0], p[1]))
		}
		out = append(out, corner(t, e, edges, w.forward)...)
	}
	return out
}

// border is the edge of the base along one side, from u = 0 on.
func (e *edge) border(t *part.Tray, edges map[part.Side]*edge) [][2]float64 {
	if e.first() == nil {
		return [][2]float64{{0, 0}, {e.long, 0}}
	}
	low, high := e.cuts(t, edges, 0)[0], e.cuts(t, edges, 1)[0]
	half := halfOf(e.first())
	return [][2]float64{
		{low.zoneNear, 0}, {low.middle(), half},
		{e.long - high.middle(), half}, {e.long - high.zoneNear, 0},
	}
}

// corner is what stands between this side and the next one on the way round:
// nothing, the crossing of the tangents, or the relief.
func corner(t *part.Tray, e *edge, edges map[part.Side]*edge, forward bool) []geom.Point2 {
	end, u := 1, e.long
	if !forward {
		end, u = 0, 0
	}
	neighbour := edges[e.near[end]]
	if e.first() == nil || neighbour.first() == nil {
		return nil
	}
	half := float64(t.Corners.Size) / 2
	inwards := 1.0 // along u, away from the corner
	if end == 1 {
		inwards = -1
	}
	at := func(along, deep float64) geom.Point2 { return e.place(u+inwards*along, -deep) }
	switch t.Corners.Relief {
	case part.Square:
		return []geom.Point2{at(half, 0), at(half, half), at(0, half)}
	case part.Round:
		var out []geom.Point2
		for i := 0; i <= roundSteps; i++ {
			sin, cos := math.Sincos(math.Pi / 2 * float64(i) / roundSteps)
			out = append(out, at(half*cos, half*sin))
		}
		return out
	}
	return []geom.Point2{at(0, 0)}
}

// roundSteps is into how many chords the quarter circle of a round relief is
// cut.
const roundSteps = 12
