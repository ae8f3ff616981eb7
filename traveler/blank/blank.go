// Package blank draws the flat piece on the sheet: to a round scale, with running
// sizes from the datum edges, its bend and nose lines, and a key beside it.
package blank

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/finished"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// Heights of the blank's block.
const (
	leastBlank = 60.0
	mostBlank  = 128.0
)

// Block is the drawing of the flat piece with its running sizes, and the key
// beside it.
func Block(s *page.Set) page.Block {
	least := min(mostBlank, max(leastBlank, keyHeight(s, nil)+listedHeight(s), rulerHeight(s)))
	whole := finished.Of(s.Blank).Marked(s.Blank, s.MirrorMark)
	return page.Block{Least: least, Most: max(least, usefulHeight(s, whole)), Eager: true, Draw: func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: wordsBlank + " " + phrase.BlankSize(s.Blank), Level: 0})
		c.Frame(b, draw.Outline)
		key, drawing := b.CutRight(keyWidth)
		v, room := beside(s, drawing.Inset(1.5), key, whole)
		v.draw(c)
		c.Line(draw.Thin, canvas.Spot(key.X, key.Y), canvas.Spot(key.X, key.Bottom()))
		drawKey(s, c, key.Inset(1.5), v)
		whole.Draw(c, room)
	}}
}

// listedHeight is what the running sizes take in the key that have no room at the
// drawing: those along it, however high it is.
func listedHeight(s *page.Set) float64 {
	sum := 0.0
	for _, words := range layOut(s, widest(s)).listed() {
		sum += canvas.Small.Height(words, keyWidth-3)
	}
	return sum
}

// widest is the box for the drawing at its greatest height.
func widest(s *page.Set) canvas.Box {
	return canvas.Box{X: 0, Y: 0, W: s.Body().W - keyWidth - 3, H: mostBlank - 3}
}

// usefulHeight is the height beyond which the blank is drawn no larger, and its
// finished picture has room.
func usefulHeight(s *page.Set, whole finished.Picture) float64 {
	b := widest(s)
	v := layOut(s, b)
	height := max(v.lies.H+b.H-v.room.H, rulerHeight(s)) + 4
	if !whole.Empty() {
		height = max(height, min(height, keyHeight(s, v))+goodFinished)
	}
	return min(mostBlank, height)
}

// goodFinished is a good height for the picture of the finished part.
const goodFinished = 30.0

// rulerHeight is the height at which all running sizes at the sides can be set.
func rulerHeight(s *page.Set) float64 {
	a := axisY(s.Blank)
	n := max(len(a.noseTicks(s.Blank)), len(a.otherTicks(s.Blank)))
	return float64(n)*tickPitch*canvas.Smallest/0.92 + 2*(reach+tickPitch*canvas.Strong) + 3
}

// beside lays out the blank in a box and chooses where the finished part is
// shown: in the spare foot of the key, or above or beside the drawing if that
// costs it neither scale nor names, and the key has room for the running sizes that
// it moves there; wherever the part comes out largest.
func beside(s *page.Set, b, key canvas.Box, whole finished.Picture) (v *drawing, room canvas.Box) {
	v = layOut(s, b)
	room = keySpare(s, key, v)
	lower, top := b.CutBottom(max(v.lies.H+b.H-v.room.H+1, rulerHeight(s)))
	left, right := b.CutLeft(v.lies.W + b.W - v.room.W + 4)
	for _, try := range [][2]canvas.Box{{lower, top}, {left, right}} {
		if whole.Scale(try[1]) <= whole.Scale(room) {
			continue
		}
		moved := layOut(s, try[0])
		listed := moved.leftOut() <= v.leftOut() || keyHeight(s, moved) <= key.H
		if moved.times == v.times && len(moved.faces) >= len(v.faces) && listed {
			v, room = moved, try[1]
		}
	}
	return v, room
}
