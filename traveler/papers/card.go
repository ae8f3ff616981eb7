// Package papers lays out what is printed beside the sheet: the label of a box of
// finished pieces, the wall card of a brake, and the page for the shear.
package papers

import (
	"fmt"
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/caution"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/sign"
)

// Card is the page that hangs on the wall by a brake: the cautions of every
// job and what the marks of the sheets mean. A paper it does not know is a
// mistake of the program.
func Card(brake traveler.Brake, paper string) (*draw.Page, error) {
	s, err := page.New(&traveler.Traveler{Brake: brake, Paper: paper})
	if err != nil {
		return nil, fmt.Errorf("wall card: %w", err)
	}
	c := s.Begin()
	c.Page.Title, c.Page.Description = wordsCard+" "+brake.Name, wordsCardUse
	b := s.Body()
	title, b := b.CutTop(12)
	c.Write(title, canvas.Lettering{Face: draw.Bold, Size: 8, Least: canvas.Smallest}, brake.Name)
	page.Place(c, b, []page.Block{caution.General(s), meanings(), noseTemplate(), habits(s)})
	return c.Page, nil
}

// meaning is one mark of the sheets with what it stands for.
type meaning struct {
	sign  func(c canvas.Canvas, b canvas.Box)
	words string
}

// stroke is a mark that is a line.
func stroke(pen draw.Pen) func(canvas.Canvas, canvas.Box) {
	return func(c canvas.Canvas, b canvas.Box) {
		c.Line(pen, canvas.Spot(b.X+2, b.Y+b.H/2), canvas.Spot(b.Right()-4, b.Y+b.H/2))
	}
}

// meanings explains the marks.
func meanings() page.Block {
	list := []meaning{
		{stroke(draw.BendUp), wordsMeansUp},
		{stroke(draw.BendDown), wordsMeansDown},
		{stroke(draw.NoseLine), wordsMeansNose},
		{stroke(draw.Heavy), wordsMeansDatum},
		{func(c canvas.Canvas, b canvas.Box) {
			sign.Disc(c, canvas.Spot(b.X+b.W/2, b.Y+b.H/2), sign.DiscRadius, "3")
		}, wordsMeansDisc},
		{sign.Turn, wordsMeansTurn},
		{sign.Rotate(90), wordsMeansRotate},
		{sign.Tip, wordsMeansTip},
		{sign.Bar, wordsMeansBar},
		{func(c canvas.Canvas, b canvas.Box) {
			c.Add(draw.Box(draw.Outline, draw.Hatched, b.X+4, b.Y+2, b.W-8, b.H-4))
		}, wordsMeansHatched},
	}
	const row = 9.0
	return page.Solid(row*float64(len(list))+8, func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		top, b := b.CutTop(7)
		c.Write(top.Inset(1), canvas.Strongly, wordsMeanings)
		for _, m := range list {
			var own canvas.Box
			own, b = b.CutTop(row)
			sign, words := own.CutLeft(26)
			m.sign(c, sign)
			c.Write(words, canvas.Strongly, m.words)
		}
	})
}

// habits are the rules of the shop floor that hold whatever the job.
func habits(s *page.Set) page.Block {
	height := 9.0
	for _, h := range wordsHabits {
		height += canvas.Strongly.Height(h, s.Body().W-10) + 1
	}
	return page.Solid(height, func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		top, b := b.CutTop(7)
		c.Write(top.Inset(1), canvas.Strongly, wordsHabitsTitle)
		for i, h := range wordsHabits {
			number, text := b.CutLeft(8)
			c.Write(canvas.Box{X: number.X + 1, Y: number.Y, W: 6, H: canvas.LineStep * canvas.Strong}, canvas.Strongly, strconv.Itoa(i+1))
			_, b = b.CutTop(c.Flow(canvas.Box{X: text.X, Y: text.Y, W: text.W - 2, H: text.H}, canvas.Strongly, h) + 1)
		}
	})
}

// What stands on the card.
const (
	wordsCard         = "Wall card for"
	wordsCardUse      = "Cautions of every job and the marks of the sheets, to hang by the brake."
	wordsMeanings     = "WHAT THE MARKS ON THE SHEETS MEAN"
	wordsMeansUp      = "bend line: the metal folds up, towards face A"
	wordsMeansDown    = "bend line: the metal folds down, towards face B"
	wordsMeansNose    = "nose line: the front edge of the bar lies on its middle, the axis of a round one over it"
	wordsMeansDatum   = "datum edges: every size of the blank is measured from them"
	wordsMeansDisc    = "number of the step that makes the bend"
	wordsMeansTurn    = "turn the part over, front to back or left to right, as the words say"
	wordsMeansTip     = "tip the part until the face named lies on the bed"
	wordsMeansRotate  = "rotate the part on the bed, the way of the arrow"
	wordsMeansBar     = "change the bar or its fingers"
	wordsMeansHatched = "side of the part that is clamped"
	wordsHabitsTitle  = "ON EVERY JOB"
)

// wordsHabits are the rules of the floor, one sentence each.
var wordsHabits = []string{
	"Compare the revision on the sheet with the page that the code opens before the first piece.",
	"Measure the thickness of the sheet and write it down; a magnet tells steel from stainless and aluminium.",
	"Read the angle before any rework and write that one down. Only it teaches the next sheet.",
	"Nothing runs on until the first piece is measured and accepted.",
	"Write what was wrong on the sheet: notes come back to the office.",
}
