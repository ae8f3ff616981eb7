package page

import (
	"cmp"
	"fmt"
	"slices"

	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
)

// Further begins a page that is not the sheet's first, under the strip that
// names it, and gives what is left of it.
func (s *Set) Further() (c canvas.Canvas, free canvas.Box) {
	c = s.Begin()
	top, free := s.Body().CutTop(s.stripHeight() + gap)
	s.strip(c, top)
	return c, free
}

// leastNotes is the height from which free paper is framed for notes.
const leastNotes = 25.0

// Fill puts blocks on pages one below the other and stretches those of a page
// into the space that is left. Every page but the sheet's first begins with the
// strip that names it, a low one where that saves a page: the rows have codes of their
// own.
func (s *Set) Fill(blocks []Block) {
	pages := len(breaks(affordable(blocks, s.room), s.room))
	s.lean = len(s.Codes.Steps) > 0
	s.lean = s.lean && len(breaks(affordable(blocks, s.room), s.room)) < pages
	blocks = affordable(blocks, s.room)
	for _, n := range breaks(blocks, s.room) {
		var c canvas.Canvas
		var free canvas.Box
		if len(s.canvas) == 0 {
			c, free = s.Begin(), s.Body()
		} else {
			c, free = s.Further()
		}
		if rest := Place(c, free, blocks[:n]); rest.H > leastNotes {
			notes(c, rest, wordsSketch)
		}
		blocks = blocks[n:]
	}
}

// affordable leaves out every spare block that costs a page, by itself or with the spare
// ones before it.
func affordable(blocks []Block, room func(page int) float64) []Block {
	kept := slices.DeleteFunc(slices.Clone(blocks), func(b Block) bool { return b.Spare })
	least := len(breaks(kept, room))
	at := 0
	for _, b := range blocks {
		if b.Spare {
			with := slices.Insert(slices.Clone(kept), at, b)
			if len(breaks(with, room)) > least {
				continue
			}
			kept = with
		}
		at++
	}
	return kept
}

// Better gives the first of two orders of blocks, unless the second needs fewer pages
// or, in as many, brings all rows to the first.
func (s *Set) Better(first, second []Block) []Block {
	a, b := pack(affordable(first, s.room), s.room), pack(affordable(second, s.room), s.room)
	if fewer := cmp.Compare(len(b.counts), len(a.counts)); fewer < 0 || fewer == 0 && b.rows == 1 && a.rows > 1 {
		return second
	}
	return first
}

// Room is the height that a page which is not the first has for blocks.
func (s *Set) Room() float64 { return s.room(1) }

// room is the height that a page, counted from 0, has for blocks.
func (s *Set) room(page int) float64 {
	if page == 0 {
		return s.Body().H
	}
	return s.Body().H - s.stripHeight() - gap
}

// foot puts the line at the bottom of each page that tells which sheet it
// belongs to and when to destroy it.
func (s *Set) foot(c canvas.Canvas, number, of int) {
	b := canvas.Box{X: sideMargin, Y: s.paper.H - bottomMargin - footHeight, W: s.paper.W - 2*sideMargin, H: footHeight}
	c.Line(draw.Outline, canvas.Spot(b.X, b.Y+1), canvas.Spot(b.Right(), b.Y+1))
	_, b = b.CutTop(1.5)
	rows := b.Rows(2)
	code, rest := rows[0].CutRight(72)
	c.Write(rest, canvas.Small, phrase.Foot(s.Traveler))
	words, warning := phrase.Code(s.Code)+" · "+phrase.Page(number, of), wordsDestroy
	if s.Code == "" {
		words, warning = phrase.Page(number, of), wordsDestroyOld
	}
	c.Write(code, canvas.SmallBold.Ranged(), words)
	destroy, rest := rows[1].CutLeft(canvas.SmallBold.Width(warning) + 3)
	c.Write(destroy, canvas.SmallBold, warning)
	c.Write(rest, canvas.Small.Ranged(), phrase.Plan(s.Traveler))
}

// Finish foots all pages, names them and gives them.
func (s *Set) Finish() []*draw.Page {
	var pages []*draw.Page
	for i, c := range s.canvas {
		s.foot(c, i+1, len(s.canvas))
		c.Page.Title = fmt.Sprintf("%s, %s", phrase.Title(s.Traveler), phrase.Page(i+1, len(s.canvas)))
		c.Page.Description = fmt.Sprintf("Sheet to be clipped to the brake %s.", s.Brake.Name)
		pages = append(pages, c.Page)
	}
	return pages
}
