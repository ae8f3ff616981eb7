package page

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
)

// Title is the part in words, on one line where it can be large, else on two.
func Title(c canvas.Canvas, b canvas.Box, words string) {
	l := canvas.Lettering{Face: draw.Bold, Size: 7.6, Least: 5.4}
	if l.Fits(words, b.W) {
		c.Write(b, l, words)
		return
	}
	c.Flow(b, canvas.Lettering{Face: draw.Bold, Size: b.H / 2 / canvas.LineStep, Least: canvas.Smallest}, words)
}

// Field is a framed box with its label above its value. A value too long for
// one line takes the label's line as well: it says itself what it is.
func Field(c canvas.Canvas, b canvas.Box, label, value string) {
	if tight := canvas.Largely.Of(canvas.Smallest); tight.Width(value) > b.W-2 {
		c.Frame(b, draw.Thin)
		c.Flow(b.Inset(0.9), tight, value)
		return
	}
	c.Write(Labelled(c, b, label), canvas.Largely, value)
}

// MaterialField is the frame of the material: its name as large as the part's
// number, its grade small under it in the place of the label.
func MaterialField(c canvas.Canvas, b canvas.Box, name, grade string) {
	if grade == "" {
		Field(c, b, phrase.LabelMaterial, name)
		return
	}
	c.Frame(b, draw.Thin)
	b = b.Inset(0.6)
	under, top := b.CutBottom(canvas.LineStep * canvas.Smallest)
	c.Write(top, canvas.Largely, name)
	c.Write(under, canvas.Small, grade)
}

// Labelled draws the frame and label of a box and gives the room for its value.
func Labelled(c canvas.Canvas, b canvas.Box, label string) canvas.Box {
	c.Frame(b, draw.Thin)
	b = b.Inset(1)
	top, rest := b.CutTop(canvas.LineStep * canvas.Smallest)
	c.Write(top, canvas.Small, label)
	return rest
}

// BlankField is a box to write a measured value in.
func BlankField(c canvas.Canvas, b canvas.Box, label, unit string) {
	rest := Labelled(c, b, label)
	c.Write(rest, canvas.Plain.Ranged(), unit)
}

// TickField is a box whose value is compared with what is found, and ticked.
func TickField(c canvas.Canvas, b canvas.Box, label, value string) {
	rest := Labelled(c, b, label)
	tick, rest := rest.CutRight(rest.H)
	c.Frame(tick.Middle(4.5, 4.5), draw.Outline)
	c.Write(rest, canvas.Strongly, value)
}

// TickWidth is the width of a box to tick in front of its words.
const TickWidth = 6.0

// Tick is a box to tick and what it stands for.
func Tick(c canvas.Canvas, b canvas.Box, words string) {
	sign, rest := b.CutLeft(TickWidth)
	c.Frame(canvas.Box{X: sign.X, Y: sign.Y + (sign.H-4)/2, W: 4, H: 4}, draw.Outline)
	c.Write(rest, canvas.Plain, words)
}
