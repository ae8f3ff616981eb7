package why

import (
	"fmt"
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// fine is to how many millimetres the smallest change of a tool is looked for.
const fine = 0.5

// leastBar is how much of a bar must be left, as a share, for another one to be like
// it.
const leastBar = 0.3

// otherBars looks for the deepest and the highest bar that could be bought. It is
// rated as the one it is like: less of it never holds more.
func (h *healer) otherBars(c *conflict) {
	for _, bar := range h.now.Bars {
		if bar.Kind != brake.FullBar {
			continue
		}
		most := func(size unit.MM) int { return int(float64(size) * (1 - leastBar) / fine) }
		h.least(c, most(bar.Depth), func(steps int) *change {
			b := bar
			b.Depth -= unit.MM(float64(steps) * fine)
			b.Section = bar.Section.Clip(geom.Point2{X: float64(b.Depth)}, geom.Point2{Y: 1})
			return h.buy(b, bar, fmt.Sprintf("%s mm deep instead of %s", b.Depth.Text(1), bar.Depth.Text(1)))
		})
		h.least(c, most(bar.Height), func(steps int) *change {
			b := bar
			b.Height -= unit.MM(float64(steps) * fine)
			b.Section = bar.Section.Clip(geom.Point2{Y: float64(b.Height)}, geom.Point2{X: -1})
			return h.buy(b, bar, fmt.Sprintf("%s mm high instead of %s", b.Height.Text(1), bar.Height.Text(1)))
		})
	}
}

// buy is the change that puts a bar on the shelf which is like another one.
func (h *healer) buy(bar, like brake.Bar, differs string) *change {
	if bar.Section == nil {
		return nil
	}
	bar.Name = fmt.Sprintf("%s, %s x %s mm", like.Name, bar.Depth.Text(1), bar.Height.Text(1))
	words := fmt.Sprintf("buy a bar like %s but at most %s: %s mm deep, %s high, %s long, rated for %s mm",
		like.Name, differs, bar.Depth.Text(1), bar.Height.Text(1), bar.Length.Text(0), bar.Rating.Text(2))
	return &change{words: words, kind: process.StockCure, of: process.OfBrake, patch: h.Brake.AddBar(bar)}
}

// leastFace is how far a leaf edge reaches forward at the least, in millimetres.
const leastFace = 5

// slimmerLeaf looks for the thickest leaf edge that would do. It is rated as the one
// it is put in place of.
func (h *healer) slimmerLeaf(c *conflict) {
	now := h.Brake.Leaf.SlimFace
	if now == 0 {
		return // how much a slimmer one would hold nobody has said
	}
	h.least(c, int((float64(now)-leastFace)/fine), func(steps int) *change {
		face := now - unit.MM(float64(steps)*fine)
		words := fmt.Sprintf("a leaf edge of at most %s mm instead of %s that is rated for %s mm as well",
			face.Text(1), now.Text(1), h.Brake.Leaf.SlimRating.Text(2))
		return &change{words: words, kind: process.StockCure, of: process.OfBrake, patch: h.Brake.SetSlimFace(face)}
	})
}

// leastFinger is the narrowest finger that is bought, in millimetres.
const leastFinger = 5

// missingFinger looks for one finger that would fill a gap.
func (h *healer) missingFinger(c *conflict) {
	for _, bar := range h.now.Bars {
		if bar.Kind != brake.Segments {
			continue
		}
		for _, j := range c.core.Joints {
			// Between two walls it keeps its gap, and stays out of the curve, at either end.
			width := unit.MM(math.Floor(float64(j.Length() - 2*max(bar.EndGap[0], j.Bend.Radius) - 1)))
			patch := h.Brake.AddFinger(bar.Name, width)
			if width < leastFinger || patch == nil {
				continue
			}
			words := fmt.Sprintf("buy a finger %s mm wide for bend %s: %s mm deep, %s high", width.Text(0), j.Word,
				bar.Depth.Text(1), bar.Height.Text(1))
			if by := (change{words: words, kind: process.StockCure, of: process.OfBrake, patch: patch}); h.try(by).bends(c) {
				h.offer(c, by)
			}
		}
	}
}
