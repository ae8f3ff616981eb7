package blank

import "brakeside/traveler/page"

// Blocks are the drawing of the flat piece with its running sizes and the key beside it,
// and below it what of it is drawn large.
func Blocks(set *page.Set) []page.Block {
	s := newSketch(set)
	return append([]page.Block{block(s)}, details(s)...)
}
