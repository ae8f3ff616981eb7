package sheet

import (
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/sign"
	"brakeside/traveler/view"
)

// Sizes of the overview: a thumbnail of every step, in one line or two.
const (
	leastOverview = 13.0 // height of a line
	mostOverview  = 17.0
	mostInLine    = 10
	numberHigh    = 3.6
)

// fewSteps are so many that they need no overview: they lie side by side on the page.
const fewSteps = 2

// overview shows all steps small, and where the bar is changed between them. There is
// none where it would cost a page, for few steps, nor in older travelers, which have no pictures.
func overview(s *page.Set) []page.Block {
	if len(s.Steps) <= fewSteps || s.Steps[0].Bench == nil {
		return nil
	}
	lines := 1 + (len(s.Steps)-1)/mostInLine
	return []page.Block{{
		Spare: true, Least: float64(lines) * leastOverview, Most: float64(lines) * mostOverview,
		Draw: func(c canvas.Canvas, b canvas.Box) {
			c.Frame(b, draw.Outline)
			rows := b.Inset(0.5).Rows(lines)
			each := (len(s.Steps) + lines - 1) / lines
			for i, step := range s.Steps {
				room := rows[i/each]
				room.W /= float64(each)
				room.X += float64(i%each) * room.W
				drawThumb(c, room, step)
				if i > 0 && changesBar(s.Steps[i-1], step) {
					drawBarChange(c, room)
				}
			}
		},
	}}
}

// drawThumb is one step small, with its number.
func drawThumb(c canvas.Canvas, b canvas.Box, step traveler.Step) {
	_, room := b.CutLeft(numberHigh + 0.6)
	scene := view.Fitted(step.Bench, room.W, room.H)
	c.Add(draw.Moved(scene.Thumb(), room.X, room.Y)...)
	c.Write(canvas.Box{X: b.X + 0.4, Y: b.Y + 0.3, W: numberHigh + 2, H: numberHigh}, canvas.SmallBold, strconv.Itoa(step.Number))
}

// drawBarChange marks the left edge of a step as where the bar is changed.
func drawBarChange(c canvas.Canvas, b canvas.Box) {
	c.Line(draw.Heavy, canvas.Spot(b.X, b.Y+0.4), canvas.Spot(b.X, b.Bottom()-0.4))
	sign.Bar(c, canvas.Box{X: b.X + 0.7, Y: b.Bottom() - 3.4, W: 3.4, H: 3})
}
