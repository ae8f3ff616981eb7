package sheet

import (
	"math"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// action is one thing done to part or brake before a bend: a sign and words.
type action struct {
	sign  func(c canvas, b box)
	words string
}

// todo is what is done before a bend, in order.
type todo []action

// handlingHeight is the height of one line of actions.
const handlingHeight = 6.2

// signWidth is the width of an action's sign.
const signWidth = 7.0

// handling lists what changes from the step before.
func (s *sheet) handling(i int) todo {
	to := s.Steps[i]
	from := traveler.Step{Leaf: traveler.FullLeaf, Place: traveler.Middle}
	if i > 0 {
		from = s.Steps[i-1]
	}
	var list todo
	if to.TurnOver {
		list = append(list, action{canvas.turnSign, turnOverWords(to)})
	}
	if to.Rotate != 0 {
		list = append(list, action{rotateSign(to.Rotate), rotateWords(to.Rotate)})
	}
	if i > 0 && (from.Bar != to.Bar || segmentWords(from.Segments) != segmentWords(to.Segments)) {
		list = append(list, action{canvas.barSign, changeBarWords(from, to)})
	}
	if from.Leaf != to.Leaf {
		list = append(list, action{canvas.pointSign, changeLeafWords(to)})
	}
	if from.Place != to.Place {
		words := placeWords(to.Place)
		if len(to.Segments) > 0 && to.BarPlace != "" { // a full bar's plan says it
			words += ": " + to.BarPlace
		}
		list = append(list, action{canvas.pointSign, words})
	}
	if to.Packing {
		list = append(list, action{canvas.pointSign, wordsPacking})
	}
	if to.SlideOut != "" {
		list = append(list, action{canvas.pointSign, slideOutWords(to.SlideOut)})
	}
	return list
}

// width is what one action takes of a line.
func (a action) width() float64 { return signWidth + bold.width(a.words) + 4 }

// lines breaks the actions into lines of a width.
func (t todo) lines(width float64) []todo {
	var lines []todo
	room := 0.0
	for _, a := range t {
		if room < a.width() || len(lines) == 0 {
			lines = append(lines, nil)
			room = width
		}
		lines[len(lines)-1] = append(lines[len(lines)-1], a)
		room -= a.width()
	}
	return lines
}

func (t todo) height(width float64) float64 { return float64(len(t.lines(width))) * handlingHeight }

// draw puts the actions into the rows above their step.
func (t todo) draw(c canvas, b box) {
	for _, line := range t.lines(b.w) {
		var row box
		row, b = b.cutTop(handlingHeight)
		c.frame(row, draw.Outline)
		for _, a := range line {
			var own box
			own, row = row.cutLeft(min(row.w, a.width()))
			sign, words := own.cutLeft(signWidth)
			a.sign(c, sign)
			_, words = words.cutRight(3)
			c.write(words, bold, a.words)
		}
	}
}

// turnSign is a sheet with an arrow over it.
func (c canvas) turnSign(b box) {
	m := b.middle(5, 4.6)
	c.line(draw.Heavy, spot(m.x, m.bottom()-0.2), spot(m.right(), m.bottom()-0.2))
	c.swirl(spot(m.x+m.w/2, m.y+2.2), 1.9, 180)
}

// rotateSign is an arrow round a corner of the sheet, the way it is turned.
func rotateSign(degrees int) func(canvas, box) {
	return func(c canvas, b box) {
		sweep := 270.0
		if degrees == 270 {
			sweep = -270
		}
		c.swirl(b.centre(), 1.8, sweep)
	}
}

// swirl is an arc with an arrow head at its end. It starts at the right, or
// for a negative sweep at the left, and runs anticlockwise, or clockwise.
func (c canvas) swirl(middle draw.Point, radius, sweep float64) {
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
	c.add(arc, draw.Polygon(draw.NoPen, draw.Black, tip,
		draw.Point{X: end.X + 0.9*side.X, Y: end.Y + 0.9*side.Y}, draw.Point{X: end.X - 0.9*side.X, Y: end.Y - 0.9*side.Y}))
}

// barSign is a bar's section with an arrow up.
func (c canvas) barSign(b box) {
	m := b.middle(5, 3.6)
	c.add(draw.Polygon(draw.Outline, draw.Grey,
		draw.Point{X: m.x, Y: m.bottom()}, draw.Point{X: m.x + 2, Y: m.y}, draw.Point{X: m.right(), Y: m.y}, draw.Point{X: m.right(), Y: m.bottom()}))
}

// pointSign is a black arrow head.
func (c canvas) pointSign(b box) {
	m := b.middle(3, 3.4)
	c.add(draw.Polygon(draw.NoPen, draw.Black, draw.Point{X: m.x, Y: m.y}, draw.Point{X: m.right(), Y: m.y + m.h/2}, draw.Point{X: m.x, Y: m.bottom()}))
}
