package drawing

import (
	"math"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
)

// Stroke is one line of a drawing: a row of straight edges, open or closed. Of
// a circle the row is of chords, and the circle itself is told too.
type Stroke struct {
	Points []geom.Point2
	Closed bool
	Centre geom.Point2
	Radius float64 // 0 for what is no circle
}

// Ring is a closed line of a drawing.
type Ring struct {
	Points geom.Polygon
	Centre geom.Point2
	Radius float64 // 0 for what is no circle
}

// Rings joins strokes end to end into closed lines. Ends within Snap of each
// other are one; a stroke that is drawn twice is dropped, and counted. An end
// that meets nothing, or more than one other, is refused with its place.
func Rings(strokes []Stroke) (rings []Ring, dropped int, err error) {
	j := &joining{}
	for _, s := range strokes {
		if dropped += j.add(s); j.err != nil {
			return nil, 0, j.err
		}
	}
	j.chain()
	if j.err != nil {
		return nil, 0, j.err
	}
	for _, r := range j.rings {
		if err := r.sound(); err != nil {
			return nil, 0, err
		}
	}
	return j.rings, dropped, nil
}

// joining is a joining under way.
type joining struct {
	rings []Ring
	open  []Stroke
	ends  []node // where open strokes begin and end
	at    map[[2]int64][]int
	seen  map[shape]bool
	err   error
}

// node is a place where open strokes meet: stroke number times 2, plus 1 for
// its end.
type node struct {
	p     geom.Point2
	meets []int
}

// shape is what two strokes that lie over each other have in common, to within
// a tenth of Snap.
type shape struct {
	low, high, middle [2]int64
	corners           int
}

func (j *joining) refuse(format string, values ...any) {
	if j.err == nil {
		j.err = fault.New(fault.Invalid, "", format, values...)
	}
}

// add takes a stroke in and gives 1 if it lies over an earlier one.
func (j *joining) add(s Stroke) (dropped int) {
	if j.at == nil {
		j.at, j.seen = map[[2]int64][]int{}, map[shape]bool{}
	}
	s.Points = plain(s.Points, s.Closed)
	if len(s.Points) < 2 {
		return 0
	}
	if len(s.Points) > 2 && !s.Closed && s.Points[0].Sub(s.Points[len(s.Points)-1]).Length() < Snap {
		s.Points, s.Closed = s.Points[:len(s.Points)-1], true
	}
	key := shapeOf(s)
	if j.seen[key] {
		return 1
	}
	j.seen[key] = true
	if s.Closed {
		j.rings = append(j.rings, Ring{s.Points, s.Centre, s.Radius})
		return 0
	}
	number := len(j.open)
	j.open = append(j.open, s)
	j.end(s.Points[0], 2*number)
	j.end(s.Points[len(s.Points)-1], 2*number+1)
	return 0
}

// plain drops corners that repeat the one before.
func plain(points []geom.Point2, closed bool) []geom.Point2 {
	var out []geom.Point2
	for _, p := range points {
		if n := len(out); n == 0 || p.Sub(out[n-1]).Length() > geom.Near {
			out = append(out, p)
		}
	}
	for closed && len(out) > 1 && out[0].Sub(out[len(out)-1]).Length() <= geom.Near {
		out = out[:len(out)-1]
	}
	return out
}

func rounded(p geom.Point2) [2]int64 {
	const grain = Snap / 10
	return [2]int64{int64(math.Round(p.X / grain)), int64(math.Round(p.Y / grain))}
}

func shapeOf(s Stroke) shape {
	low, high := geom.Bounds(s.Points...)
	sum := geom.Point2{}
	for _, p := range s.Points {
		sum = sum.Add(p)
	}
	out := shape{rounded(low), rounded(high), rounded(sum.Times(1 / float64(len(s.Points)))), len(s.Points)}
	if !s.Closed && len(s.Points) == 2 { // the two diagonals of a box differ in their slope only
		out.corners = 2
		if d := s.Points[1].Sub(s.Points[0]); d.X*d.Y < 0 {
			out.corners = -2
		}
	}
	return out
}

// end notes an end of an open stroke at the place it belongs to.
func (j *joining) end(p geom.Point2, stroke int) {
	x, y := int64(math.Floor(p.X/Snap)), int64(math.Floor(p.Y/Snap))
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, n := range j.at[[2]int64{x + dx, y + dy}] {
				if j.ends[n].p.Sub(p).Length() < Snap {
					j.ends[n].meets = append(j.ends[n].meets, stroke)
					return
				}
			}
		}
	}
	j.at[[2]int64{x, y}] = append(j.at[[2]int64{x, y}], len(j.ends))
	j.ends = append(j.ends, node{p, []int{stroke}})
}

// chain joins the open strokes.
func (j *joining) chain() {
	of := make([]int, 2*len(j.open)) // the node at each end of each stroke
	for n, e := range j.ends {
		switch {
		case len(e.meets) == 1:
			j.refuse("the outline is open at (%.2f, %.2f): no other line ends within %v mm of it%s", e.p.X, e.p.Y, Snap, j.nearest(n))
		case len(e.meets) > 2:
			j.refuse("%d lines of the outline meet at (%.2f, %.2f); an outline goes on one way only", len(e.meets), e.p.X, e.p.Y)
		}
		for _, m := range e.meets {
			of[m] = n
		}
	}
	if j.err != nil {
		return
	}
	used := make([]bool, len(j.open))
	for i := range j.open {
		if !used[i] {
			j.follow(2*i, of, used)
		}
	}
}

// follow walks from the beginning of a stroke round to it.
func (j *joining) follow(start int, of []int, used []bool) {
	var ring geom.Polygon
	for at := start; ; {
		stroke, points := at/2, j.open[at/2].Points
		used[stroke] = true
		n := len(points)
		for k := range n - 1 {
			p := points[k]
			if at%2 == 1 {
				p = points[n-1-k]
			}
			if k == 0 {
				p = j.ends[of[at]].p // lines that meet end at one place
			}
			ring = append(ring, p)
		}
		far := at ^ 1
		next := -1
		for _, m := range j.ends[of[far]].meets {
			if m != far {
				next = m
			}
		}
		if next < 0 || next == start || used[next/2] {
			break
		}
		at = next
	}
	j.rings = append(j.rings, Ring{Points: ring})
}

// nearest tells how far the nearest other open end lies.
func (j *joining) nearest(n int) string {
	least, at := math.Inf(1), geom.Point2{}
	for m, e := range j.ends {
		if d := e.p.Sub(j.ends[n].p).Length(); m != n && len(e.meets) == 1 && d < least {
			least, at = d, e.p
		}
	}
	if math.IsInf(least, 1) {
		return "; close it"
	}
	return fault.New(fault.Invalid, "", "; the nearest open end is (%.2f, %.2f), %.2f mm away", at.X, at.Y, least).Message
}

// sound refuses a ring without area or one that crosses itself.
func (r Ring) sound() error {
	g := r.Points
	if len(g) < 3 || math.Abs(g.Area()) < Snap*Snap {
		return fault.New(fault.Invalid, "", "the closed line at (%.2f, %.2f) goes round nothing", g[0].X, g[0].Y)
	}
	if i, j, cross := g.Crossing(); cross {
		a, b := g[i], g[j]
		return fault.New(fault.Invalid, "",
			"the line from (%.2f, %.2f) meets the line from (%.2f, %.2f); an outline must not cross or touch itself", a.X, a.Y, b.X, b.Y)
	}
	return nil
}
