package scene

import (
	"math"
	"slices"

	"brakeside/calc/geom"
)

// Tolerances of hiding, in millimetres of the part. A line on a surface is not
// hidden by it: strips of bends stand off the true curve by less than nearer. A line
// behind the seam of two facets is hidden by both, as one that lies just behind the
// edge of a facet is.
const (
	nearer = 0.02  // how much nearer to the viewer a surface must be to hide a line
	beside = 0.002 // how far off its edge it still hides
)

// screen is a facet as seen: its ring, anticlockwise, its holes, and its depth
// as a function of the place.
type screen struct {
	ring      geom.Polygon
	holes     []geom.Polygon
	low, high geom.Point2
	base      float64 // depth at the origin of the page
	slope     geom.Point2
	nearer    float64 // how much nearer than a line it must be, with what it slopes beside its edge
}

// lay finds the plane of a facet from the corner triangle that is seen largest.
func (s *screen) lay(depths []float64) bool {
	most := 1e-9
	for i := 1; i+1 < len(s.ring); i++ {
		u, v := s.ring[i].Sub(s.ring[0]), s.ring[i+1].Sub(s.ring[0])
		cross := u.Cross(v)
		if math.Abs(cross) <= most {
			continue
		}
		most = math.Abs(cross)
		du, dv := depths[i]-depths[0], depths[i+1]-depths[0]
		s.slope = geom.Point2{X: (du*v.Y - dv*u.Y) / cross, Y: (dv*u.X - du*v.X) / cross}
		s.base = depths[0] - s.slope.Dot(s.ring[0])
	}
	s.nearer = nearer + 2*beside*s.slope.Length()
	return most > 1e-9
}

// sight is a line as seen, with the depths of its ends.
type sight struct {
	from, to       geom.Point2
	depthA, depthB float64
}

func (l sight) at(share float64) geom.Point2 { return l.from.Add(l.to.Sub(l.from).Times(share)) }

// span is a stretch of a line, in shares of its length.
type span struct{ from, to float64 }

// hides gives the stretches of a line that a facet hides: where it covers the
// line, is nearer, and has no hole.
func (s *screen) hides(l sight) []span {
	v, ok := s.covers(l)
	if !ok {
		return nil
	}
	// How much farther away the line is than the facet, at both ends of the stretch.
	far := func(share float64) float64 {
		p := l.at(share)
		return l.depthA + (l.depthB-l.depthA)*share - s.base - s.slope.Dot(p) - s.nearer
	}
	a, b := far(v.from), far(v.to)
	switch {
	case a <= 0 && b <= 0:
		return nil
	case a <= 0:
		v.from += (v.to - v.from) * a / (a - b)
	case b <= 0:
		v.to -= (v.to - v.from) * b / (b - a)
	}
	out := []span{v}
	for _, h := range s.holes {
		out = throughHole(out, h, l)
	}
	return out
}

// covers gives the stretch of a line within the ring of a facet.
func (s *screen) covers(l sight) (span, bool) {
	low, high := geom.Bounds(l.from, l.to)
	if low.X > s.high.X || s.low.X > high.X || low.Y > s.high.Y || s.low.Y > high.Y {
		return span{}, false
	}
	v := s.along(l)
	for i, p := range s.ring {
		along := s.ring[(i+1)%len(s.ring)].Sub(p)
		long := along.Length()
		if long < geom.Near {
			continue
		}
		a, b := along.Cross(l.from.Sub(p))/long+beside, along.Cross(l.to.Sub(p))/long+beside
		switch {
		case a <= 0 && b <= 0:
			return v, false
		case a <= 0:
			v.from = max(v.from, a/(a-b))
		case b <= 0:
			v.to = min(v.to, a/(a-b))
		}
	}
	return v, v.to-v.from > 1e-9
}

// along gives the stretch of a line beside which a facet lies: where edges meet at a
// sharp corner, what lies just behind both of them goes on for long beyond it.
func (s *screen) along(l sight) span {
	run := l.to.Sub(l.from)
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range s.ring {
		share := run.Dot(p.Sub(l.from))
		low, high = min(low, share), max(high, share)
	}
	long := run.Length()
	return span{max(0, low/(long*long)-beside/long), min(1, high/(long*long)+beside/long)}
}

// throughHole takes out of the hidden stretches what is seen through a hole.
func throughHole(hidden []span, h geom.Polygon, l sight) []span {
	var out []span
	for _, v := range hidden {
		cuts := []float64{v.from, v.to}
		for i, p := range h {
			q := h[(i+1)%len(h)]
			d := l.to.Sub(l.from)
			a, b := d.Cross(p.Sub(l.from)), d.Cross(q.Sub(l.from))
			if (a > 0) == (b > 0) {
				continue
			}
			at := p.Add(q.Sub(p).Times(a / (a - b)))
			if share := d.Dot(at.Sub(l.from)) / d.Dot(d); share > v.from && share < v.to {
				cuts = append(cuts, share)
			}
		}
		slices.Sort(cuts)
		for i := 1; i < len(cuts); i++ {
			if !h.Holds(l.at((cuts[i-1] + cuts[i]) / 2)) {
				out = append(out, span{cuts[i-1], cuts[i]})
			}
		}
	}
	return out
}
