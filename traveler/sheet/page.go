package sheet

import (
	"cmp"
	"fmt"
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// The margins of every page, in millimetres. The clip of the board covers the
// top; most printers reach to 5 mm from the other edges.
const (
	clipMargin   = 20.0
	sideMargin   = 10.0
	bottomMargin = 6.0
	footHeight   = 9.2
	gap          = 1.5 // between two blocks
)

// papers are the sizes a sheet is printed on, in millimetres.
var papers = map[string]struct{ width, height float64 }{
	"a4":     {210, 297},     // ISO 216
	"letter": {215.9, 279.4}, // 8.5 x 11 inches
}

// block is a part of the sheet that stays on one page.
type block struct {
	least float64 // the height it needs
	most  float64 // the height it can make good use of
	eager bool    // it takes what it can use before the others do
	row   bool    // it is a step, which the operator turns to again and again
	draw  func(c canvas, b box)
}

// solid is a block of one height.
func solid(height float64, draw func(c canvas, b box)) block {
	return block{least: height, most: height, draw: draw}
}

// sheet is a traveler on its way to paper.
type sheet struct {
	*traveler.Traveler
	codes  codes
	paper  box // the whole page
	canvas []canvas
}

// newSheet is a traveler without pages yet. It fails on a paper that is neither
// a4 nor letter.
func newSheet(t *traveler.Traveler) (*sheet, error) {
	size, ok := papers[t.Paper]
	if !ok {
		return nil, fmt.Errorf("there is no paper %q, only a4 and letter", t.Paper)
	}
	return &sheet{Traveler: t, paper: box{0, 0, size.width, size.height}}, nil
}

// body is what the blocks of a page may fill.
func (s *sheet) body() box {
	return box{sideMargin, clipMargin, s.paper.w - 2*sideMargin, s.paper.h - clipMargin - bottomMargin - footHeight}
}

// page begins a new page.
func (s *sheet) page() canvas {
	c := canvas{&draw.Page{Width: s.paper.w, Height: s.paper.h}}
	s.canvas = append(s.canvas, c)
	return c
}

// further begins a page that is not the sheet's first, under the strip that
// names it, and gives what is left of it.
func (s *sheet) further() (c canvas, free box) {
	c = s.page()
	top, free := s.body().cutTop(s.stripHeight() + gap)
	s.strip(c, top)
	return c, free
}

// fill puts blocks on pages one below the other and stretches those of a page
// into the space that is left. Every page but the sheet's first begins with the
// strip that names it.
func (s *sheet) fill(blocks []block) {
	for _, n := range breaks(blocks, s.room) {
		var c canvas
		var free box
		if len(s.canvas) == 0 {
			c, free = s.page(), s.body()
		} else {
			c, free = s.further()
		}
		if rest := place(c, free, blocks[:n]); rest.h > leastNotes {
			c.notes(rest, wordsSketch)
		}
		blocks = blocks[n:]
	}
}

// room is the height that a page, counted from 0, has for blocks.
func (s *sheet) room(page int) float64 {
	if page == 0 {
		return s.body().h
	}
	return s.body().h - s.stripHeight() - gap
}

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
func breaks(blocks []block, room func(page int) float64) []int {
	best := make([]layout, len(blocks)+1)
	best[0].counts = []int{}
	for end := 1; end <= len(blocks); end++ {
		height, wish, row := 0.0, 0.0, false
		for start := end - 1; start >= 0; start-- {
			before := best[start]
			height += blocks[start].least + gap
			wish += blocks[start].most - blocks[start].least
			row = row || blocks[start].row
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
	return best[len(blocks)].counts
}

// evenness is what a page's free height counts against a layout: fully where
// no block can make use of it, and a little where the blocks only stretch.
func evenness(free, wish float64) float64 {
	empty := max(0, free-wish)
	return empty*empty + free*free/20
}

// place draws the blocks into a box. What they leave free goes to the eager
// ones first and is shared out among the others by what each can make use of;
// what is still left is given back.
func place(c canvas, b box, blocks []block) box {
	heights := make([]float64, len(blocks))
	free := b.h + gap
	for i, k := range blocks {
		heights[i] = k.least
		free -= k.least + gap
	}
	eager, modest := wishes(blocks)
	free -= share(heights, eager, free)
	share(heights, modest, free)
	for i, k := range blocks {
		own, rest := b.cutTop(heights[i])
		k.draw(c, own)
		_, b = rest.cutTop(gap)
	}
	return b
}

// leastNotes is the height from which free paper is framed for notes.
const leastNotes = 25.0

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
func wishes(blocks []block) (eager, modest []float64) {
	eager, modest = make([]float64, len(blocks)), make([]float64, len(blocks))
	for i, k := range blocks {
		if k.eager {
			eager[i] = k.most - k.least
		} else {
			modest[i] = k.most - k.least
		}
	}
	return eager, modest
}

// foot puts the line at the bottom of each page that tells which sheet it
// belongs to and when to destroy it.
func (s *sheet) foot(c canvas, number, of int) {
	b := box{sideMargin, s.paper.h - bottomMargin - footHeight, s.paper.w - 2*sideMargin, footHeight}
	c.line(draw.Outline, spot(b.x, b.y+1), spot(b.right(), b.y+1))
	_, b = b.cutTop(1.5)
	rows := b.rows(2)
	code, rest := rows[0].cutRight(72)
	c.write(rest, small, footWords(s.Traveler))
	words, warning := grouped(s.Code)+" · "+pageWords(number, of), wordsDestroy
	if s.Code == "" {
		words, warning = pageWords(number, of), wordsDestroyOld
	}
	c.write(code, smallBold.ranged(), words)
	destroy, rest := rows[1].cutLeft(smallBold.width(warning) + 3)
	c.write(destroy, smallBold, warning)
	c.write(rest, small.ranged(), planWords(s.Traveler))
}

// finish foots all pages and names them.
func (s *sheet) finish() []*draw.Page {
	var pages []*draw.Page
	for i, c := range s.canvas {
		s.foot(c, i+1, len(s.canvas))
		c.page.Title = fmt.Sprintf("%s, %s", titleWords(s.Traveler), pageWords(i+1, len(s.canvas)))
		c.page.Description = fmt.Sprintf("Sheet to be clipped to the brake %s.", s.Brake.Name)
		pages = append(pages, c.page)
	}
	return pages
}
