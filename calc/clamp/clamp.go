// Package clamp chooses clamp bars and fingers for a bend and says where along
// the brake they go.
//
// Everything here happens on one line: x along the bend in millimetres, the
// left end of the bend at 0. What the part blocks has been worked out by
// calc/clash; here it is only stretches of that line.
package clamp

import (
	"math"
	"sort"

	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// Span is a stretch of the line.
type Span struct{ Low, High float64 }

// Merge sorts stretches and joins those that touch.
func Merge(spans []Span) []Span {
	sorted := append([]Span(nil), spans...)
	sort.Slice(sorted, func(i, j int) bool { return sorted[i].Low < sorted[j].Low })
	var out []Span
	for _, s := range sorted {
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
// stand clear of what is blocked. Of all sets that fit, the one with the fewest
// fingers is taken, then the one whose narrowest finger is the widest, since
// narrow fingers twist. It reports false when no set fits.
func (s *Shelf) Fingers(length float64, blocked []Span) ([]Segment, bool) {
	gaps, ok := gaps(s.bar, length, Merge(blocked))
	if !ok {
		return nil, false
	}
	return s.fill(gaps, 0)
}

// gap is a free stretch that fingers must fill: where their left and their
// right end may stand.
type gap struct{ left, right Span }

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
		g := gap{left: Span{f.Low, inside.Low + float64(bar.UnsupportedEndMax)}, right: Span{inside.High - float64(bar.UnsupportedEndMax), f.High}}
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
	sort.SliceStable(s.sets, func(i, j int) bool {
		a, b := s.sets[i], s.sets[j]
		if a.count != b.count {
			return a.count < b.count
		}
		if a.narrowed != b.narrowed {
			return a.narrowed > b.narrowed
		}
		return a.mask < b.mask
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

// fill chooses disjoint sets for the gaps, one after the other.
func (s *Shelf) fill(gaps []gap, used uint64) ([]Segment, bool) {
	if len(gaps) == 0 {
		return nil, true
	}
	for _, c := range s.sets {
		if c.mask&used != 0 {
			continue
		}
		here, ok := s.place(c, gaps[0])
		if !ok {
			continue
		}
		if rest, ok := s.fill(gaps[1:], used|c.mask); ok {
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
