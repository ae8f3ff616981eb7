package sheet

import (
	"fmt"
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// Card is the page that hangs on the wall by a brake: the cautions of every
// job and what the marks of the sheets mean. A paper it does not know is a
// mistake of the program.
func Card(brake traveler.Brake, paper string) (*draw.Page, error) {
	s, err := newSheet(&traveler.Traveler{Brake: brake, Paper: paper})
	if err != nil {
		return nil, fmt.Errorf("wall card: %w", err)
	}
	c := s.page()
	c.page.Title, c.page.Description = wordsCard+" "+brake.Name, wordsCardUse
	b := s.body()
	title, b := b.cutTop(12)
	c.write(title, lettering{face: draw.Bold, size: 8, least: smallest}, brake.Name)
	place(c, b, []block{s.safety(), s.meanings(), s.habits()})
	return c.page, nil
}

// meaning is one mark of the sheets with what it stands for.
type meaning struct {
	sign  func(c canvas, b box)
	words string
}

// stroke is a mark that is a line.
func stroke(pen draw.Pen) func(canvas, box) {
	return func(c canvas, b box) { c.line(pen, spot(b.x+2, b.y+b.h/2), spot(b.right()-4, b.y+b.h/2)) }
}

// meanings explains the marks.
func (s *sheet) meanings() block {
	list := []meaning{
		{stroke(draw.BendUp), wordsMeansUp},
		{stroke(draw.BendDown), wordsMeansDown},
		{stroke(draw.NoseLine), wordsMeansNose},
		{stroke(draw.Heavy), wordsMeansDatum},
		{func(c canvas, b box) { c.disc(spot(b.x+b.w/2, b.y+b.h/2), discRadius, "3") }, wordsMeansDisc},
		{canvas.turnSign, wordsMeansTurn},
		{rotateSign(90), wordsMeansRotate},
		{canvas.barSign, wordsMeansBar},
		{func(c canvas, b box) { c.add(draw.Box(draw.Outline, draw.Hatched, b.x+4, b.y+2, b.w-8, b.h-4)) }, wordsMeansHatched},
	}
	const row = 9.0
	return solid(row*float64(len(list))+8, func(c canvas, b box) {
		c.frame(b, draw.Outline)
		top, b := b.cutTop(7)
		c.write(top.inset(1), strongly, wordsMeanings)
		for _, m := range list {
			var own box
			own, b = b.cutTop(row)
			sign, words := own.cutLeft(26)
			m.sign(c, sign)
			c.write(words, strongly, m.words)
		}
	})
}

// habits are the rules of the shop floor that hold whatever the job.
func (s *sheet) habits() block {
	height := 9.0
	for _, h := range wordsHabits {
		height += strongly.height(h, s.body().w-10) + 1
	}
	return solid(height, func(c canvas, b box) {
		c.frame(b, draw.Outline)
		top, b := b.cutTop(7)
		c.write(top.inset(1), strongly, wordsHabitsTitle)
		for i, h := range wordsHabits {
			number, text := b.cutLeft(8)
			c.write(box{number.x + 1, number.y, 6, lineStep * strong}, strongly, strconv.Itoa(i+1))
			_, b = b.cutTop(c.flow(box{text.x, text.y, text.w - 2, text.h}, strongly, h) + 1)
		}
	})
}
