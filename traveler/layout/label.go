package layout

import (
	"fmt"
	"math"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
	"brakeside/traveler/phrase"
)

// listPitch is the distance of two lines of the list beside the blank, in sizes of
// the type.
const listPitch = 1.25

// Heights of letters over and under their line, as shares of the size.
const (
	rise    = 0.78
	descent = 0.22
)

// names writes the names of bends and the diameters of holes where the metal has
// room for them: over no line, hole, edge or other words. What has no room anywhere
// is listed beside the blank, and the page grows for it.
func (d drawing) names() {
	in := room{drawing: d, outline: d.placed(d.blank.Outline)}
	in.measure()
	var led []traveler.BendLine
	var list []string
	for _, l := range d.blank.Lines {
		switch words := d.bendWords(l); {
		case in.put(d.besideLine(l, words)):
		case d.ledOut(l):
			led = append(led, l)
		default:
			list = append(list, words+lies(d.in, l))
		}
	}
	for _, c := range d.blank.Curves {
		if !c.Whole(d.blank) || c.Radius == 0 || !in.put(d.besideHole(c)) {
			is, lies := phrase.Shape(d.in, d.blank, c)
			list = append(list, letter.Clean(is+" "+lies))
		}
	}
	d.list(list, d.leadOut(led))
}

// bendWords are what is said of a bend.
func (d drawing) bendWords(l traveler.BendLine) string {
	way := "down"
	if l.Up {
		way = "up"
	}
	return letter.Clean(fmt.Sprintf("%s %s %s%s", l.BendWord(), way, bendSize(l), bendStep(d.in, d.blank, l)))
}

// lies says where a bend line is that is named away from it.
func lies(in unit.System, l traveler.BendLine) string {
	from, to := l.Line[0], l.Line[1]
	switch {
	case from.X == to.X:
		return ", bend line " + in.Figure(from.X) + " from the left"
	case from.Y == to.Y:
		return ", bend line " + in.Figure(from.Y) + " from below"
	}
	return fmt.Sprintf(", bend line from %s / %s to %s / %s", in.Figure(from.X), in.Figure(from.Y), in.Figure(to.X), in.Figure(to.Y))
}

// along are the places on a line at which its name is tried, the best first.
var along = []float64{0.5, 0.35, 0.65, 0.2, 0.8}

// besideLine gives the places for the name of a bend: above its zone as the words are
// read, then below it.
func (d drawing) besideLine(l traveler.BendLine, words string) []draw.Text {
	a, b := d.at(l.Line[0]), d.at(l.Line[1])
	turn := uphill(math.Atan2(a.Y-b.Y, b.X-a.X) * 180 / math.Pi)
	sin, cos := math.Sincos(turn * math.Pi / 180)
	above := d.half(l) + 0.4*d.size
	var out []draw.Text
	for _, clear := range []float64{above, -above - rise*d.size} {
		for _, share := range along {
			x, y := a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y)
			out = append(out, draw.Text{X: x - clear*sin, Y: y - clear*cos, Size: d.size, Words: words, Anchor: draw.Centre, Turn: turn})
		}
	}
	return out
}

// besideHole gives the places for the diameter of a hole, round about it.
func (d drawing) besideHole(c traveler.Curve) []draw.Text {
	at, r, size := d.at(c.Centre), mm(c.Radius), 0.8*d.size
	right, left, high, low := at.X+0.8*r+0.3*d.size, at.X-0.8*r-0.3*d.size, at.Y-0.8*r-0.2*d.size, at.Y+0.8*r+0.2*d.size+rise*size
	aside := r + 0.4*d.size
	text := func(x, y float64, anchor draw.Anchor) draw.Text {
		return draw.Text{X: x, Y: y, Size: size, Words: letter.Clean(phrase.Diameter(d.in, c)), Anchor: anchor}
	}
	return []draw.Text{
		text(right, high, draw.Left), text(left, high, draw.Right), text(right, low, draw.Left), text(left, low, draw.Right),
		text(at.X+aside, at.Y+size/3, draw.Left), text(at.X-aside, at.Y+size/3, draw.Right),
		text(at.X, at.Y-aside, draw.Centre), text(at.X, at.Y+aside+rise*size, draw.Centre),
	}
}

