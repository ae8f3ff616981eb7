package clamp

import (
	"math"
	"math/bits"
	"slices"
)

// A shelf of many fingers has too many sets to list. For each gap the best set of every
// length and number of fingers is found by adding one finger after the other to a table
// (the knapsack of so many pieces): more fingers of one length reach farther, by the
// joints between them. With one gap that is all there is to choose from; with several,
// the best so many of each are tried against each other.
const (
	grain          = 0.25 // mm; lengths are told apart by it
	mostCandidates = 120
)

// candidates lists the sets for a gap, the best first.
func (f *filling) candidates(g *gap, used uint64) []set {
	if f.listed {
		return f.sets
	}
	var out []set
	for _, sized := range f.bestOf(used, g.right.High-g.left.Low) {
		for _, c := range sized {
			if c.count == 0 {
				continue
			}
			if _, _, ok := f.spot(c, g); ok {
				out = append(out, c)
			}
		}
	}
	slices.SortStableFunc(out, better)
	return out[:min(len(out), mostCandidates)]
}

// bestOf gives, by the number of fingers, for every length up to the longest the set
// with the widest narrowest one of the fingers that are not used yet; those of count 0
// are not possible.
func (s *Shelf) bestOf(used uint64, longest float64) [][]set {
	if !(longest > 0) {
		return nil
	}
	free := len(s.bar.Widths) - bits.OnesCount64(used)
	table := make([][]set, free+1)
	for count := range table {
		table[count] = make([]set, int(math.Ceil(longest/grain))+1)
	}
	table[0][0].narrowed = math.Inf(1)
	for i := len(s.bar.Widths) - 1; i >= 0; i-- {
		if used&(1<<i) == 0 {
			for count := free; count > 0; count-- {
				s.addTo(table[count], table[count-1], i)
			}
		}
	}
	return table
}

// addTo tries one more finger behind every set of the table of those with one less.
func (s *Shelf) addTo(table, less []set, finger int) {
	w := float64(s.bar.Widths[finger])
	cells := int(math.Round(w / grain))
	for at := len(table) - 1; at >= cells; at-- {
		from := less[at-cells]
		if from.narrowed == 0 {
			continue
		}
		next := set{from.mask | 1<<finger, from.count + 1, from.total + w, math.Min(from.narrowed, w)}
		if table[at].count == 0 || better(next, table[at]) < 0 {
			table[at] = next
		}
	}
}
