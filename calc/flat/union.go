package flat

import (
	"math"
	"sort"
	"strconv"

	"brakeside/calc/geom"
)

func itoa(i int) string { return strconv.Itoa(i) }

// byLeftEnd lists the edges of a polygon by the x of their left ends.
func byLeftEnd(g geom.Polygon) []int {
	order := make([]int, len(g))
	left := make([]float64, len(g))
	for i, p := range g {
		order[i] = i
		left[i] = math.Min(p.X, g[(i+1)%len(g)].X)
	}
	sort.SliceStable(order, func(a, b int) bool { return left[order[a]] < left[order[b]] })
	return order
}

// union joins faces that lie beside each other: every edge is cut at the
// corners that lie on it, edges that two faces share in opposite directions
// cancel, and what is left is chained into loops.
func union(faces []Face) ([]geom.Polygon, bool) {
	snap := snapper{}
	var all []geom.Polygon
	corners := geom.Polygon{}
	for _, f := range faces {
		for _, g := range f.Pieces {
			var snapped geom.Polygon
			for _, p := range g {
				snapped = append(snapped, snap.point(p))
			}
			all = append(all, snapped)
			corners = append(corners, snapped...)
		}
	}
	sort.SliceStable(corners, func(i, j int) bool { return corners[i].X < corners[j].X })
	edges := map[[2]geom.Point2]int{}
	var order [][2]geom.Point2
	for _, g := range all {
		for i, p := range g {
			for _, e := range cutAt(p, g[(i+1)%len(g)], corners) {
				if back := [2]geom.Point2{e[1], e[0]}; edges[back] > 0 {
					edges[back]--
					continue
				}
				edges[e]++
				order = append(order, e)
			}
		}
	}
	return chain(order, edges)
}

// cutAt cuts the edge from p to q at the corners that lie on it.
func cutAt(p, q geom.Point2, corners geom.Polygon) [][2]geom.Point2 {
	along := q.Sub(p)
	long := along.Length()
	if long < geom.Near {
		return nil
	}
	along = along.Times(1 / long)
	low, high := geom.Bounds(p, q)
	first := sort.Search(len(corners), func(i int) bool { return corners[i].X >= low.X-Snap })
	type stop struct {
		at float64
		c  geom.Point2
	}
	stops := []stop{{0, p}, {long, q}}
	for _, c := range corners[first:] {
		if c.X > high.X+Snap {
			break
		}
		v := c.Sub(p)
		if at := along.Dot(v); at > Snap && at < long-Snap && math.Abs(along.Cross(v)) < Snap {
			stops = append(stops, stop{at, c})
		}
	}
	sort.SliceStable(stops, func(i, j int) bool { return stops[i].at < stops[j].at })
	var out [][2]geom.Point2
	for i := 1; i < len(stops); i++ {
		if stops[i].c != stops[i-1].c {
			out = append(out, [2]geom.Point2{stops[i-1].c, stops[i].c})
		}
	}
	return out
}

// chain joins edges end to end. Where several leave one corner the one that
// turns most to the left is taken: the sheet lies there, so pieces that only
// touch at a corner stay apart.
func chain(order [][2]geom.Point2, edges map[[2]geom.Point2]int) ([]geom.Polygon, bool) {
	from := map[geom.Point2][][2]geom.Point2{}
	for _, e := range order {
		if edges[e] > 0 {
			edges[e]--
			from[e[0]] = append(from[e[0]], e)
		}
	}
	var loops []geom.Polygon
	for _, e := range order {
		for len(from[e[0]]) > 0 {
			loop, ok := follow(e[0], from)
			if !ok {
				return nil, false
			}
			if g := straighten(loop); len(g) >= 3 {
				loops = append(loops, g)
			}
		}
	}
	return loops, len(loops) > 0
}

// follow walks one loop and takes its edges away.
func follow(start geom.Point2, from map[geom.Point2][][2]geom.Point2) (geom.Polygon, bool) {
	loop := geom.Polygon{start}
	at, heading := start, geom.Point2{}
	for {
		choices := from[at]
		if len(choices) == 0 {
			return nil, false
		}
		best, sharpest := 0, math.Inf(-1)
		for i, e := range choices {
			on := e[1].Sub(e[0])
			if turn := math.Atan2(heading.Cross(on), heading.Dot(on)); turn > sharpest {
				best, sharpest = i, turn
			}
		}
		e := choices[best]
		from[at] = append(choices[:best:best], choices[best+1:]...)
		at, heading = e[1], e[1].Sub(e[0])
		if at == start {
			return loop, true
		}
		loop = append(loop, at)
	}
}

// straighten drops corners on a straight edge.
func straighten(g geom.Polygon) geom.Polygon {
	var out geom.Polygon
	for i, p := range g {
		in := p.Sub(g[(i+len(g)-1)%len(g)])
		on := g[(i+1)%len(g)].Sub(p)
		if math.Abs(in.Cross(on)) > geom.Near*math.Max(in.Length(), on.Length()) || in.Dot(on) < 0 {
			out = append(out, p)
		}
	}
	return out
}
