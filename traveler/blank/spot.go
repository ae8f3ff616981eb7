package blank

import (
	"math"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
)

// placeNames finds room for the labels of the bend lines and the names of the
// faces. The way and the angle, which the key has too, give way to a name; what
// still has no room stands beside it with a leader. All but the last try are given up
// as soon as something has no place.
func (v *drawing) placeNames() {
	holes := len(v.taken)
	tries := []struct{ wordy, beside, last bool }{{true, false, false}, {false, false, false}, {true, true, false}, {false, true, true}}
	for _, try := range tries {
		v.taken, v.labels, v.faces = v.taken[:holes], nil, nil
		all := v.placeLabels(try.wordy, try.beside, try.last)
		if (all || try.last) && v.placeFaces(try.beside, try.last) && all {
			return
		}
	}
}

// displaced counts the names and numbers that do not stand on what they name.
func (v *drawing) displaced() int {
	n := len(v.blank.Faces) - len(v.faces) + len(v.blank.Lines) - len(v.labels)
	for _, f := range v.faces {
		if f.leader != (leader{}) {
			n++
		}
	}
	for _, l := range v.labels {
		if l.leader != (leader{}) {
			n++
		}
	}
	return n
}

// placeLabels finds room on each bend line for its label, with words or without, and
// reports whether all have it. Unless all that can are wanted it stops at the first
// that has none.
func (v *drawing) placeLabels(wordy, beside, anyhow bool) bool {
	for _, l := range v.blank.Lines {
		if label, ok := v.placeLabel(l, wordy, beside); ok {
			v.labels = append(v.labels, label)
			v.take(label.Box, label.leader)
		} else if !anyhow { // else the list beside the drawing and the rulers still name the line
			return false
		}
	}
	return len(v.labels) == len(v.blank.Lines)
}

// placeLabel finds room for the label of one line.
func (v *drawing) placeLabel(l traveler.BendLine, wordy, beside bool) (lineLabel, bool) {
	label := lineLabel{step: l.Step, words: phrase.BendLine(l)}
	if wordy {
		if b, ok := v.labelRoom(l, canvas.SmallBold.Width(label.words)+2); ok {
			label.Box = b
			return label, true
		}
	}
	label.words = ""
	from, to := v.at(l.Line[0]), v.at(l.Line[1])
	if beside && canvas.Distance(from, to) < roomyLine { // on it, it would hide the metal beside it
		if label, ok := v.numberBeside(label, from, to); ok {
			return label, true
		}
	}
	if b, ok := v.labelRoom(l, 0); ok {
		label.Box = b
		return label, true
	}
	return label, false
}

// roomyLine is the length of a line on paper from which its number hides little.
const roomyLine = 4 * sign.DiscRadius

// numberBeside finds a place beside the metal for the number of a line that is too
// short to carry it.
func (v *drawing) numberBeside(label lineLabel, from, to draw.Point) (lineLabel, bool) {
	middle := canvas.Spot((from.X+to.X)/2, (from.Y+to.Y)/2)
	b, run, ok := v.pointed(middle, 2*sign.DiscRadius, 2*sign.DiscRadius)
	if share := sign.DiscRadius / max(sign.DiscRadius, canvas.Distance(b.Centre(), middle)); ok { // from the edge of the disc
		at := b.Centre()
		run.from = canvas.Spot(at.X+share*(middle.X-at.X), at.Y+share*(middle.Y-at.Y))
	}
	label.Box, label.leader, label.words = b, run, ""
	return label, ok
}

// shares are the places along a bend line where its label is tried.
var shares = []float64{0.5, 0.35, 0.65, 0.2, 0.8, 0.42, 0.58, 0.28, 0.72, 0.12, 0.88}

// labelRoom finds a place on a bend line for its number and a tail of words
// behind it, clear of all that is written, of the other lines and of the edge
// of the metal.
func (v *drawing) labelRoom(l traveler.BendLine, tail float64) (canvas.Box, bool) {
	from, to := v.at(l.Line[0]), v.at(l.Line[1])
	if canvas.Distance(from, to) < 2*sign.DiscRadius+tail {
		return canvas.Box{}, false
	}
	upright := math.Abs(to.X-from.X) < math.Abs(to.Y-from.Y)
	for _, share := range shares {
		x, y := from.X+share*(to.X-from.X), from.Y+share*(to.Y-from.Y)
		b := canvas.Box{X: x - sign.DiscRadius, Y: y - sign.DiscRadius, W: 2*sign.DiscRadius + tail, H: 2 * sign.DiscRadius}
		if upright {
			b = canvas.Box{X: x - sign.DiscRadius, Y: y - sign.DiscRadius - tail, W: 2 * sign.DiscRadius, H: 2*sign.DiscRadius + tail}
		}
		if v.free(b) && (tail == 0 || v.clear(b, l)) {
			return b, true
		}
	}
	return canvas.Box{}, false
}

