// Package clamp chooses clamp bars and fingers for a bend and says where along
// the brake they go.
//
// Everything here happens on one line: x along the bend in millimetres, the
// left end of the bend at 0. What the part blocks has been worked out by
// calc/clash; here it is only stretches of that line.
package clamp

import (
	"cmp"
	"math"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// Span is a stretch of the line.
type Span struct{ Low, High float64 }

// Merge sorts stretches and joins those that touch, in the slice it is given.
func Merge(spans []Span) []Span {
	if len(spans) < 2 {
		return spans
	}
	slices.SortFunc(spans, func(a, b Span) int { return cmp.Compare(a.Low, b.Low) })
	out := spans[:0]
	for _, s := range spans {
		if n := len(out); n > 0 && s.Low <= out[n-1].High {
			out[n-1].High = math.Max(out[n-1].High, s.High)
			continue
		}
		out = append(out, s)
	}
	return out
}

// Free reports whether no stretch comes nearer to s than the clearance.
func Free(s Span, blocked []Span, clearance float64) bool {
	return Gap(s, blocked) >= clearance-1e-9
}

// Gap is the least distance between s and the blocked stretches, below zero
// when they overlap, infinite when there are none.
func Gap(s Span, blocked []Span) float64 {
	least := math.Inf(1)
	for _, b := range blocked {
		least = math.Min(least, math.Max(b.Low-s.High, s.Low-b.High))
	}
	return least
}

// Segment is one finger and where its left edge stands.
type Segment struct {
	Width unit.MM
	At    float64
}

// Fingers places fingers from the shelf along a bend of a length so that they
// stand clear of what is blocked, sorted and apart as Merge leaves it, and reachable agrees with every group of them
// that stands between two walls, in the room between these walls. Of all sets
// that do, the one with the fewest fingers is taken, then the one whose
// narrowest finger is the widest, since narrow fingers twist.
//
// It returns no fingers when none do; found then tells whether a set would have
// fitted that was not reachable.
func (s *Shelf) Fingers(length float64, blocked []Span, reachable func([]Segment, Span) bool) (fingers []Segment, found bool) {
	gaps, ok := gaps(s.bar, length, blocked)
	if !ok {
		return nil, false
	}
	f := &filling{Shelf: s, reachable: reachable}
	fingers, _ = f.fill(gaps, 0)
	return fingers, f.found
}

// TakenOut reports whether fingers that stand in a room can be taken out of it
// upwards one after the other, where over is what hangs over them: each may be
// slid sideways as far as those that are left let it.
func TakenOut(group []Segment, room Span, over []Span) bool {
	if len(over) == 0 {
		return true
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

// gap is a free stretch that fingers must fill: where their left and their
// right end may stand.
type gap struct {
	left, right Span
	room        Span // between the walls
}

// overhang is how far a finger may reach past an end of the bend where no wall
// stands, in millimetres: the whole of the widest finger.
func overhang(bar brake.Bar) float64 {
	widest := unit.MM(0)
	for _, w := range bar.Widths {
		widest = max(widest, w)
	}
	return float64(widest)
}

// gaps lists the free stretches of the bend. Between two of them no more than
// the bar's largest unsupported window may be left.
func gaps(bar brake.Bar, length float64, blocked []Span) ([]gap, bool) {
	over := overhang(bar)
	near, far := float64(bar.EndGap[0]), float64(bar.EndGap[1])
	free := []Span{{-over, length + over}}
	walled := [][2]bool{{false, false}}
	for _, b := range blocked {
		last := len(free) - 1
		if b.High <= free[last].Low || b.Low >= free[last].High {
			continue
		}
		rest := Span{b.High, free[last].High}
		restWall := [2]bool{true, walled[last][1]}
		free[last].High, walled[last][1] = b.Low, true
		free, walled = append(free, rest), append(walled, restWall)
	}
	var out []gap
	end, windows := math.Inf(-1), float64(bar.UnsupportedInsideMax)
	for i, f := range free {
		inside := Span{math.Max(f.Low, 0), math.Min(f.High, length)}
		if inside.High-inside.Low <= 2*near {
			continue
		}
		g := gap{room: f, left: Span{f.Low, inside.Low + float64(bar.UnsupportedEndMax)}, right: Span{inside.High - float64(bar.UnsupportedEndMax), f.High}}
		if walled[i][0] {
			g.left = Span{f.Low + near, math.Min(f.Low+far, math.Max(0, f.Low)+float64(bar.UnsupportedEndMax))}
		}
		if walled[i][1] {
			g.right = Span{math.Max(f.High-far, math.Min(length, f.High)-float64(bar.UnsupportedEndMax)), f.High - near}
		}
		if inside.Low-end > windows && !math.IsInf(end, -1) || math.IsInf(end, -1) && inside.Low > float64(bar.UnsupportedEndMax) {
			return nil, false
		}
		end = inside.High
		out = append(out, g)
	}
	return out, len(out) > 0 && length-end <= float64(bar.UnsupportedEndMax)
}

// Shelf holds the sets of fingers that can be made of what is there, the best
// first.
type Shelf struct {
	bar  brake.Bar
	sets []set
}

type set struct {
	mask     uint64
	count    int
	total    float64
	narrowed float64 // the narrowest finger
}

// mostFree is up to how many fingers all sets are listed; of a larger shelf,
// sets of at most fewFingers are.
const (
	mostFree   = 12
	fewFingers = 5
)

// NewShelf lists the sets of fingers of a bar; a bar in one piece has none.
func NewShelf(bar brake.Bar) *Shelf {
	s := &Shelf{bar: bar}
	limit := len(bar.Widths)
	if limit > mostFree {
		limit = fewFingers
	}
	s.add(set{narrowed: math.Inf(1)}, 0, limit)
	slices.SortStableFunc(s.sets, func(a, b set) int {
		return cmp.Or(cmp.Compare(a.count, b.count), cmp.Compare(b.narrowed, a.narrowed), cmp.Compare(a.mask, b.mask))
	})
	return s
}

// add lists the set grown by every finger from first on.
func (s *Shelf) add(from set, first, limit int) {
	if from.count == limit {
		return
	}
	for i := first; i < len(s.bar.Widths); i++ {
		w := float64(s.bar.Widths[i])
		next := set{from.mask | 1<<i, from.count + 1, from.total + w, math.Min(from.narrowed, w)}
		s.sets = append(s.sets, next)
		s.add(next, i+1, limit)
	}
}

// filling is one choice of fingers for all gaps of a bend.
type filling struct {
	*Shelf
	reachable func([]Segment, Span) bool
	found     bool
}

// fill chooses disjoint sets for the gaps, one after the other.
func (f *filling) fill(gaps []gap, used uint64) ([]Segment, bool) {
	if len(gaps) == 0 {
		return nil, true
	}
	for _, c := range f.sets {
		if c.mask&used != 0 {
			continue
		}
		here, ok := f.place(c, gaps[0])
		if !ok {
			continue
		}
		f.found = true
		if !f.reachable(here, gaps[0].room) {
			continue
		}
		if rest, ok := f.fill(gaps[1:], used|c.mask); ok {
			return append(here, rest...), true
		}
	}
	return nil, false
}

// place puts a set into a gap, the widest finger first, joints equal and the
// rest of the play divided between both ends.
func (s *Shelf) place(c set, g gap) ([]Segment, bool) {
	play := float64(s.bar.JointGapMax) * float64(c.count-1)
	if c.total > g.right.High-g.left.Low+1e-9 || c.total+play < g.right.Low-g.left.High-1e-9 {
		return nil, false
	}
	joint := 0.0
	if short := g.right.Low - g.left.High - c.total; short > 0 && c.count > 1 {
		joint = math.Min(short/float64(c.count-1), float64(s.bar.JointGapMax))
	}
	long := c.total + joint*float64(c.count-1)
	low := math.Max(g.left.Low, g.right.Low-long)
	high := math.Min(g.left.High, g.right.High-long)
	if low > high+1e-9 {
		return nil, false
	}
	middle := (g.left.Low+g.right.High)/2 - long/2
	at := math.Min(math.Max(middle, low), high)
	var out []Segment
	for i := len(s.bar.Widths) - 1; i >= 0; i-- {
		if c.mask&(1<<i) != 0 {
			out = append(out, Segment{s.bar.Widths[i], at})
			at += float64(s.bar.Widths[i]) + joint
		}
	}
	return out, true
}
