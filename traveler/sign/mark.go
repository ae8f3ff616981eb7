package sign

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// DiscRadius is the radius of the step numbers on a drawing, in millimetres.
const DiscRadius = 2.3

// Disc draws a black disc with a white number in it.
func Disc(c canvas.Canvas, at draw.Point, radius float64, number string) {
	c.Add(draw.Arc{X: at.X, Y: at.Y, Radius: radius, From: 0, To: 360, Fill: draw.Black})
	room := canvas.Box{X: at.X - radius, Y: at.Y - radius, W: 2 * radius, H: 2 * radius}.Inset(radius * 0.1)
	c.Write(room, canvas.SmallBold.Centred().Inverse(), number)
}

// MirrorReach is how far the mark of the mirror check reaches from its middle, in
// millimetres.
const MirrorReach = 1.7

// Mirror marks the feature of the mirror check by a black lozenge with a white
// edge, so that it is told from holes and numbers.
func Mirror(c canvas.Canvas, at draw.Point) {
	lozenge := func(reach float64) []draw.Point {
		return []draw.Point{
			canvas.Spot(at.X, at.Y-reach), canvas.Spot(at.X+reach, at.Y),
			canvas.Spot(at.X, at.Y+reach), canvas.Spot(at.X-reach, at.Y),
		}
	}
	c.Add(draw.Polygon(draw.NoPen, draw.Paper, lozenge(MirrorReach+0.6)...))
	c.Add(draw.Polygon(draw.NoPen, draw.Black, lozenge(MirrorReach)...))
}
