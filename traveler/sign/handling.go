// Package sign draws the small signs that stand beside words: the shapes of the
// safety signs, what is done to part and bar, and marks on the metal.
package sign

import (
	"math"

	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// Turn is the sign for turning the part over: a sheet with an arrow over it.
func Turn(c canvas.Canvas, b canvas.Box) {
	m := b.Middle(5, 4.6)
	c.Line(draw.Heavy, canvas.Spot(m.X, m.Bottom()-0.2), canvas.Spot(m.Right(), m.Bottom()-0.2))
	swirl(c, canvas.Spot(m.X+m.W/2, m.Y+2.2), 1.9, 180)
}

// Rotate is the sign for turning the part on the bed: an arrow that runs the way
// it is turned, clockwise for negative degrees and else anticlockwise.
func Rotate(degrees int) func(canvas.Canvas, canvas.Box) {
	return func(c canvas.Canvas, b canvas.Box) {
		sweep := 270.0
		if degrees < 0 {
			sweep = -270
		}
		swirl(c, b.Centre(), 1.8, sweep)
	}
}

// Tip is the sign for rolling the part until another face lies on the bed: an
// angle that an arrow tips.
func Tip(c canvas.Canvas, b canvas.Box) {
	m := b.Middle(5, 4.6)
	foot := canvas.Spot(m.X, m.Bottom()-0.2)
	c.Line(draw.Heavy, foot, canvas.Spot(m.Right(), foot.Y))
	c.Line(draw.Heavy, foot, canvas.Spot(m.X, m.Y))
	swirl(c, canvas.Spot(m.X+m.W*0.6, m.Y+2.2), 1.3, -180)
}

// swirl is an arc with an arrow head at its end. It starts at the right, or
// for a negative sweep at the left, and runs anticlockwise, or clockwise.
func swirl(c canvas.Canvas, middle draw.Point, radius, sweep float64) {
	start := 0.0
	if sweep < 0 {
		start = 180
	}
	arc := draw.Arc{X: middle.X, Y: middle.Y, Radius: radius, From: start, To: start + sweep, Pen: draw.Outline}
	if sweep < 0 {
		arc.From, arc.To = start+sweep, start
	}
	end := arc.At(start + sweep)
	turn := (start + sweep) * math.Pi / 180
	way := math.Copysign(1, sweep)
	along := draw.Point{X: -math.Sin(turn) * way, Y: -math.Cos(turn) * way}
	side := draw.Point{X: -along.Y, Y: along.X}
	tip := draw.Point{X: end.X + 1.4*along.X, Y: end.Y + 1.4*along.Y}
	c.Add(arc, draw.Polygon(draw.NoPen, draw.Black, tip,
		draw.Point{X: end.X + 0.9*side.X, Y: end.Y + 0.9*side.Y}, draw.Point{X: end.X - 0.9*side.X, Y: end.Y - 0.9*side.Y}))
}

// Bar is the sign for changing the bar or its fingers: a bar's section.
func Bar(c canvas.Canvas, b canvas.Box) {
	m := b.Middle(5, 3.6)
	c.Add(draw.Polygon(draw.Outline, draw.Grey,
		canvas.Spot(m.X, m.Bottom()), canvas.Spot(m.X+2, m.Y), canvas.Spot(m.Right(), m.Y), canvas.Spot(m.Right(), m.Bottom())))
}

// Pointer is the sign in front of all else that is done: a black arrow head.
func Pointer(c canvas.Canvas, b canvas.Box) {
	m := b.Middle(3, 3.4)
	c.Add(draw.Polygon(draw.NoPen, draw.Black,
		canvas.Spot(m.X, m.Y), canvas.Spot(m.Right(), m.Y+m.H/2), canvas.Spot(m.X, m.Bottom())))
}
