package sheet

import (
	"strings"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// numberLetters are the digits of step numbers, 10.4 mm high; only three of them
// must be smaller.
var numberLetters = canvas.Lettering{Face: draw.Bold, Size: 14.4, Least: 9.5}

// numberWidth is the width of the column of step numbers.
const numberWidth = 18.0

// drawNumber is the black tab with a step's number, at the top of its column.
func drawNumber(c canvas.Canvas, b canvas.Box, number string) {
	tab, _ := b.CutTop(15)
	c.Fill(tab, draw.Black)
	c.Write(tab.Inset(0.5), numberLetters.Centred().Inverse(), number)
}

// drawFacing tells under the number which bend it is and which face lies up.
func drawFacing(c canvas.Canvas, b canvas.Box, step traveler.Step) {
	_, b = b.CutTop(15.5)
	name, b := b.CutTop(canvas.LineStep * canvas.Body)
	words, b := b.CutTop(canvas.LineStep * canvas.Smallest)
	first, second := step.Bend, ""
	if dot := strings.LastIndex(first, "."); dot > 0 && canvas.SmallBold.Width(first) > name.W-0.4 {
		first, second = first[:dot+1], first[dot+1:]
	}
	c.Write(name.Inset(0.2), canvas.Bold.Centred(), first)
	if second != "" { // the ends of such names tell them apart: more than the word face
		c.Write(words, canvas.SmallBold.Centred(), second)
	} else {
		c.Write(words, canvas.Small.Centred(), wordsFace)
	}
	letter, b := b.CutTop(8.4)
	c.Write(letter, canvas.Lettering{Face: draw.Bold, Size: 9, Least: canvas.Smallest}.Centred(), step.FaceUp)
	up, _ := b.CutTop(canvas.LineStep * canvas.Smallest)
	c.Write(up, canvas.Small.Centred(), wordsUp)
}