// clear reports whether the words in a label's box keep off the edge of the
// metal and the other bend lines.
func (v *drawing) clear(b canvas.Box, l traveler.BendLine) bool {
	if !v.onMetal(b.Inset(sign.DiscRadius - halfWords)) {
		return false
	}
	for _, other := range v.blank.Lines {
		if other.Bend != l.Bend && canvas.Crosses(v.at(other.Line[0]), v.at(other.Line[1]), b) {
			return false
		}
	}
	return true
}

// placeMarks finds room on the metal for the marks of the face and the grain;
// one without room stays without a box, and the key shows it.
func (v *drawing) placeMarks() {
	for _, l := range v.blank.Lines {
		ends := []draw.Point{v.at(l.Line[0]), v.at(l.Line[1]), v.at(l.Nose[0]), v.at(l.Nose[1])}
		v.taken = append(v.taken, canvas.Around(ends).Grown(0.8))
	}
	v.faceAt, _ = v.roomOnMetal(canvas.Strongly.Width(v.face)+3, faceHeight)
	if v.grain != "" {
		v.grainAt, _ = v.roomOnMetal(grainSize(v.grain))
	}
}

// marks draws the marks that have room on the metal.
func (v *drawing) marks(c canvas.Canvas) {
	if v.faceAt.W > 0 {
		drawFaceMark(c, v.faceAt, v.face)
	}
	if v.grainAt.W > 0 {
		drawGrainMark(c, v.grainAt)
	}
}

// placeHoles finds room beside each round hole for its diameter.
func (v *drawing) placeHoles() {
	for _, c := range v.blank.Curves {
		if !c.Whole(v.blank) || c.Radius == 0 {
			v.shapes = append(v.shapes, c)
		} else if b, ok := v.besideHole(c); ok {
			v.holes = append(v.holes, holeLabel{b, phrase.Diameter(v.in, c)})
			v.taken = append(v.taken, b)
		} else {
			v.shapes = append(v.shapes, c)
		}
	}
}

// besideHole finds room on the metal beside a round hole for its diameter.
func (v *drawing) besideHole(c traveler.Curve) (canvas.Box, bool) {
	at := canvas.Around(v.ring(v.blank.Rings()[c.Ring]))
	w, ht := canvas.Small.Width(phrase.Diameter(v.in, c)), 1.1*canvas.Smallest
	y := at.Y + (at.H-ht)/2
	for _, b := range []canvas.Box{
		{X: at.Right() + 1.2, Y: y, W: w, H: ht}, {X: at.X - 1.2 - w, Y: y, W: w, H: ht},
		{X: at.X + (at.W-w)/2, Y: at.Y - 1.2 - ht, W: w, H: ht}, {X: at.X + (at.W-w)/2, Y: at.Bottom() + 1.2, W: w, H: ht},
	} {
		if v.free(b) && v.onMetal(b.Grown(0.5)) {
			return b, true
		}
	}
	return canvas.Box{}, false
}

// roomOnMetal finds room of a size on the metal, as near to the middle of the blank
// as there is, and takes it.
func (v *drawing) roomOnMetal(w, h float64) (found canvas.Box, ok bool) {
	const step = 1.5
	best := math.Inf(1)
	for y := v.lies.Y; y+h <= v.lies.Bottom(); y += step {
		for x := v.lies.X; x+w <= v.lies.Right(); x += step {
			b := canvas.Box{X: x, Y: y, W: w, H: h}
			from := math.Hypot(b.X+w/2-v.lies.X-v.lies.W/2, b.Y+h/2-v.lies.Y-v.lies.H/2)
			if from < best && v.free(b.Grown(0.8)) && v.onMetal(b.Grown(0.8)) {
				best, found, ok = from, b, true
			}
		}
	}
	if ok {
		v.taken = append(v.taken, found)
	}
	return found, ok
}
