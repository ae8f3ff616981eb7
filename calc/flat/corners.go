package flat

import (
	"math"

	"brakeside/calc/geom"
)

// corners numbers places of a blank; places that lie within Snap of each other
// are one. They are looked up by the cell of a grid they lie in, and by the
// cells beside it when they lie near its edge.
type corners struct {
	points []geom.Point2
	first  []int32 // by hash of the cell, the corner looked at first, -1 for none
	next   []int32 // by corner, the one looked at next
}

// cellSide is the side of a cell: so much larger than Snap that most places
// need one look only.
const cellSide = 64 * Snap

func newCorners(count int) *corners {
	size := 16
	for size < count {
		size *= 2
	}
	c := &corners{points: make([]geom.Point2, 0, count), next: make([]int32, 0, count), first: make([]int32, size)}
	for i := range c.first {
		c.first[i] = -1
	}
	return c
}

func cellOf(v float64) int64 { return int64(math.Floor(v / cellSide)) }

func (c *corners) slot(x, y int64) int {
	const mix1, mix2 = 0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F // odd numbers that scatter neighbours
	h := uint64(x)*mix1 ^ uint64(y)*mix2
	return int((h ^ h>>29) & uint64(len(c.first)-1))
}

// number gives the number of a place, a new one if it lies near no other.
func (c *corners) number(p geom.Point2) int32 {
	lowX, highX, lowY, highY := cellOf(p.X-Snap), cellOf(p.X+Snap), cellOf(p.Y-Snap), cellOf(p.Y+Snap)
	best := int32(-1)
	for x := lowX; x <= highX; x++ {
		for y := lowY; y <= highY; y++ {
			for i := c.first[c.slot(x, y)]; i >= 0; i = c.next[i] {
				v := c.points[i].Sub(p)
				if v.Dot(v) < Snap*Snap && (best < 0 || i < best) {
					best = i
				}
			}
		}
	}
	if best >= 0 {
		return best
	}
	n := int32(len(c.points))
	at := c.slot(cellOf(p.X), cellOf(p.Y))
	c.points, c.next = append(c.points, p), append(c.next, c.first[at])
	c.first[at] = n
	return n
}
