package clamp

import (
	"cmp"
	"math"
	"slices"
)

// Span is a stretch of the line.
type Span struct{ Low, High float64 }

// hair is by how much fingers may be too long or too short for a stretch and
// still fit it, in millimetres: they are set by hand, and drawings are written to
// hundredths.
const hair = 0.02

// Wall is a stretch that what stands along the bend blocks.
type Wall struct {
	Span      // all of its metal
	Face Span // between its flat faces, without the inside curves at their feet
}

// ends tells where a finger left of the wall may end, and where one right of it
// may begin, so far from the inside face and never in its curve.
func (w Wall) ends(gap float64) (left, right float64) {
	return min(w.Low, w.Face.Low-gap), max(w.High, w.Face.High+gap)
}

// Beside reports whether a finger keeps the least gap to the inside faces of all
// walls and stands in none of their curves; it may miss that by a hair.
func Beside(s Span, walls []Wall, least float64) bool {
	for _, w := range walls {
		if left, right := w.ends(least); s.High > left+hair && s.Low < right-hair {
			return false
		}
	}
	return true
}

// ToFace is the least distance between a finger and the inside faces of walls,
// infinite when there are none.
func ToFace(s Span, walls []Wall) float64 {
	least := math.Inf(1)
	for _, w := range walls {
		least = min(least, Gap(s, []Span{w.Face}))
	}
	return least
}

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
	for _, b := range blocked {
		if max(b.Low-s.High, s.Low-b.High) < clearance-1e-9 {
			return false
		}
	}
	return true
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
