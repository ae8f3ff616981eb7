package sheet

import (
	"brakeside/traveler/draw"
)

// markReach is how far the mark of the mirror check reaches from its middle, in
// millimetres.
const markReach = 1.7

// mirrorHeight is what the mirror check takes of the row before the first bend.
const mirrorHeight = lineStep*body + 0.6

// mirrorMark is a black lozenge with a white edge, so that it is told from holes
// and numbers.
func (c canvas) mirrorMark(at draw.Point) {
	lozenge := func(reach float64) []draw.Point {
		return []draw.Point{spot(at.X, at.Y-reach), spot(at.X+reach, at.Y), spot(at.X, at.Y+reach), spot(at.X-reach, at.Y)}
	}
	c.add(draw.Polygon(draw.NoPen, draw.Paper, lozenge(markReach+0.6)...), draw.Polygon(draw.NoPen, draw.Black, lozenge(markReach)...))
}

// mirrorLine names the marked feature: a blank laid down wrong way up is seen
// before it is bent.
func (s *sheet) mirrorLine(c canvas, b box) {
	mark, words := b.cutLeft(2*markReach + 2)
	c.mirrorMark(mark.centre())
	c.write(words, bold, s.MirrorCheck)
}
