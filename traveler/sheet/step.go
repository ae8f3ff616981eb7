package sheet

import (
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/view"
	"strings"
)

// numberLetters are the digits of step numbers, 10.4 mm high; only three of them
// must be smaller.
var numberLetters = lettering{face: draw.Bold, size: 14.4, least: 9.5}

// stopTall is the type size of the stop angle: digits of 7.4 mm.
const stopTall = 10.2

// Heights and widths of a step's row.
const (
	leastRow    = 38.8
	mostRow     = 60.0
	numberWidth = 18.0
	viewsWidth  = 64.0
	codeWidth   = 23.0
)

// row is one bend: what is done to the part before it, the bend itself, and
// the one caution that is true of it.
func (s *sheet) row(i int) block {
	step := s.Steps[i]
	todo := s.handling(i)
	caution, cautioned := worst(step.Cautions)
	extra := todo.height(s.body().w)
	warn := 0.0
	if cautioned {
		warn = heightOf(caution, s.body().w-numberWidth)
	}
	extra += warn
	return block{least: leastRow + extra, most: mostRow + extra, row: true, draw: func(c canvas, b box) {
		c.add(draw.Bookmark{Y: b.y, Words: stepBookmark(step), Level: 1})
		top, b := b.cutTop(todo.height(b.w))
		todo.draw(c, top)
		c.frame(b, draw.Outline)
		number, b := b.cutLeft(numberWidth)
		c.number(number, stepNumber(step.Number))
		c.facing(number, step)
		c.line(draw.Thin, spot(number.right(), number.y), spot(number.right(), number.bottom()))
		if cautioned {
			var foot box
			foot, b = b.cutBottom(warn)
			c.line(draw.Thin, spot(foot.x, foot.y), spot(foot.right(), foot.y))
			c.signal(foot, caution)
		}
		s.bend(c, b, i)
	}}
}

// number is the black tab with a step's number, at the top of its column.
func (c canvas) number(b box, number string) {
	tab, _ := b.cutTop(15)
	c.fill(tab, draw.Black)
	c.write(tab.inset(0.5), numberLetters.centred().inverse(), number)
}

// facing tells under the number which bend it is and which face lies up.
func (c canvas) facing(b box, step traveler.Step) {
	_, b = b.cutTop(15.5)
	name, b := b.cutTop(lineStep * body)
	words, b := b.cutTop(lineStep * smallest)
	first, second := step.Bend, ""
	if dot := strings.LastIndex(first, "."); dot > 0 && smallBold.width(first) > name.w-0.4 {
		first, second = first[:dot+1], first[dot+1:]
	}
	c.write(name.inset(0.2), bold.centred(), first)
	if second != "" { // the ends of such names tell them apart: more than the word face
		c.write(words, smallBold.centred(), second)
	} else {
		c.write(words, small.centred(), wordsFace)
	}
	letter, b := b.cutTop(8.4)
	c.write(letter, lettering{face: draw.Bold, size: 9, least: smallest}.centred(), step.FaceUp)
	up, _ := b.cutTop(lineStep * smallest)
	c.write(up, small.centred(), wordsUp)
}

// bend is the row without its number: the end views, what to set, and the code
// with the boxes for the angles.
func (s *sheet) bend(c canvas, b box, i int) {
	step := s.Steps[i]
	views, b := b.cutLeft(viewsWidth)
	code, b := b.cutRight(s.codeColumn())
	c.line(draw.Thin, spot(views.right(), b.y), spot(views.right(), b.bottom()))
	c.line(draw.Thin, spot(code.x, b.y), spot(code.x, b.bottom()))
	c.views(views.inset(1), step)
	_, b = b.cutLeft(0.5)
	s.set(c, b.inset(1), step)
	if i < len(s.codes.steps) {
		own := s.codes.steps[i]
		c.stamp(own, code.x+(code.w-own.around())/2, code.y+0.2)
		_, code = code.cutTop(own.around() + 0.4)
	}
	halves := code.rows(2)
	c.angleBox(halves[0], wordsFirst)
	c.angleBox(halves[1], wordsLast)
}

// codeColumn is wide enough for the widest code of the steps.
func (s *sheet) codeColumn() float64 {
	width := codeWidth
	for _, own := range s.codes.steps {
		width = max(width, own.around()+0.8)
	}
	return width
}

// angleBox is where a measured angle is written.
func (c canvas) angleBox(b box, label string) {
	c.line(draw.Thin, spot(b.x, b.y), spot(b.right(), b.y))
	words, room := box{b.x + 0.6, b.y + 0.3, b.w - 1.2, b.h - 0.3}.cutLeft(small.width(wordsPiece) + 0.5)
	c.flow(words, small, label)
	c.write(room, plain.ranged(), "°")
}

// views shows the bend before and after, the clamped side, and the nose
// setback with its boxes.
func (c canvas) views(b box, step traveler.Step) {
	setback, b := b.cutBottom(6.6)
	c.noseSetback(setback, step)
	caption, b := b.cutBottom(lineStep * smallest)
	c.write(caption, small, clampedWords(step))
	top, b := b.cutTop(lineStep * smallest)
	half := (b.w - 4) / 2
	before, after := view.Pair(step, half, b.h)
	c.picture(before, b.x, b.y)
	c.picture(after, b.right()-half, b.y)
	mid := b.y + b.h/2
	c.arrow(draw.Outline, spot(b.x+half+0.4, mid), spot(b.right()-half-0.2, mid))
	left, right := top.columns(1, 1)[0], top.columns(1, 1)[1]
	c.write(left, small, wordsBefore)
	c.write(right, small.ranged(), wordsAfter)
	if step.Tight { // between the two, where no long name can push it off the end
		c.write(top, smallBold.centred(), tightWords(step))
	}
}

