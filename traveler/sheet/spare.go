package sheet

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// strips is one line that tells how a strip of sheet sets the nose, where rules do not.
func strips(s *page.Set) []page.Block { return spareLine(s, phrase.Strips(s.Traveler)) }

// stack is one line that tells how finished pieces are stacked.
func stack(s *page.Set) []page.Block { return spareLine(s, phrase.Stack(s.Traveler)) }

// spareLine is some words in a block of their own, left out where they would cost a
// page; none without words.
func spareLine(s *page.Set, words string) []page.Block {
	if words == "" {
		return nil
	}
	line := page.Solid(canvas.Bold.Height(words, s.Body().W)+0.6, func(c canvas.Canvas, b canvas.Box) { c.Flow(b, canvas.Bold, words) })
	line.Spare = true
	return []page.Block{line}
}
