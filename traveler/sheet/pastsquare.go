package sheet

import (
	"math"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
)

// The figure of a bend that is not square, of more than a right angle or of less, in
// millimetres: the sheet is drawn thick so that the ends a size can have lie well apart.
const (
	pastAngle  = 120.0
	openAngle  = 60.0
	pastThick  = 1.7
	pastRadius = 1.1
	pastLeg    = 14.0 // the one that is sized
	pastShort  = 4.0  // the one that is folded over
	pastHeight = 11.2
	pastWidth  = 34.0

	acutePieces = 24 // straight pieces an arc is drawn in
)

const (
	wordsPastSquare = "SIZES AT BENDS PAST 90°"
	wordsNotSquare  = "SIZES AT BENDS THAT ARE NOT 90°"
)

// To where sizes run: words of the frozen part past a right angle, and of this sheet
// where all bends are of less.
const (
	pastTangent = "tangent"
	outerMeet   = "outer"
	innerMeet   = "inner"
)

var pastSquareWords = map[string]string{
	"apex":      "run to the apex where the outer faces would meet, outside the metal.",
	pastTangent: "run to the outside tangent: measure to the farthest point of the bend.",
	outerMeet:   "run along the outer face to where the two outer faces would meet: lay a straight edge on the other face.",
	innerMeet:   "run along the inner face to where the two inner faces would meet: lay a straight edge on the other face.",
}

// sizesEnd tells to where sizes run at bends that are not square; empty where all are.
func sizesEnd(s *page.Set) string {
	if s.Part.PastSquare != "" {
		return s.Part.PastSquare
	}
	const square unit.CentiDeg = 9000
	askew := func(step traveler.Step) bool { return step.Flattening == nil && step.Target != square }
	switch {
	case !slices.ContainsFunc(s.Steps, askew):
		return ""
	case s.Part.Sizes == "inside":
		return innerMeet
	}
	return outerMeet
}

// pastSquare shows to where sizes run at bends that are not square. The
// two readings of such a size differ by millimetres, and the metal does not tell
// which was meant.
func pastSquare(s *page.Set) page.Block {
	to, angle, says := sizesEnd(s), pastAngle, wordsPastSquare
	if to == outerMeet || to == innerMeet {
		angle, says = openAngle, wordsNotSquare
	}
	return page.Solid(pastHeight, func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		figure, words := b.CutLeft(pastWidth)
		drawAskewBend(c, figure, angle, to)
		_, words = words.CutRight(1)
		_, words = words.CutTop(0.8)
		title, words := words.CutTop(page.TitleHeight)
		c.Write(title, canvas.Bold, says)
		c.Flow(words, canvas.Lettering{Face: draw.Regular, Size: canvas.Body, Least: canvas.Smallest}, pastSquareWords[to])
	})
}

// drawAskewBend draws a section of a bend and the size of its lower leg, up to the
// apex where the outer faces would meet, or the inner ones, or to the farthest point of
// the metal.
func drawAskewBend(c canvas.Canvas, b canvas.Box, angle float64, to string) {
	turn := angle * math.Pi / 180
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
		radius := outer
		if to == innerMeet {
			radius = pastRadius
		}
		reach = middle.X + radius*math.Tan(turn/2)
		apex := canvas.Spot(reach, middle.Y+radius)
		c.Line(draw.Thin, on(radius, 0), apex)
		c.Line(draw.Thin, on(radius, turn), apex)
	}
	foot := b.Bottom() - 1.6
	for _, x := range []float64{end, reach} {
		c.Line(draw.Thin, canvas.Spot(x, middle.Y+outer-1), canvas.Spot(x, foot+0.7))
	}
	c.Arrow(draw.Thin, canvas.Spot((end+reach)/2, foot), canvas.Spot(end, foot))
	c.Arrow(draw.Thin, canvas.Spot((end+reach)/2, foot), canvas.Spot(reach, foot))
}