// noseSetback is the nose setback and boxes for what was set at both ends: unequal
// ends bend a taper. A round bar is set by its axis.
func (c canvas) noseSetback(b box, step traveler.Step) {
	words, setback := wordsNoseSetback, step.NoseSetback
	if step.ContactLine != 0 {
		words, setback = wordsAxisSetback, step.ContactLine
	}
	label, b := b.cutLeft(smallBold.width(words) + 1)
	c.write(label, smallBold, words)
	right, b := b.cutRight(12.5)
	left, value := b.cutRight(13)
	c.write(value, strongly, setback.Text(1))
	c.writeIn(left, "L")
	c.writeIn(right, "R")
}

// writeIn is a box to write in with its letter in front.
func (c canvas) writeIn(b box, label string) {
	_, b = b.cutLeft(0.8)
	letter, room := b.cutLeft(2.9)
	c.write(letter, smallBold, label)
	c.frame(room.middle(room.w, room.h-0.8), draw.Grid)
}

// Heights of the lines of what is set.
const (
	stopHeight  = 10.8
	checkHeight = 2 * lineStep * smallest
	gaugeHeight = 5.2
)

// set is what the operator sets and checks: stop, bar, nose line and size.
// Where the springback figure comes from is told when the row has room for it,
// and with more room the bar's edge on the nose line is drawn large, with words;
// else it stands small behind the bar's name.
func (s *sheet) set(c canvas, b box, step traveler.Step) {
	stop, b := b.cutTop(stopHeight)
	s.stop(c, stop, step)
	check, b := b.cutBottom(checkHeight)
	c.check(check, step)
	gauge, b := b.cutBottom(gaugeHeight)
	c.gauge(gauge, step)
	if b.h-barHeight > lineStep*smallest {
		var from box
		from, b = b.cutTop(lineStep * smallest)
		c.write(from, small, springbackWords(step))
	}
	small := b.h-barHeight <= noseHeight
	if !small {
		var nose box
		nose, b = b.cutBottom(noseHeight)
		c.noseClose(nose.inset(0.4), step)
	}
	_, b = b.cutTop(max(0, min(4, (b.h-barHeight)/2)))
	free := noseSmallWidth + 0.5
	if _, words := strongly.fitted(barWords(step), b.w-labelWidth()-free); !small || words != barWords(step) {
		free = 0 // no word of the bar is given up for it
	} else {
		c.noseSmall(box{b.right() - noseSmallWidth, b.y + 0.2, noseSmallWidth, barName - 0.6}, step)
	}
	c.bar(b, step, free)
}

// stop is the one number for the stop, in the scale that is painted on this
// brake, and the angle the part is to have.
func (s *sheet) stop(c canvas, b box, step traveler.Step) {
	big := lettering{face: draw.Bold, size: stopTall, least: stopTall}
	label, b := b.cutLeft(strongly.width(wordsStop) + 1.5)
	word, scale := label.cutTop(6)
	c.write(word, strongly, wordsStop)
	c.write(scale, small, scaleReads(s.Brake.Reads))
	value, b := b.cutLeft(big.width(angle(step.Stop)) + 0.1)
	c.write(value, big, angle(step.Stop))
	_, b = b.cutLeft(1.5)
	rows := b.rows(2)
	c.write(rows[0], largely.of(13*point), targetWords(step))
	c.write(rows[1], plain.of(11*point), openingWords(step))
}

// gauge is where the nose line lies: how far from which edge.
func (c canvas) gauge(b box, step traveler.Step) {
	label, b := b.cutLeft(smallBold.width(wordsNoseLine) + 1.5)
	c.write(label, smallBold, wordsNoseLine)
	value, b := b.cutLeft(strongly.width(step.Gauge.Text(1)) + 1.5)
	c.write(value, strongly, step.Gauge.Text(1))
	words := gaugeWords(step)
	if small.width(words) > b.w {
		words = strings.TrimPrefix(words, "from the ")
	}
	c.write(b, plain, words)
}

// labelWidth is the width of the labels in front of bar and check.
func labelWidth() float64 { return smallBold.width(wordsCheck) + 1.5 }

// check is the one size to measure after this bend, with a box to write it in.
func (c canvas) check(b box, step traveler.Step) {
	label, b := b.cutLeft(labelWidth())
	c.write(label, smallBold, wordsCheck)
	room, b := b.cutRight(15)
	c.frame(room.middle(room.w, 6), draw.Grid)
	if step.Check != 0 {
		var value box
		value, b = b.cutLeft(strongly.width(step.Check.Text(1)) + 1.5)
		c.write(value, strongly, step.Check.Text(1))
	}
	_, b = b.cutRight(1)
	if fit, _ := plain.fitted(step.CheckSize, b.w); fit.width(step.CheckSize) <= b.w {
		c.write(b, fit, step.CheckSize)
		return
	}
	c.flow(b, small, step.CheckSize)
}
