package sheet

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/caution"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
)

// partCautions are what is true of the whole part, one block each.
func partCautions(s *page.Set) []page.Block {
	var blocks []page.Block
	for _, one := range s.Cautions {
		blocks = append(blocks, page.Solid(caution.Height(one, s.Body().W), func(c canvas.Canvas, b canvas.Box) {
			c.Frame(b, draw.Outline)
			caution.Draw(c, b, one)
		}))
	}
	return blocks
}
