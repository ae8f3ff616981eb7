package clamp

import (
	"cmp"
	"math"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// Segment is one finger and where its left edge stands.
type Segment struct {
	Width unit.MM
	At    float64
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

// gaps lists the free stretches of the bend. Where a wall bounds one, the end of
// the fingers keeps the bar's least gap to its inside face and stays out of the
// curve at its foot; no more flat sheet than the bar's most gap lies bare before
// that curve. A wall that stands beyond the end of the bend by more than that need
// not be reached. At a free end they may reach so far over.
func gaps(bar brake.Bar, over, length float64, walls []Wall) []gap {
	near, far := float64(bar.EndGap[0]), float64(bar.EndGap[1])
	endless := Span{math.Inf(-1), math.Inf(1)}
	g := gap{room: Span{-over, length + over}, left: Span{-over, endless.High}, right: Span{endless.Low, length + over}}
	var out []gap
	for _, w := range walls {
		if w.High <= g.room.Low || w.Low >= g.room.High {
			continue
		}
		before := g
		end, begin := w.ends(near)
		before.room.High, before.right = w.Low, Span{endless.Low, end}
		if w.Low-far < length {
			before.right.Low = w.Low - far
		}
		out = appendUseful(out, before, length)
		g.room.Low, g.left = w.High, Span{begin, endless.High}
		if w.High+far > 0 {
			g.left.High = w.High + far
		}
	}
	return appendUseful(out, g, length)
}

// appendUseful adds a gap unless it lies beside the bend.
func appendUseful(out []gap, g gap, length float64) []gap {
	if min(g.right.High, length)-max(g.left.Low, 0) <= 0 {
		return out
	}
	return append(out, g)
}

// Shelf holds the sets of fingers that can be made of what is there, the best
// first.
type Shelf struct {
	bar    brake.Bar
	listed bool // all sets are in sets
	sets   []set
}

type set struct {
	mask     uint64
	count    int
	total    float64
	narrowed float64 // the narrowest finger
}

// better puts the set of fewer fingers first, then that of the wider narrowest.
func better(a, b set) int {
	return cmp.Or(cmp.Compare(a.count, b.count), cmp.Compare(b.narrowed, a.narrowed), cmp.Compare(a.mask, b.mask))
}

// mostFree is up to how many fingers all sets are listed; see large.go for
// shelves that hold more.
const mostFree = 12

// NewShelf lists the sets of fingers of a bar; a bar in one piece has none.
func NewShelf(bar brake.Bar) *Shelf {
	s := &Shelf{bar: bar}
	if s.listed = len(bar.Widths) <= mostFree; s.listed {
		s.sets = make([]set, 0, 1<<len(bar.Widths)-1)
		s.add(set{narrowed: math.Inf(1)}, 0)
		slices.SortFunc(s.sets, better) // no two sets are equal
	}
	return s
}

// add lists the set grown by every finger from first on.
func (s *Shelf) add(from set, first int) {
	for i := first; i < len(s.bar.Widths); i++ {
		w := float64(s.bar.Widths[i])
		next := set{from.mask | 1<<i, from.count + 1, from.total + w, math.Min(from.narrowed, w)}
		s.sets = append(s.sets, next)
		s.add(next, i+1)
	}
}

// filling looks for the best choice of fingers for all gaps of a bend.
type filling struct {
	*Shelf
	length    float64
	gaps      []gap
	reachable func([]Segment, Span) bool
	best      []Segment
	found     bool
}

// place puts a set into a gap, the widest finger first, joints equal and the
// rest of the play divided between both ends.
func (s *Shelf) place(c set, g *gap) ([]Segment, bool) {
	at, joint, ok := s.spot(c, g)
	if !ok {
		return nil, false
	}
	out := make([]Segment, 0, c.count)
	for i := len(s.bar.Widths) - 1; i >= 0; i-- {
		if c.mask&(1<<i) != 0 {
			out = append(out, Segment{s.bar.Widths[i], at})
			at += float64(s.bar.Widths[i]) + joint
		}
	}
	return out, true
}

// fills reports whether a set is neither too long nor too short for a gap.
func (s *Shelf) fills(c set, g *gap) bool {
	play := float64(s.bar.JointGapMax) * float64(c.count-1)
	return c.total <= g.right.High-g.left.Low+hair && c.total+play >= g.right.Low-g.left.High-hair
}

// spot is where a set begins in a gap and how wide its joints are.
func (s *Shelf) spot(c set, g *gap) (at, joint float64, ok bool) {
	if !s.fills(c, g) {
		return 0, 0, false
	}
	if short := g.right.Low - g.left.High - c.total; short > 0 && c.count > 1 {
		joint = min(short/float64(c.count-1), float64(s.bar.JointGapMax))
	}
	long := c.total + joint*float64(c.count-1)
	low, high := max(g.left.Low, g.right.Low-long), min(g.left.High, g.right.High-long)
	middle := (g.left.Low+g.right.High)/2 - long/2
	return min(max(middle, low), high), joint, low <= high+hair
}