// ledOut reports whether a leader can run from a level bend line out of the blank at
// its right.
func (d drawing) ledOut(l traveler.BendLine) bool {
	return l.Line[0].Y == l.Line[1].Y && max(l.Line[0].X, l.Line[1].X) == d.blank.Width
}

// leadOut names bend lines at the right of the blank, each at the end of a leader, and
// gives where the words end.
func (d drawing) leadOut(lines []traveler.BendLine) float64 {
	edge, bottom := d.left+mm(d.blank.Width), d.top+mm(d.blank.Height)
	slices.SortStableFunc(lines, func(a, b traveler.BendLine) int { return int(a.Line[0].Y - b.Line[0].Y) })
	var at []unit.Micron
	for _, l := range lines {
		at = append(at, l.Line[0].Y)
	}
	end := edge
	for i, s := range spread(at, listPitch*d.size, math.Inf(-1)) {
		words := d.bendWords(lines[i])
		d.leader(draw.Point{X: edge + 0.6*d.size, Y: bottom - mm(s.value)}, draw.Point{X: edge + 2.4*d.size, Y: bottom - s.at})
		text := draw.Text{X: edge + 2.7*d.size, Y: bottom - s.at + 0.35*d.size, Size: d.size, Words: words}
		d.page.Add(text)
		end = max(end, text.X+letter.Width(words, draw.Regular, d.size))
	}
	d.page.Width = max(d.page.Width, end+d.size)
	return end
}

// list writes lines beside the blank, right of where other words end.
func (d drawing) list(lines []string, end float64) {
	x := end + 2*d.size
	for i, words := range lines {
		words = letter.Clean(words)
		y := d.top + (rise+listPitch*float64(i))*d.size
		d.page.Add(draw.Text{X: x, Y: y, Size: d.size, Words: words})
		d.page.Width = max(d.page.Width, x+letter.Width(words, draw.Regular, d.size)+d.size)
		d.page.Height = max(d.page.Height, y+4*d.size) // the bar to measure by stands under it
	}
}

// room is the metal while names are put on it.
type room struct {
	drawing
	outline []draw.Point
	strokes [][2]draw.Point
	taken   []canvas.Box
}

// measure finds what no name may lie on.
func (in *room) measure() {
	for _, l := range in.blank.Lines {
		in.strokes = append(in.strokes, [2]draw.Point{in.at(l.Line[0]), in.at(l.Line[1])})
		for _, t := range l.Tangents {
			in.strokes = append(in.strokes, [2]draw.Point{in.at(t[0]), in.at(t[1])})
		}
		if l.Step > 0 {
			in.strokes = append(in.strokes, [2]draw.Point{in.at(l.Nose[0]), in.at(l.Nose[1])})
		}
	}
	for i, p := range in.outline {
		in.strokes = append(in.strokes, [2]draw.Point{p, in.outline[(i+1)%len(in.outline)]})
	}
	for _, hole := range in.blank.Holes {
		in.taken = append(in.taken, canvas.Around(in.placed(hole)))
	}
}

// put writes words at the first of some places that is free.
func (in *room) put(places []draw.Text) bool {
	for _, text := range places {
		if b := covered(text); in.free(b) {
			in.page.Add(text)
			in.taken = append(in.taken, b)
			return true
		}
	}
	return false
}

// free reports whether nothing lies in a box of the metal.
func (in *room) free(b canvas.Box) bool {
	if !canvas.Inside(b.Centre(), in.outline) {
		return false
	}
	for _, t := range in.taken {
		if b.Meets(t) {
			return false
		}
	}
	for _, s := range in.strokes {
		if canvas.Crosses(s[0], s[1], b) {
			return false
		}
	}
	return true
}

// covered is the box around words, as they are turned.
func covered(text draw.Text) canvas.Box {
	wide := letter.Width(text.Words, text.Face, text.Size)
	from := map[draw.Anchor]float64{draw.Left: 0, draw.Centre: -wide / 2, draw.Right: -wide}[text.Anchor]
	sin, cos := math.Sincos(text.Turn * math.Pi / 180)
	var corners []draw.Point
	for _, c := range [][2]float64{{from, rise}, {from + wide, rise}, {from, -descent}, {from + wide, -descent}} {
		x, up := c[0], c[1]*text.Size
		corners = append(corners, draw.Point{X: text.X + x*cos - up*sin, Y: text.Y - x*sin - up*cos})
	}
	return canvas.Around(corners)
}
