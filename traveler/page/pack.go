package page

import (
	"cmp"
	"slices"

	"brakeside/traveler/canvas"
)

// layout is the best way found to put the first blocks on pages.
type layout struct {
	counts []int   // blocks on each page
	rows   int     // pages up to the last one with a row on it
	waste  float64 // sum of the squares of the heights left free; see evenness
}

// better reports whether a layout is to be taken before another: the one with
// fewer pages, then the one that needs fewer turned for its rows, then the one
// that fills its pages more evenly.
func (l layout) better(than layout) bool {
	if than.counts == nil {
		return true
	}
	order := cmp.Or(
		cmp.Compare(len(l.counts), len(than.counts)),
		cmp.Compare(l.rows, than.rows),
		cmp.Compare(l.waste, than.waste),
	)
	return order < 0
}

// breaks shares blocks out over pages, the best way that layout.better knows:
// it gives how many blocks each page takes. A block too high for any page has
// one of its own.
func breaks(blocks []Block, room func(page int) float64) []int {
	return pack(blocks, room).counts
}

// pack is breaks with how good they are.
func pack(blocks []Block, room func(page int) float64) layout {
	best := make([]layout, len(blocks)+1)
	best[0].counts = []int{}
	for end := 1; end <= len(blocks); end++ {
		height, wish, row := 0.0, 0.0, false
		for start := end - 1; start >= 0; start-- {
			before := best[start]
			height += blocks[start].Least + gap
			wish += blocks[start].Most - blocks[start].Least
			row = row || blocks[start].Row
			free := room(len(before.counts)) + gap - height
			if free < -1e-9 && start < end-1 {
				continue
			}
			l := layout{append(slices.Clone(before.counts), end-start), before.rows, before.waste + evenness(free, wish)}
			if row {
				l.rows = len(l.counts)
			}
			if l.better(best[end]) {
				best[end] = l
			}
		}
	}
	return best[len(blocks)]
}

// evenness is what a page's free height counts against a layout: fully where
// no block can make use of it, and a little where the blocks only stretch.
func evenness(free, wish float64) float64 {
	empty := max(0, free-wish)
	return empty*empty + free*free/20
}

// Place draws the blocks into a box. What they leave free goes to the eager
// ones first and is shared out among the others by what each can make use of;
// what is still left is given back.
func Place(c canvas.Canvas, b canvas.Box, blocks []Block) canvas.Box {
	heights := make([]float64, len(blocks))
	free := b.H + gap
	for i, k := range blocks {
		heights[i] = k.Least
		free -= k.Least + gap
	}
	eager, modest := wishes(blocks)
	free -= share(heights, eager, free)
	share(heights, modest, free)
	for i, k := range blocks {
		own, rest := b.CutTop(heights[i])
		k.Draw(c, own)
		_, b = rest.CutTop(gap)
	}
	return b
}

// share adds to the heights of the blocks with a wish, up to the wish, and
// gives how much of the free height it used.
func share(heights, wishes []float64, free float64) float64 {
	wish := 0.0
	for _, w := range wishes {
		wish += w
	}
	if wish <= 0 || free <= 0 {
		return 0
	}
	part := min(1, free/wish)
	for i, w := range wishes {
		heights[i] += part * w
	}
	return part * wish
}

// wishes give how much higher than at least each block would like to be, for
// the eager blocks and for the others.
func wishes(blocks []Block) (eager, modest []float64) {
	eager, modest = make([]float64, len(blocks)), make([]float64, len(blocks))
	for i, k := range blocks {
		if k.Eager {
			eager[i] = k.Most - k.Least
		} else {
			modest[i] = k.Most - k.Least
		}
	}
	return eager, modest
}
