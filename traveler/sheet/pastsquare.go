package sheet

import (
	"fmt"
	"math"
	"strings"

	"brakeside/traveler"
	"brakeside/traveler/draw"
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
func (s *sheet) pastSquare() block {
	return solid(pastHeight, func(c canvas, b box) {
		c.frame(b, draw.Outline)
		figure, words := b.cutLeft(pastWidth)
		c.acuteBend(figure, s.Part.PastSquare)
		_, words = words.cutRight(1)
		_, words = words.cutTop(0.8)
		title, words := words.cutTop(titleHeight)
		c.write(title, bold, wordsPastSquare)
		c.flow(words, lettering{face: draw.Regular, size: body, least: smallest}, pastSquareWords[s.Part.PastSquare])
	})
}

// acuteBend draws a section of the bend and the size of its lower leg, up to the
// apex where the outer faces would meet or to the farthest point of the metal.
func (c canvas) acuteBend(b box, to string) {
	turn := pastAngle * math.Pi / 180
	outer := pastRadius + pastThick
	end := b.x + 5 // of the lower leg
	middle := spot(end+pastLeg, b.bottom()-3.2-outer)
	on := func(radius, angle float64) draw.Point { // angle from straight down
		return spot(middle.X+radius*math.Sin(angle), middle.Y+radius*math.Cos(angle))
	}
	along := func(p draw.Point) draw.Point { // the upper leg runs back from the bend
		return spot(p.X+pastShort*math.Cos(turn), p.Y-pastShort*math.Sin(turn))
	}
	outline := []draw.Point{spot(end, middle.Y+pastRadius), spot(end, middle.Y+outer)}
	for i := range acutePieces + 1 {
		outline = append(outline, on(outer, turn*float64(i)/acutePieces))
	}
	outline = append(outline, along(on(outer, turn)), along(on(pastRadius, turn)))
	for i := range acutePieces + 1 {
		outline = append(outline, on(pastRadius, turn*float64(acutePieces-i)/acutePieces))
	}
	c.add(draw.Polygon(draw.Outline, draw.NoFill, outline...))
	reach := middle.X + outer
	if to != pastTangent {
		reach = middle.X + outer*math.Tan(turn/2)
		apex := spot(reach, middle.Y+outer)
		c.line(draw.Thin, on(outer, 0), apex)
		c.line(draw.Thin, on(outer, turn), apex)
	}
	foot := b.bottom() - 1.6
	for _, x := range []float64{end, reach} {
		c.line(draw.Thin, spot(x, middle.Y+outer-1), spot(x, foot+0.7))
	}
	c.arrow(draw.Thin, spot((end+reach)/2, foot), spot(end, foot))
	c.arrow(draw.Thin, spot((end+reach)/2, foot), spot(reach, foot))
}

func sizesWords(p traveler.Part) string {
	words := strings.ToUpper(p.Sizes)
	if p.Sizes == "blank" {
		words = "THE BLANK'S"
	}
	return fmt.Sprintf("%s, ±%s mm", words, p.SizeTolerance.Text(1))
}
