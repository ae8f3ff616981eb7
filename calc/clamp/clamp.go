// Package clamp chooses clamp bars and fingers for a bend and says where along
// the brake they go.
//
// Everything here happens on one line: x along the bend in millimetres, the
// left end of the bend at 0. What the part blocks has been worked out by
// calc/clash; here it is only stretches of that line.
package clamp

import (
	"math"
	"slices"
)

// Fingers places fingers from the shelf along a bend of a length beside walls,
// which are sorted and apart as Merge leaves them: the bar's least gap is
// measured to their inside faces, no finger stands in a curve at their feet, and
// the most gap is measured to where that curve begins. Reachable
// agrees with every group of them that stands between two walls, in the room
// between these walls. Of all sets that do, one with the fewest fingers is taken,
// of these one that reaches little past the ends of the bend, and then the one
// whose narrowest finger is the widest, since narrow fingers twist.
//
// It returns no fingers when none do; found then tells whether a set would have
// fitted that was not reachable.
func (s *Shelf) Fingers(length float64, walls []Wall, reachable func([]Segment, Span) bool) (fingers []Segment, found bool) {
	best, found := s.within(overhang(s.bar), length, walls, reachable)
	if best == nil {
		return nil, found
	}
	for over := max(float64(s.bar.UnsupportedEndMax), leastOver); over < past(best, length); over *= 2 {
		if closer, _ := s.within(over, length, walls, reachable); len(closer) == len(best) && bare(closer, length) <= bare(best, length)+1e-9 {
			return closer, true
		}
	}
	return best, true
}

// leastOver is as little as fingers are asked to reach past an end of the bend.
const leastOver = 1.0

// past is how far fingers reach past the ends of a bend, at the worse one.
func past(placed []Segment, length float64) float64 { return max(-placed[0].At, end(placed)-length) }

// bare is how much of the ends of a bend fingers leave outside the nose.
func bare(placed []Segment, length float64) float64 {
	return max(0, placed[0].At) + max(0, length-end(placed))
}

// within places fingers that reach no farther than over past an end of the bend.
func (s *Shelf) within(over, length float64, walls []Wall, reachable func([]Segment, Span) bool) (fingers []Segment, found bool) {
	f := &filling{Shelf: s, length: length, reachable: reachable, gaps: gaps(s.bar, over, length, walls)}
	f.fill(0, 0, nil)
	return f.best, f.found
}

// TakenOut reports whether fingers that stand in a room can be taken out of it
// upwards one after the other, where over is what hangs over them: each may be
// slid sideways as far as those that are left let it.
func TakenOut(group []Segment, room Span, over []Span) bool {
	if len(over) == 0 {
		return true
	}
	if widest := widestOpen(group, room, over) + hair; slices.ContainsFunc(group, func(g Segment) bool { return float64(g.Width) > widest }) {
		return false // whatever it is pushed under; mostly the question ends here
	}
	left := slices.Clone(group)
	for len(left) > 0 {
		i := slices.IndexFunc(left, func(g Segment) bool { return canLift(left, g, room, over) })
		if i < 0 {
			return false
		}
		left = slices.Delete(left, i, i+1)
	}
	return true
}

// widestOpen is the widest stretch of a room, and of where a group stands in it, that
// nothing hangs over.
func widestOpen(group []Segment, room Span, over []Span) float64 {
	at, widest := min(room.Low, group[0].At), 0.0
	high := max(room.High, end(group))
	for _, o := range over { // sorted, and apart
		widest, at = max(widest, min(o.Low, high)-at), max(at, o.High)
	}
	return max(widest, high-at)
}

// canLift reports whether a finger can be brought under an open stretch when
// those to its left and right are pushed aside.
func canLift(left []Segment, g Segment, room Span, over []Span) bool {
	for _, o := range left {
		if o.At < g.At {
			room.Low += float64(o.Width)
		}
		if o.At > g.At {
			room.High -= float64(o.Width)
		}
	}
	wide := float64(g.Width)
	if Free(Span{g.At, g.At + wide}, over, 0) {
		return true
	}
	open := func(at float64) bool {
		return at >= room.Low && at+wide <= room.High && Free(Span{at, at + wide}, over, 0)
	}
	if open(room.Low) || open(room.High-wide) {
		return true
	}
	for _, o := range over {
		if open(o.High) || open(o.Low-wide) {
			return true
		}
	}
	return false
}

// fill chooses disjoint sets for the gaps from one on, and keeps the best whole
// choice. A gap may be left bare if the stretch outside the nose does not get too
// long.
func (f *filling) fill(at int, used uint64, placed []Segment) {
	if at == len(f.gaps) {
		f.finish(placed)
		return
	}
	g := f.behind(at, placed)
	for _, c := range f.candidates(&g, used) {
		if f.best != nil {
			if count := len(placed) + c.count; count > len(f.best) {
				break // the sets that follow have no fewer fingers
			} else if count == len(f.best) && c.narrowed <= narrowest(f.best) {
				continue
			}
		}
		if c.mask&used != 0 || !f.fills(c, &g) {
			continue
		}
		for _, group := range f.groups(c, g, at == len(f.gaps)-1) {
			f.found = true
			if f.reachable(group, f.gaps[at].room) {
				f.fill(at+1, used|c.mask, append(slices.Clone(placed), group...))
			}
		}
	}
	f.fill(at+1, used, placed)
}

// finish keeps a choice for all gaps if it is the best so far.
func (f *filling) finish(placed []Segment) {
	n := len(placed)
	if n == 0 || f.length-end(placed) > float64(f.bar.UnsupportedEndMax)+hair {
		return
	}
	if f.best == nil || n < len(f.best) || n == len(f.best) && narrowest(placed) > narrowest(f.best) {
		f.best = placed
	}
}

// end is where the last finger ends.
func end(placed []Segment) float64 {
	last := placed[len(placed)-1]
	return last.At + float64(last.Width)
}

func narrowest(placed []Segment) float64 {
	least := math.Inf(1)
	for _, s := range placed {
		least = min(least, float64(s.Width))
	}
	return least
}

// groups places a set into a gap behind what is placed already: in the middle of
// its room and, where another gap follows, also as near to that as can be.
func (f *filling) groups(c set, g gap, last bool) [][]Segment {
	middle, ok := f.place(c, &g)
	if !ok {
		return nil
	}
	if last {
		return [][]Segment{middle}
	}
	play := float64(f.bar.JointGapMax) * float64(c.count-1)
	g.right.Low = max(g.right.Low, min(g.right.High, g.left.High+c.total+play))
	onwards, ok := f.place(c, &g)
	if !ok {
		return [][]Segment{middle}
	}
	return [][]Segment{middle, onwards}
}

// behind narrows where the fingers of a gap may begin by what is placed already,
// and where those of the last gap may end by the length of the bend.
func (f *filling) behind(at int, placed []Segment) gap {
	g := f.gaps[at]
	if placed == nil {
		g.left.High = min(g.left.High, float64(f.bar.UnsupportedEndMax))
	} else {
		g.left.High = min(g.left.High, end(placed)+float64(f.bar.UnsupportedInsideMax))
	}
	if at == len(f.gaps)-1 {
		g.right.Low = max(g.right.Low, f.length-float64(f.bar.UnsupportedEndMax))
	}
	return g
}
