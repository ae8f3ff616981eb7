package scene

import (
	"math"

	"brakeside/calc/geom"
)

// cells is how many cells a grid has along each side: of 10, 16, 24 and 48 the quickest
// for a part of twelve bends (2026-12-01).
const cells = 16

// grid finds the facets near a line by the cells of the page they lie in.
type grid struct {
	low   geom.Point2
	size  geom.Point2 // of one cell
	lists [cells * cells][]int32
	stamp []int32 // by facet, the last question that found it
	asked int32
}

func newGrid(screens []screen) *grid {
	low, high := geom.Point2{X: math.Inf(1), Y: math.Inf(1)}, geom.Point2{X: math.Inf(-1), Y: math.Inf(-1)}
	for i := range screens {
		s := &screens[i]
		low = geom.Point2{X: min(low.X, s.low.X), Y: min(low.Y, s.low.Y)}
		high = geom.Point2{X: max(high.X, s.high.X), Y: max(high.Y, s.high.Y)}
	}
	g := &grid{low: low, size: high.Sub(low).Times(1.0 / cells), stamp: make([]int32, len(screens))}
	for i := range screens {
		g.visit(screens[i].low, screens[i].high, func(cell int) { g.lists[cell] = append(g.lists[cell], int32(i)) })
	}
	return g
}

// visit visits the cells that a box lies in.
func (g *grid) visit(low, high geom.Point2, do func(cell int)) {
	at := func(v, from, size float64) int {
		if !(size > 0) {
			return 0
		}
		return int(min(max((v-from)/size, 0), cells-1))
	}
	for x := at(low.X, g.low.X, g.size.X); x <= at(high.X, g.low.X, g.size.X); x++ {
		for y := at(low.Y, g.low.Y, g.size.Y); y <= at(high.Y, g.low.Y, g.size.Y); y++ {
			do(y*cells + x)
		}
	}
}

// around lists the facets in the cells of the box around a line, each once.
func (g *grid) around(a, b geom.Point2) []int32 {
	g.asked++
	var out []int32
	low, high := geom.Bounds(a, b)
	g.visit(low, high, func(cell int) {
		for _, i := range g.lists[cell] {
			if g.stamp[i] != g.asked {
				g.stamp[i] = g.asked
				out = append(out, i)
			}
		}
	})
	return out
}
