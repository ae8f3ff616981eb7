package sheet

import (
	"math"

	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
)

// The figure of a bend of more than a right angle, in millimetres: the sheet is
// drawn thick so that the two ends a size can have lie well apart.
const (
	pastAngle  = 120.0
	pastThick  = 1.7
	pastRadius = 1.1
	pastLeg    = 14.0 // the one that is sized
	pastShort  = 4.0  // the one that is folded over
	pastHeight = 11.2
	pastWidth  = 34.0

	acutePieces = 24 // straight pieces an arc is drawn in
)

const wordsPastSquare = "SIZES AT BENDS PAST 90°"

// pastTangent is the word of the frozen part for sizes to the outside tangent.
const pastTangent = "tangent"

var pastSquareWords = map[string]string{
	"apex":      "run to the apex where the outer faces would meet, outside the metal.",
	pastTangent: "run to the outside tangent: measure to the farthest point of the bend.",
}

// pastSquare shows to where sizes run at bends of more than a right angle. The
// two readings of such a size differ by millimetres, and the metal does not tell
// which was meant.
func pastSquare(s *page.Set) page.Block {
	return page.Solid(pastHeight, func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		figure, words := b.CutLeft(pastWidth)
		drawAcuteBend(c, figure, s.Part.PastSquare)
		_, words = words.CutRight(1)
		_, words = words.CutTop(0.8)
		title, words := words.CutTop(page.TitleHeight)
		c.Write(title, canvas.Bold, wordsPastSquare)
		c.Flow(words, canvas.Lettering{Face: draw.Regular, Size: canvas.Body, Least: canvas.Smallest}, pastSquareWords[s.Part.PastSquare])
	})
}

// drawAcuteBend draws a section of the bend and the size of its lower leg, up to the
// apex where the outer faces would meet or to the farthest point of the metal.
func drawAcuteBend(c canvas.Canvas, b canvas.Box, to string) {
	turn := pastAngle * math.Pi / 180
	outer := pastRadius + pastThick
	end := b.X + 5 // of the lower leg
	middle := canvas.Spot(end+pastLeg, b.Bottom()-3.2-outer)
	on := func(radius, angle float64) draw.Point { // angle from straight down
		return canvas.Spot(middle.X+radius*math.Sin(angle), middle.Y+radius*math.Cos(angle))
	}
	along := func(p draw.Point) draw.Point { // the upper leg runs back from the bend
		return canvas.Spot(p.X+pastShort*math.Cos(turn), p.Y-pastShort*math.Sin(turn))
	}
	outline := []draw.Point{canvas.Spot(end, middle.Y+pastRadius), canvas.Spot(end, middle.Y+outer)}
	for i := range acutePieces + 1 {
		outline = append(outline, on(outer, turn*float64(i)/acutePieces))
	}
	outline = append(outline, along(on(outer, turn)), along(on(pastRadius, turn)))
	for i := range acutePieces + 1 {
		outline = append(outline, on(pastRadius, turn*float64(acutePieces-i)/acutePieces))
	}
	c.Add(draw.Polygon(draw.Outline, draw.NoFill, outline...))
	reach := middle.X + outer
	if to != pastTangent {
		reach = middle.X + outer*math.Tan(turn/2)
		apex := canvas.Spot(reach, middle.Y+outer)
		c.Line(draw.Thin, on(outer, 0), apex)
		c.Line(draw.Thin, on(outer, turn), apex)
	}
	foot := b.Bottom() - 1.6
	for _, x := range []float64{end, reach} {
		c.Line(draw.Thin, canvas.Spot(x, middle.Y+outer-1), canvas.Spot(x, foot+0.7))
	}
	c.Arrow(draw.Thin, canvas.Spot((end+reach)/2, foot), canvas.Spot(end, foot))
	c.Arrow(draw.Thin, canvas.Spot((end+reach)/2, foot), canvas.Spot(reach, foot))
}
