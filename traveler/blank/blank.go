// Package blank draws the flat piece on the sheet: to a round scale, with running
// sizes from the datum edges, its bend and nose lines, and a key beside it.
package blank

import (
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// Heights of the blank's block.
const (
	leastBlank = 60.0
	mostBlank  = 128.0
)

// block is the drawing of the flat piece, and the key beside it.
func block(s *sketch) page.Block {
	whole := whole{s.Finished}
	least := leastHeight(s, whole)
	return page.Block{Least: least, Most: max(least, usefulHeight(s, whole)), Eager: true, Draw: func(c canvas.Canvas, b canvas.Box) {
		c.Add(draw.Bookmark{Y: b.Y, Words: "BLANK" + " " + phrase.BlankSize(s.In(), s.Blank), Level: 0})
		c.Frame(b, draw.Outline)
		key, drawing := b.CutRight(keyWidth)
		v, room := beside(s, drawing.Inset(border), key, whole)
		v.draw(c)
		c.Line(draw.Thin, canvas.Spot(key.X, key.Y), canvas.Spot(key.X, key.Bottom()))
		drawKey(s.Set, c, key.Inset(border), v)
		whole.draw(c, room)
	}}
}

// leastStep is how finely the least height is looked for.
const leastStep = 1.5

// leastHeight is the height from which the key has room for all that stands in it,
// the drawing for as many names in their places as at its greatest height, and the
// picture of the finished part for itself. Every height it gives has been tried;
// between one that will not do and one that does it halves.
func leastHeight(s *sketch, whole whole) float64 {
	at := func(height float64) (v *drawing, pictured bool) {
		b := widest(s.Set, height)
		v, room := beside(s, b, canvas.Box{X: b.Right(), W: keyWidth - 2*border, H: b.H}, whole)
		return v, whole.length(room) > 0
	}
	low := min(max(leastBlank, keyHeight(s.Set, nil), rulerHeight(s.Set)), s.Room())
	if v, pictured := at(low); keyHeight(s.Set, v) <= low && v.displaced() == 0 && (pictured || whole.empty()) {
		return low
	}
	best, must := at(mostBlank)
	high := min(max(mostBlank, keyHeight(s.Set, best)), s.Room())
	for high-low > leastStep {
		h := (low + high) / 2
		if v, pictured := at(h); keyHeight(s.Set, v) <= h && v.displaced() <= best.displaced() && (pictured || !must) {
			high = h
		} else {
			low = h
		}
	}
	return high
}

// widest is the box for the drawing in a block of a height.
func widest(s *page.Set, height float64) canvas.Box {
	return canvas.Box{X: 0, Y: 0, W: s.Body().W - keyWidth - 2*border, H: height - 2*border}
}

// usefulHeight is the height beyond which the blank is drawn no larger, and its
// finished picture has room.
func usefulHeight(s *sketch, whole whole) float64 {
	b := widest(s.Set, mostBlank)
	v := layOut(s, b)
	height := max(v.lies.H+b.H-v.room.H, rulerHeight(s.Set)) + 4
	if !whole.empty() {
		height = max(height, min(height, keyHeight(s.Set, v))+goodFinished)
	}
	return min(mostBlank, height)
}

// goodFinished is a good height for the picture of the finished part.
const goodFinished = 30.0

// rulerHeight is the height at which all running sizes at the sides can be set.
func rulerHeight(s *page.Set) float64 {
	a := axisY(s.Blank)
	n := max(len(a.noseTicks(s.In().Bare, s.Blank)), len(a.otherTicks(s.In(), s.Blank)))
	return float64(n)*tickPitch*canvas.Smallest/0.92 + 2*(reach+tickPitch*canvas.Strong) + 3
}

// lowerStep is how much lower a drawing is tried at a time.
const lowerStep = 6.0

// beside lays out the blank in a box and chooses where the finished part is
// shown: in the spare foot of the key, or above or beside the drawing if that
// costs it neither scale nor names, and the key has room for the running sizes that
// it moves there; wherever the part comes out largest.
func beside(s *sketch, b, key canvas.Box, whole whole) (v *drawing, room canvas.Box) {
	v = layOut(s, b)
	for low := b; keyHeight(s.Set, v) > key.H && low.H > leastBlank; { // lower, more sizes have room at the drawing
		low, _ = low.CutTop(low.H - lowerStep)
		if lower := layOut(s, low); keyHeight(s.Set, lower) <= key.H {
			v = lower
		}
	}
	room = keySpare(s.Set, key, v)
	lower, top := b.CutBottom(max(v.lies.H+b.H-v.room.H+1, rulerHeight(s.Set)))
	left, right := b.CutLeft(v.lies.W + b.W - v.room.W + 4)
	for _, try := range [][2]canvas.Box{{lower, top}, {left, right}} {
		if whole.length(try[1]) <= whole.length(room) {
			continue
		}
		moved := layOut(s, try[0])
		if moved.times == v.times && moved.displaced() <= v.displaced() && keyHeight(s.Set, moved) <= key.H {
			v, room = moved, try[1]
		}
	}
	return v, room
}

// besideBlank reports whether the block of the blank ever has room for the picture.
func (w whole) besideBlank(s *sketch) bool {
	b := widest(s.Set, mostBlank)
	_, room := beside(s, b, canvas.Box{X: b.Right(), W: keyWidth - 2*border, H: b.H}, w)
	return w.length(room) > 0
}
