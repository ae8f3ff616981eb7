package sign

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// The safety signs. Their outer shapes are those of ISO
// 7010: a triangle warns, a ring with a bar forbids, a disc commands. What
// stands in them is drawn for this sheet.
const (
	Crush   = "crush"
	Implant = "implant"
	Gloves  = "gloves"
	Magnet  = "magnet"
)

// Alert is the alert sign of a signal word panel: a white triangle with a black
// exclamation mark, on the panel's black.
func Alert(c canvas.Canvas, b canvas.Box) {
	mid := b.X + b.W/2
	c.Add(draw.Polygon(draw.NoPen, draw.Paper,
		canvas.Spot(mid, b.Y), canvas.Spot(b.Right(), b.Bottom()), canvas.Spot(b.X, b.Bottom())))
	c.Add(draw.Polygon(draw.NoPen, draw.Black,
		canvas.Spot(mid-0.45, b.Y+0.36*b.H), canvas.Spot(mid+0.45, b.Y+0.36*b.H),
		canvas.Spot(mid+0.2, b.Y+0.7*b.H), canvas.Spot(mid-0.2, b.Y+0.7*b.H)))
	c.Add(draw.Arc{X: mid, Y: b.Y + 0.84*b.H, Radius: 0.35, From: 0, To: 360, Fill: draw.Black})
}

// Safety draws one of the signs into a square box; for any other word it draws
// nothing.
func Safety(c canvas.Canvas, b canvas.Box, sign string) {
	switch sign {
	case Crush:
		triangle(c, b)
		crushedHand(c, b)
	case Magnet:
		triangle(c, b)
		horseshoe(c, b)
	case Implant:
		ringed(c, b)
	case Gloves:
		glove(c, b)
	}
}

// in gives places of a box in hundredths of its sides.
func in(b canvas.Box, places ...float64) []draw.Point {
	var points []draw.Point
	for i := 0; i+1 < len(places); i += 2 {
		points = append(points, draw.Point{X: b.X + b.W*places[i]/100, Y: b.Y + b.H*places[i+1]/100})
	}
	return points
}

// shape fills an outline.
func shape(c canvas.Canvas, fill draw.Fill, points []draw.Point) {
	c.Add(draw.Path{Points: points, Closed: true, Fill: fill})
}

// triangle is the outer shape of a warning.
func triangle(c canvas.Canvas, b canvas.Box) {
	c.Add(draw.Path{Points: in(b, 50, 6, 96, 92, 4, 92), Closed: true, Pen: draw.Heavy})
}

// crushedHand is a hand between two plates.
func crushedHand(c canvas.Canvas, b canvas.Box) {
	shape(c, draw.Black, in(b, 40, 40, 60, 40, 60, 48, 40, 48))
	shape(c, draw.Black, in(b, 22, 78, 78, 78, 78, 86, 22, 86))
	shape(c, draw.Black, in(b, 36, 52, 50, 52, 70, 58, 70, 74, 42, 74, 30, 66, 33, 62, 43, 65, 36, 58))
}

// horseshoe is a magnet with lines of its field.
func horseshoe(c canvas.Canvas, b canvas.Box) {
	x, y := b.X+b.W/2, b.Y+b.H*0.56
	c.Add(draw.Arc{X: x, Y: y, Radius: b.W * 0.15, From: 0, To: 180, Pen: draw.Heavy})
	shape(c, draw.Black, in(b, 31, 56, 39, 56, 39, 72, 31, 72))
	shape(c, draw.Black, in(b, 61, 56, 69, 56, 69, 72, 61, 72))
	c.Line(draw.Thin, canvas.Spot(b.X+b.W*0.35, b.Y+b.H*0.76), canvas.Spot(b.X+b.W*0.35, b.Y+b.H*0.84))
	c.Line(draw.Thin, canvas.Spot(b.X+b.W*0.65, b.Y+b.H*0.76), canvas.Spot(b.X+b.W*0.65, b.Y+b.H*0.84))
	c.Line(draw.Thin, canvas.Spot(x, b.Y+b.H*0.74), canvas.Spot(x, b.Y+b.H*0.84))
}

// ringed is a heart with a lead, forbidden.
func ringed(c canvas.Canvas, b canvas.Box) {
	x, y, r := b.X+b.W/2, b.Y+b.H/2, b.W*0.45
	shape(c, draw.Black, in(b, 50, 72, 30, 50, 28, 40, 34, 33, 42, 33, 50, 41, 58, 33, 66, 33, 72, 40, 70, 50))
	shape(c, draw.Paper, in(b, 44, 44, 56, 44, 56, 54, 44, 54))
	c.Add(draw.Arc{X: x, Y: y, Radius: r, From: 0, To: 360, Pen: draw.Heavy})
	slash := draw.Arc{X: x, Y: y, Radius: r}
	from, to := slash.At(135), slash.At(315)
	c.Line(draw.Heavy, from, to)
}

// glove is a white glove on a black disc: wear them.
func glove(c canvas.Canvas, b canvas.Box) {
	c.Add(draw.Arc{X: b.X + b.W/2, Y: b.Y + b.H/2, Radius: b.W * 0.46, From: 0, To: 360, Fill: draw.Black})
	shape(c, draw.Paper, in(b, 38, 82, 38, 64, 24, 50, 29, 44, 39, 52, 37, 26, 44, 25,
		46, 46, 48, 20, 55, 20, 55, 46, 59, 25, 66, 27, 62, 50, 68, 36, 74, 39, 66, 62, 64, 82))
	shape(c, draw.Black, in(b, 38, 72, 64, 72, 64, 75, 38, 75))
}
