package sheet

import (
	"math"
	"strconv"

	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// discRadius is the radius of the step numbers on a drawing.
const discRadius = 2.3

// halfWords is half the height of the words beside a step's number.
const halfWords = 1.5

// lineLabel is a step's number on its bend line, with the way and the angle
// where there is room.
type lineLabel struct {
	box
	step  int
	words string
}

// placeLabels finds room on each bend line for its label.
func (v *blankView) placeLabels() {
	for _, l := range v.blank.Lines {
		label := lineLabel{step: l.Step, words: bendWords(l)}
		b, ok := v.labelRoom(l, smallBold.width(label.words)+2)
		if !ok {
			label.words = ""
			b, ok = v.labelRoom(l, 0)
		}
		if ok { // else the list beside the drawing and the rulers still name the line
			label.box = b
			v.labels = append(v.labels, label)
			v.taken = append(v.taken, b)
		}
	}
}

// shares are the places along a bend line where its label is tried.
var shares = []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.42, 0.58, 0.28, 0.72, 0.12, 0.88}

// labelRoom finds a place on a bend line for its number and a tail of words
// behind it, clear of all that is written, of the other lines and of the edge
// of the metal.
func (v *blankView) labelRoom(l traveler.BendLine, tail float64) (box, bool) {
	from, to := v.at(l.Line[0]), v.at(l.Line[1])
	if distance(from, to) < 2*discRadius+tail {
		return box{}, false
	}
	upright := math.Abs(to.X-from.X) < math.Abs(to.Y-from.Y)
	for _, share := range shares {
		x, y := from.X+share*(to.X-from.X), from.Y+share*(to.Y-from.Y)
		b := box{x - discRadius, y - discRadius, 2*discRadius + tail, 2 * discRadius}
		if upright {
			b = box{x - discRadius, y - discRadius - tail, 2 * discRadius, 2*discRadius + tail}
		}
		if v.free(b) && (tail == 0 || v.clear(b, l)) {
			return b, true
		}
	}
	return box{}, false
}

// clear reports whether the words in a label's box keep off the edge of the
// metal and the other bend lines.
func (v *blankView) clear(b box, l traveler.BendLine) bool {
	if !v.onMetal(b.inset(discRadius - halfWords)) {
		return false
	}
	for _, other := range v.blank.Lines {
		if other.Bend != l.Bend && crosses(v.at(other.Line[0]), v.at(other.Line[1]), b) {
			return false
		}
	}
	return true
}

// lineLabel draws a label into its box: level, or reading upwards in an upright
// one.
func (l lineLabel) draw(c canvas) {
	b := l.box
	if l.words != "" {
		c.fill(b.inset(discRadius-halfWords), draw.Paper)
	}
	if b.h > b.w {
		c.disc(spot(b.x+discRadius, b.bottom()-discRadius), discRadius, strconv.Itoa(l.step))
		text := smallBold.at(b, l.words)
		text.X, text.Y, text.Turn, text.MaxWidth = b.x+discRadius+capHeight*smallest/2, b.bottom()-2*discRadius-1, 90, b.h
		c.add(text)
		return
	}
	c.disc(spot(b.x+discRadius, b.y+discRadius), discRadius, strconv.Itoa(l.step))
	_, rest := b.cutLeft(2*discRadius + 1)
	c.write(rest, smallBold, l.words)
}

// free reports whether nothing is written in a box yet.
func (v *blankView) free(b box) bool {
	for _, t := range v.taken {
		if b.meets(t) {
			return false
		}
	}
	return true
}

// Sizes of the marks on the metal.
const (
	grainLength = 24.0
	grainDepth  = 6.0
)

// placeMarks finds room on the metal for the marks of the face and the grain;
// one without room stays without a box, and the key shows it.
func (v *blankView) placeMarks() {
	for _, l := range v.blank.Lines {
		v.taken = append(v.taken, around([]draw.Point{v.at(l.Line[0]), v.at(l.Line[1]), v.at(l.Nose[0]), v.at(l.Nose[1])}).grown(0.8))
	}
	v.faceAt, _ = v.roomOnMetal(strongly.width(v.face)+3, faceHeight)
	if v.grain != "" {
		v.grainAt, _ = v.roomOnMetal(grainSize(v.grain))
	}
}

// marks draws the marks that have room on the metal.
func (v *blankView) marks(c canvas) {
	if v.faceAt.w > 0 {
		c.faceMark(v.faceAt, v.face)
	}
	if v.grainAt.w > 0 {
		c.grainMark(v.grainAt)
	}
}

