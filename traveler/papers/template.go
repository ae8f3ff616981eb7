package papers

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"strconv"
)

// The stairs of the nose template, in millimetres at full size: from the first nose
// setback to the last, and how wide and how far apart they are.
const (
	firstStair = 8 // tenths
	lastStair  = 40
	stairBy    = 2
	stairWide  = 10.0
	stairFoot  = 6.0 // of paper behind the black
	checkLong  = 100.0
)

// noseTemplate is a strip to be cut out: its lower edge is laid on the front edge of
// the bed, and the nose is brought up to the black of the stair with the wanted nose
// setback. It is drawn at full size, with a line to find out whether it was printed so.
func noseTemplate() page.Block {
	const stairs = (lastStair-firstStair)/stairBy + 1
	tall := float64(lastStair)/10 + stairFoot + 20
	return page.Solid(tall, func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		top, b := b.CutTop(7)
		c.Write(top.Inset(1), canvas.Strongly, wordsTemplate)
		foot := b.Y + stairFoot + float64(lastStair)/10
		left := b.X + (b.W-stairs*stairWide)/2
		for i := range stairs {
			tenths := firstStair + i*stairBy
			high := float64(tenths) / 10
			stair := canvas.Box{X: left + float64(i)*stairWide, Y: foot - high, W: stairWide, H: high}
			c.Fill(stair, draw.Black)
			above := canvas.Box{X: stair.X, Y: foot - float64(lastStair)/10 - 5, W: stairWide, H: 4.5}
			c.Write(above, canvas.SmallBold.Centred(), strconv.FormatFloat(high, 'f', 1, 64))
		}
		c.Line(draw.Hidden, canvas.Spot(left-4, foot), canvas.Spot(left+stairs*stairWide+4, foot))
		_, under := b.CutTop(foot - b.Y + 1)
		words, check := under.CutLeft(b.W - checkLong - 4)
		c.Flow(words.Inset(1), canvas.Small, wordsTemplateUse)
		c.Line(draw.Outline, canvas.Spot(check.X, check.Y+3), canvas.Spot(check.X+checkLong, check.Y+3))
		for _, x := range []float64{check.X, check.X + checkLong} {
			c.Line(draw.Outline, canvas.Spot(x, check.Y+1), canvas.Spot(x, check.Y+5))
		}
		c.Write(canvas.Box{X: check.X, Y: check.Y + 5, W: checkLong, H: 5}, canvas.Small.Centred(), wordsTemplateCheck)
	})
}

const (
	wordsTemplate    = "NOSE TEMPLATE, FULL SIZE"
	wordsTemplateUse = "Cut it out along the broken line. Lay that edge on the front edge of the bed " +
		"and bring the nose to the black, alike at both ends."
	wordsTemplateCheck = "100 mm: print it without scaling, or it is wrong"
)
