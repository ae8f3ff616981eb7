package flat

import (
	"math"
	"slices"
	"sort"
	"strconv"

	"brakeside/calc/geom"
)

func itoa(i int) string { return strconv.Itoa(i) }

// union joins faces that lie beside each other: every edge is cut at the
// corners that lie on it, edges that two faces share in opposite directions
// cancel, and what is left is chained into loops. Corners are numbered, so that
// equal ones are the same number.
func union(faces []Face) ([]geom.Polygon, bool) {
	count, rings := 0, 0
	for _, f := range faces {
		rings += len(f.Pieces)
		for _, g := range f.Pieces {
			count += len(g)
		}
	}
	u := &joiner{corners: newCorners(count), order: make([][2]int32, 0, count+count/2)}
	numbers := make([]int32, 0, count)
	ends := make([]int, 0, rings)
	for _, f := range faces {
		for _, g := range f.Pieces {
			for _, p := range g {
				numbers = append(numbers, u.corners.number(p))
			}
			ends = append(ends, len(numbers))
		}
	}
	u.sorted()
	u.from = make([][]int32, len(u.corners.points))
	few := make([]int32, 2*len(u.from)) // most corners have no more edges than two
	for i := range u.from {
		u.from[i] = few[2*i : 2*i : 2*i+2]
	}
	start := 0
	for _, end := range ends {
		ring := numbers[start:end]
		for i, p := range ring {
			u.add(p, ring[(i+1)%len(ring)])
		}
		start = end
	}
	return u.loops()
}

// joiner is a union under way.
type joiner struct {
	corners *corners
	byX     []int32    // corners in the order of their x
	byY     []int32    // and of their y
	order   [][2]int32 // edges as they came, cancelled ones too
	from    [][]int32  // by corner, the corners that its edges lead to
	stops   []stop     // kept for its memory
}

// stop is a corner on an edge, so far from its beginning.
type stop struct {
	at     float64
	corner int32
}

func (u *joiner) sorted() {
	points := u.corners.points
	u.byX, u.byY = make([]int32, len(points)), make([]int32, len(points))
	for i := range points {
		u.byX[i], u.byY[i] = int32(i), int32(i)
	}
	slices.SortFunc(u.byX, func(a, b int32) int { return compare(points[a].X, points[b].X, a, b) })
	slices.SortFunc(u.byY, func(a, b int32) int { return compare(points[a].Y, points[b].Y, a, b) })
}

func compare(x, y float64, a, b int32) int {
	switch {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return int(a - b)
}

// add adds an edge, cut at the corners that lie on it.
func (u *joiner) add(a, b int32) {
	points := u.corners.points
	p, q := points[a], points[b]
	along := q.Sub(p)
	long := along.Length()
	if long < geom.Near {
		return
	}
	along = along.Times(1 / long)
	u.stops = append(u.stops[:0], stop{0, a})
	u.beside(p, q, func(i int32) {
		v := points[i].Sub(p)
		if at := along.Dot(v); at > Snap && at < long-Snap && math.Abs(along.Cross(v)) < Snap {
			u.stops = append(u.stops, stop{at, i})
		}
	})
	slices.SortFunc(u.stops[1:], func(s, t stop) int { return compare(s.at, t.at, s.corner, t.corner) })
	u.stops = append(u.stops, stop{long, b})
	for i := 1; i < len(u.stops); i++ {
		if from, to := u.stops[i-1].corner, u.stops[i].corner; from != to {
			u.link(from, to)
		}
	}
}

// beside visits the corners in the narrow box around an edge, by the order in
// which it is narrow.
func (u *joiner) beside(p, q geom.Point2, visit func(int32)) {
	points := u.corners.points
	low, high := math.Min(p.X, q.X)-Snap, math.Max(p.X, q.X)+Snap
	l, h := math.Min(p.Y, q.Y)-Snap, math.Max(p.Y, q.Y)+Snap
	if high-low <= h-l {
		first := sort.Search(len(u.byX), func(i int) bool { return points[u.byX[i]].X >= low })
		for _, i := range u.byX[first:] {
			if points[i].X > high {
				return
			}
			visit(i)
		}
		return
	}
	first := sort.Search(len(u.byY), func(i int) bool { return points[u.byY[i]].Y >= l })
	for _, i := range u.byY[first:] {
		if points[i].Y > h {
			return
		}
		visit(i)
	}
}

// link adds a piece of an edge, or cancels the one that runs back.
func (u *joiner) link(from, to int32) {
	for i, back := range u.from[to] {
		if back == from {
			u.from[to] = slices.Delete(u.from[to], i, i+1)
			return
		}
	}
	u.from[from] = append(u.from[from], to)
	u.order = append(u.order, [2]int32{from, to})
}

// loops chains the edges end to end.
func (u *joiner) loops() ([]geom.Polygon, bool) {
	var out []geom.Polygon
	for _, e := range u.order {
		for len(u.from[e[0]]) > 0 {
			loop, ok := u.follow(e[0])
			if !ok {
				return nil, false
			}
			if g := straighten(loop); len(g) >= 3 {
				out = append(out, g)
			}
		}
	}
	return out, len(out) > 0
}

// follow walks one loop and takes its edges away. Where several leave one
// corner the one that turns most to the left is taken: the sheet lies there, so
// pieces that only touch at a corner stay apart.
func (u *joiner) follow(start int32) (geom.Polygon, bool) {
	points := u.corners.points
	loop := append(make(geom.Polygon, 0, len(u.order)), points[start])
	at, heading := start, geom.Point2{}
	for {
		choices := u.from[at]
		if len(choices) == 0 {
			return nil, false
		}
		best, sharpest := 0, math.Inf(-1)
		for i, to := range choices {
			if len(choices) == 1 {
				break
			}
			on := points[to].Sub(points[at])
			if turn := math.Atan2(heading.Cross(on), heading.Dot(on)); turn > sharpest {
				best, sharpest = i, turn
			}
		}
		to := choices[best]
		u.from[at] = slices.Delete(choices, best, best+1)
		at, heading = to, points[to].Sub(points[at])
		if at == start {
			return loop, true
		}
		loop = append(loop, points[at])
	}
}

// straighten drops corners on a straight edge.
func straighten(g geom.Polygon) geom.Polygon {
	out := make(geom.Polygon, 0, len(g))
	for i, p := range g {
		in := p.Sub(g[(i+len(g)-1)%len(g)])
		on := g[(i+1)%len(g)].Sub(p)
		cross, longest := in.Cross(on), max(in.Dot(in), on.Dot(on))
		if cross*cross > geom.Near*geom.Near*longest || in.Dot(on) < 0 {
			out = append(out, p)
		}
	}
	return out
}
