package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
)

// action is one thing done to part or brake before a bend: a sign and words.
type action struct {
	sign  func(c canvas.Canvas, b canvas.Box)
	words string
}

// todo is what is done before a bend, in order.
type todo []action

// handlingHeight is the height of one line of actions.
const handlingHeight = 5.2

// signWidth is the width of an action's sign.
const signWidth = 7.0

// handling lists what changes from the step before.
func handling(s *page.Set, i int) todo {
	to := s.Steps[i]
	from := traveler.Step{Leaf: traveler.FullLeaf, Place: traveler.Middle}
	if i > 0 {
		from = s.Steps[i-1]
	}
	var list todo
	if to.TurnOver {
		list = append(list, action{sign.Turn, phrase.TurnOver(to)})
	}
	if by := to.Turned(); by != 0 {
		list = append(list, action{sign.Rotate(by), phrase.Rotate(by)})
	}
	if to.Tip {
		list = append(list, action{sign.Tip, phrase.Tip(to)})
	}
	if i > 0 && changesBar(from, to) {
		list = append(list, action{sign.Bar, phrase.ChangeBar(from, to)})
	}
	if i > 0 && from.NoseSetback.Text(1) != to.NoseSetback.Text(1) && to.ContactLine == 0 {
		list = append(list, action{sign.Pointer, phrase.ChangeNose(s.In(), to)})
	}
	if from.Leaf != to.Leaf {
		list = append(list, action{sign.Pointer, phrase.ChangeLeaf(to)})
	}
	if from.Place != to.Place {
		words := phrase.Place(to.Place)
		if len(to.Segments) > 0 && to.BarPlace != "" { // a full bar's plan says it
			words += ": " + to.BarPlace
		}
		list = append(list, action{sign.Pointer, words})
	}
	if to.Packing {
		list = append(list, action{sign.Pointer, phrase.Packing(s.In(), s.Part)})
	}
	if to.SlideOut != "" {
		list = append(list, action{sign.Pointer, phrase.SlideOut(to.SlideOut)})
	}
	return list
}

// changesBar reports whether another bar or other fingers are laid on for a step.
func changesBar(from, to traveler.Step) bool {
	return from.Bar != to.Bar || phrase.Segments(from.Segments) != phrase.Segments(to.Segments)
}

// width is what one action takes of a line.
func (a action) width() float64 { return signWidth + canvas.Bold.Width(a.words) + 4 }

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

func (t todo) height(width float64) float64 {
	sum := 0.0
	for _, line := range t.lines(width) {
		sum += line.tall(width)
	}
	return sum
}

// tall is the height of one line of actions, more where words are longer than it.
func (t todo) tall(width float64) float64 {
	least, room := canvas.Bold.Of(canvas.Smallest), width-signWidth-3
	if len(t) > 1 || least.Fits(t[0].words, room) {
		return handlingHeight
	}
	return least.Height(t[0].words, room) + 1.4
}

// draw puts the actions into the rows above their step.
func (t todo) draw(c canvas.Canvas, b canvas.Box) {
	for _, line := range t.lines(b.W) {
		var row canvas.Box
		row, b = b.CutTop(line.tall(b.W))
		c.Frame(row, draw.Outline)
		for _, a := range line {
			var own canvas.Box
			own, row = row.CutLeft(min(row.W, a.width()))
			sign, words := own.CutLeft(signWidth)
			a.sign(c, sign)
			_, words = words.CutRight(3)
			c.Write(words, canvas.Bold, a.words)
		}
	}
}
