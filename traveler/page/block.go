// Package page puts the blocks of a traveler's papers on pages: it breaks them into
// pages, stretches them, and names every page by its part, its code and its number.
//
// Lengths are millimetres on paper.
package page

import "brakeside/traveler/canvas"

// TitleHeight is the height of the title of a block.
const TitleHeight = 5.2

// Block is a part of the sheet that stays on one page.
type Block struct {
	Least float64 // the height it needs
	Most  float64 // the height it can make good use of
	Eager bool    // it takes what it can use before the others do
	Spare bool    // it is left out where it would cost a page
	Row   bool    // it is a step, which the operator turns to again and again
	Draw  func(c canvas.Canvas, b canvas.Box)
}

// Solid is a block of one height.
func Solid(height float64, draw func(c canvas.Canvas, b canvas.Box)) Block {
	return Block{Least: height, Most: height, Draw: draw}
}
