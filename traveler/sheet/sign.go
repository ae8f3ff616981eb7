package sheet

import "brakeside/traveler/draw"

// The signs beside the general cautions. Their outer shapes are those of ISO
// 7010: a triangle warns, a ring with a bar forbids, a disc commands. What
// stands in them is drawn for this sheet.
const (
	signCrush   = "crush"
	signImplant = "implant"
	signGloves  = "gloves"
	signMagnet  = "magnet"
)

// alert is the alert sign of a signal word panel: a white triangle with a black
// exclamation mark, on the panel's black.
func (c canvas) alert(b box) {
	mid := b.x + b.w/2
	c.add(draw.Polygon(draw.NoPen, draw.Paper, draw.Point{X: mid, Y: b.y}, draw.Point{X: b.right(), Y: b.bottom()}, draw.Point{X: b.x, Y: b.bottom()}))
	c.add(draw.Polygon(draw.NoPen, draw.Black,
		draw.Point{X: mid - 0.45, Y: b.y + 0.36*b.h}, draw.Point{X: mid + 0.45, Y: b.y + 0.36*b.h}, draw.Point{X: mid + 0.2, Y: b.y + 0.7*b.h}, draw.Point{X: mid - 0.2, Y: b.y + 0.7*b.h}))
	c.add(draw.Arc{X: mid, Y: b.y + 0.84*b.h, Radius: 0.35, From: 0, To: 360, Fill: draw.Black})
}

// safetySign draws a sign into a square box.
func (c canvas) safetySign(b box, sign string) {
	switch sign {
	case signCrush:
		c.triangle(b)
		c.crushedHand(b)
	case signMagnet:
		c.triangle(b)
		c.horseshoe(b)
	case signImplant:
		c.ringed(b)
	case signGloves:
		c.glove(b)
	}
}

// in gives places of a box in hundredths of its sides.
func (b box) in(places ...float64) []draw.Point {
	var points []draw.Point
	for i := 0; i+1 < len(places); i += 2 {
		points = append(points, draw.Point{X: b.x + b.w*places[i]/100, Y: b.y + b.h*places[i+1]/100})
	}
	return points
}

func (c canvas) shape(fill draw.Fill, points []draw.Point) {
	c.add(draw.Path{Points: points, Closed: true, Fill: fill})
}

func (c canvas) triangle(b box) {
	c.add(draw.Path{Points: b.in(50, 6, 96, 92, 4, 92), Closed: true, Pen: draw.Heavy})
}

// crushedHand is a hand between two plates.
func (c canvas) crushedHand(b box) {
	c.shape(draw.Black, b.in(40, 40, 60, 40, 60, 48, 40, 48))
	c.shape(draw.Black, b.in(22, 78, 78, 78, 78, 86, 22, 86))
	c.shape(draw.Black, b.in(36, 52, 50, 52, 70, 58, 70, 74, 42, 74, 30, 66, 33, 62, 43, 65, 36, 58))
}

// horseshoe is a magnet with lines of its field.
func (c canvas) horseshoe(b box) {
	x, y := b.x+b.w/2, b.y+b.h*0.56
	c.add(draw.Arc{X: x, Y: y, Radius: b.w * 0.15, From: 0, To: 180, Pen: draw.Heavy})
	c.shape(draw.Black, b.in(31, 56, 39, 56, 39, 72, 31, 72))
	c.shape(draw.Black, b.in(61, 56, 69, 56, 69, 72, 61, 72))
	c.line(draw.Thin, spot(b.x+b.w*0.35, b.y+b.h*0.76), spot(b.x+b.w*0.35, b.y+b.h*0.84))
	c.line(draw.Thin, spot(b.x+b.w*0.65, b.y+b.h*0.76), spot(b.x+b.w*0.65, b.y+b.h*0.84))
	c.line(draw.Thin, spot(x, b.y+b.h*0.74), spot(x, b.y+b.h*0.84))
}

// ringed is a heart with a lead, forbidden.
func (c canvas) ringed(b box) {
	x, y, r := b.x+b.w/2, b.y+b.h/2, b.w*0.45
	c.shape(draw.Black, b.in(50, 72, 30, 50, 28, 40, 34, 33, 42, 33, 50, 41, 58, 33, 66, 33, 72, 40, 70, 50))
	c.shape(draw.Paper, b.in(44, 44, 56, 44, 56, 54, 44, 54))
	c.add(draw.Arc{X: x, Y: y, Radius: r, From: 0, To: 360, Pen: draw.Heavy})
	slash := draw.Arc{X: x, Y: y, Radius: r}
	from, to := slash.At(135), slash.At(315)
	c.line(draw.Heavy, from, to)
}

// glove is a white glove on a black disc: wear them.
func (c canvas) glove(b box) {
	c.add(draw.Arc{X: b.x + b.w/2, Y: b.y + b.h/2, Radius: b.w * 0.46, From: 0, To: 360, Fill: draw.Black})
	c.shape(draw.Paper, b.in(38, 82, 38, 64, 24, 50, 29, 44, 39, 52, 37, 26, 44, 25, 46, 46, 48, 20, 55, 20, 55, 46, 59, 25, 66, 27, 62, 50, 68, 36, 74, 39, 66, 62, 64, 82))
	c.shape(draw.Black, b.in(38, 72, 64, 72, 64, 75, 38, 75))
}
