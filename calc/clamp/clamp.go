// Package clamp chooses clamp bars and fingers for a bend and says where along
// the brake they go.
//
// Everything here happens on one line: x along the bend in millimetres, the
// left end of the bend at 0. What the part blocks has been worked out by
// calc/clash; here it is only stretches of that line.
package clamp

import (
	"cmp"
	"fmt"
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
	sortByLow(spans)
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

// Join adds a stretch to a list, or to its last stretch if the two touch: what
// one face blocks often does.
func Join(spans []Span, s Span) []Span {
	if n := len(spans); n > 0 && s.Low <= spans[n-1].High && spans[n-1].Low <= s.High {
		last := &spans[n-1]
		last.Low, last.High = min(last.Low, s.Low), max(last.High, s.High)
		return spans
	}
	return append(spans, s)
}

// sortByLow sorts a few stretches, nearly always a dozen, by insertion.
func sortByLow(spans []Span) {
	if len(spans) > 40 {
		slices.SortFunc(spans, func(a, b Span) int { return cmp.Compare(a.Low, b.Low) })
		return
	}
	for i := 1; i < len(spans); i++ {
		s, at := spans[i], i
		for ; at > 0 && spans[at-1].Low > s.Low; at-- {
			spans[at] = spans[at-1]
		}
		spans[at] = s
	}
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

// TooShort says that a bar in one piece does not reach along a bend, or nothing;
// so much of the bend may stick out past either end of it.
func TooShort(bar brake.Bar, bend, unsupported unit.MM) string {
	if bar.Kind == brake.Segments || bar.Length >= bend-2*unsupported {
		return ""
	}
	return fmt.Sprintf("too short: %s mm long, for a bend of %s", bar.Length.Text(1), bend.Text(1))
}

// Segment is one finger and where its left edge stands.
type Segment struct {
	Width unit.MM
	At    float64
}

// Fingers places fingers from the shelf along a bend of a length so that they
// stand clear of what is blocked, which is sorted and apart as Merge leaves it,
// and reachable agrees with every group of them that stands between two walls, in
// the room between these walls. Of all sets that do, the one with the fewest
// fingers is taken, then the one whose narrowest finger is the widest, since
// narrow fingers twist.
//
// It returns no fingers when none do; found then tells whether a set would have
// fitted that was not reachable.
func (s *Shelf) Fingers(length float64, blocked []Span, reachable func([]Segment, Span) bool) (fingers []Segment, found bool) {
	f := &filling{Shelf: s, length: length, reachable: reachable, gaps: gaps(s.bar, length, blocked)}
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

// gaps lists the free stretches of the bend. Where a wall bounds one, the end of
// the fingers keeps the bar's gap to it; a wall that stands beyond the end of the
// bend by more than that need not be reached.
func gaps(bar brake.Bar, length float64, blocked []Span) []gap {
	over := overhang(bar)
	near, far := float64(bar.EndGap[0]), float64(bar.EndGap[1])
	endless := Span{math.Inf(-1), math.Inf(1)}
	g := gap{room: Span{-over, length + over}, left: Span{-over, endless.High}, right: Span{endless.Low, length + over}}
	var out []gap
	for _, b := range blocked {
		if b.High <= g.room.Low || b.Low >= g.room.High {
			continue
		}
		before := g
		before.room.High, before.right = b.Low, Span{endless.Low, b.Low - near}
		if b.Low-far < length {
			before.right.Low = b.Low - far
		}
		out = appendUseful(out, before, length)
		g.room.Low, g.left = b.High, Span{b.High + near, endless.High}
		if b.High+far > 0 {
			g.left.High = b.High + far
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
		slices.SortStableFunc(s.sets, better)
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
	if n == 0 || f.length-end(placed) > float64(f.bar.UnsupportedEndMax)+1e-9 {
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
	return c.total <= g.right.High-g.left.Low+1e-9 && c.total+play >= g.right.Low-g.left.High-1e-9
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
	return min(max(middle, low), high), joint, low <= high+1e-9
}
