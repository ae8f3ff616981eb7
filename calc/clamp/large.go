package clamp

import (
	"math"
	"slices"
)

// A shelf of many fingers has too many sets to list. For each gap the fewest
// fingers of every length that fills it are found by adding one finger after the
// other to a table by length (the knapsack of fewest pieces). With one gap that is
// all there is to choose from; with several, the best so many of each are tried
// against each other.
const (
	grain          = 0.25 // mm; lengths are told apart by it
	mostCandidates = 60
)

// candidates lists the sets for a gap, the best first.
func (f *filling) candidates(g *gap, used uint64) []set {
	if f.listed {
		return f.sets
	}
	var out []set
	for _, c := range f.fewest(used, g.right.High-g.left.Low) {
		if c.count == 0 {
			continue
		}
		if _, _, ok := f.spot(c, g); ok {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, better)
	return out[:min(len(out), mostCandidates)]
}

// fewest gives for every length up to the longest the best set of that length of
// the fingers that are not used yet; those of count 0 are not possible.
func (s *Shelf) fewest(used uint64, longest float64) []set {
	if !(longest > 0) {
		return nil
	}
	table := make([]set, int(math.Ceil(longest/grain))+1)
	table[0].narrowed = math.Inf(1)
	for i := len(s.bar.Widths) - 1; i >= 0; i-- {
		if used&(1<<i) == 0 {
			s.addTo(table, i)
		}
	}
	return table
}

// addTo tries one more finger behind every set of the table.
func (s *Shelf) addTo(table []set, finger int) {
	w := float64(s.bar.Widths[finger])
	cells := int(math.Round(w / grain))
	for at := len(table) - 1; at >= cells; at-- {
		from := table[at-cells]
		if from.count == 0 && at != cells {
			continue
		}
		next := set{from.mask | 1<<finger, from.count + 1, from.total + w, math.Min(from.narrowed, w)}
		if table[at].count == 0 || better(next, table[at]) < 0 {
			table[at] = next
		}
	}
}