// roundHole gives the diameter of a hole in the metal, if it is a round one: a
// ring of many corners equally far from its middle.
func roundHole(hole []traveler.Point) (diameter float64, ok bool) {
	ring := rings(hole)
	if len(ring) < 8 {
		return 0, false
	}
	middle := centre(ring)
	least, most := math.Inf(1), 0.0
	for _, p := range ring {
		from := distance(p, middle)
		least, most = min(least, from), max(most, from)
	}
	return 2 * most, most-least < 0.02*most
}

// holeLabel is the diameter of a hole beside it.
type holeLabel struct {
	box
	words string
}

// placeHoles finds room beside each round hole for its diameter.
func (v *blankView) placeHoles() {
	for _, h := range v.blank.Holes {
		diameter, ok := roundHole(h)
		if !ok {
			continue
		}
		at, words := around(v.ring(h)), holeWords(diameter)
		w, ht := small.width(words), 1.1*smallest
		y := at.y + (at.h-ht)/2
		for _, b := range []box{{at.right() + 1.2, y, w, ht}, {at.x - 1.2 - w, y, w, ht}, {at.x + (at.w-w)/2, at.y - 1.2 - ht, w, ht}, {at.x + (at.w-w)/2, at.bottom() + 1.2, w, ht}} {
			if v.free(b) && v.onMetal(b.grown(0.5)) {
				v.holes = append(v.holes, holeLabel{b, words})
				v.taken = append(v.taken, b)
				break
			}
		}
	}
}

// grainSize is the size of the grain's mark, which lies along x or stands along y.
func grainSize(grain string) (w, h float64) {
	if grain == "y" {
		return grainDepth, grainLength
	}
	return grainLength, grainDepth
}

// roomOnMetal finds room of a size on the metal, as near to the middle of the blank
// as there is, and takes it.
func (v *blankView) roomOnMetal(w, h float64) (found box, ok bool) {
	const step = 1.5
	best := math.Inf(1)
	for y := v.lies.y; y+h <= v.lies.bottom(); y += step {
		for x := v.lies.x; x+w <= v.lies.right(); x += step {
			b := box{x, y, w, h}
			from := math.Hypot(b.x+w/2-v.lies.x-v.lies.w/2, b.y+h/2-v.lies.y-v.lies.h/2)
			if from < best && v.free(b.grown(0.8)) && v.onMetal(b.grown(0.8)) {
				best, found, ok = from, b, true
			}
		}
	}
	if ok {
		v.taken = append(v.taken, found)
	}
	return found, ok
}

// onMetal reports whether a box lies wholly inside the outline: one corner
// does, and no edge of the outline reaches into it.
func (v *blankView) onMetal(b box) bool {
	outline := v.ring(v.blank.Outline)
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		if crosses(p, q, b) {
			return false
		}
	}
	return inside(draw.Point{X: b.x, Y: b.y}, outline)
}

// crosses reports whether the stretch from p to q reaches into the box, by
// cutting it off at the four edges in turn.
func crosses(p, q draw.Point, b box) bool {
	from, to := 0.0, 1.0
	for _, edge := range [4][2]float64{
		{p.X - q.X, p.X - b.x}, {q.X - p.X, b.right() - p.X},
		{p.Y - q.Y, p.Y - b.y}, {q.Y - p.Y, b.bottom() - p.Y},
	} {
		slope, room := edge[0], edge[1]
		switch {
		case slope == 0 && room <= 0:
			return false
		case slope < 0:
			from = max(from, room/slope)
		case slope > 0:
			to = min(to, room/slope)
		}
	}
	return from < to
}

// inside reports whether a point lies in a ring, by the even-odd rule.
func inside(p draw.Point, ring []draw.Point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// faceMark frames which face lies up.
func (c canvas) faceMark(b box, words string) {
	c.frame(b, draw.Outline)
	c.write(b.inset(1), strongly.centred(), words)
}

// grainMark is an arrow with two heads along the rolling direction.
func (c canvas) grainMark(b box) {
	m := draw.Line{Pen: draw.Thin, Arrows: draw.AtBoth}
	if b.w > b.h {
		words, shaft := b.cutTop(4)
		c.write(words, small.centred(), wordsGrain)
		m.X1, m.X2, m.Y1, m.Y2 = b.x, b.right(), shaft.y+1, shaft.y+1
		c.add(m)
		return
	}
	text := small.at(b, wordsGrain)
	text.X, text.Y = b.x+capHeight*smallest, b.y+b.h/2+small.width(wordsGrain)/2
	text.Turn, text.MaxWidth = 90, b.h
	m.X1, m.X2, m.Y1, m.Y2 = b.x+5, b.x+5, b.bottom(), b.y
	c.add(text, m)
}
