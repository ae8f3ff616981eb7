package view

import (
	"cmp"
	"math"
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
	"brakeside/traveler/phrase"
)

// sceneMargin is the white edge around a picture, in millimetres: room for half of
// the heaviest line.
const sceneMargin = 0.8

// pens are what the strokes of a picture are drawn with, in the order of painting.
var pens = []struct {
	kind string
	pen  draw.Pen
}{
	{traveler.StrokeShade, draw.Thin},
	{traveler.StrokeBrake, draw.Thin},
	{traveler.StrokeTool, draw.Thin},
	{traveler.StrokeMetal, draw.Outline},
	{traveler.StrokeSwing, draw.Heavy},
	{traveler.StrokeNose, draw.NoseLine},
	{traveler.StrokeGauge, draw.Heavy},
	{traveler.StrokeWay, draw.NoseLine},
}

// Scene is a picture laid into a box, so that what is said of it can be put where it
// belongs. The zero Scene shows nothing.
type Scene struct {
	picture   *traveler.Picture
	scale     float64
	left, top float64 // of what is drawn, in the box
	low, high traveler.Point
	width     float64 // of the box
}

// Fitted lays a picture into a box of width x height millimetres. A picture that is
// not there leaves it empty.
func Fitted(p *traveler.Picture, width, height float64) Scene {
	if p == nil || len(p.Strokes) == 0 || width <= 2*sceneMargin || height <= 2*sceneMargin {
		return Scene{}
	}
	s := Scene{picture: p, width: width}
	s.low, s.high = traveler.Point{X: math.MaxInt64, Y: math.MaxInt64}, traveler.Point{X: math.MinInt64, Y: math.MinInt64}
	for _, strokes := range p.Strokes {
		for _, l := range strokes.Lines {
			s.low.X, s.high.X = min(s.low.X, l[0], l[2]), max(s.high.X, l[0], l[2])
			s.low.Y, s.high.Y = min(s.low.Y, l[1], l[3]), max(s.high.Y, l[1], l[3])
		}
	}
	wide, tall := float64(s.high.X-s.low.X), float64(s.high.Y-s.low.Y)
	s.scale = min((width-2*sceneMargin)/max(wide, 1), (height-2*sceneMargin)/max(tall, 1))
	s.left, s.top = (width-s.scale*wide)/2, (height-s.scale*tall)/2
	return s
}

// Empty reports whether there is nothing to show.
func (s Scene) Empty() bool { return s.picture == nil }

// Size is the width and height of what is drawn, in millimetres.
func (s Scene) Size() (width, height float64) {
	return s.scale * float64(s.high.X-s.low.X), s.scale * float64(s.high.Y-s.low.Y)
}

// At is where a place of the picture lies in the box.
func (s Scene) At(p traveler.Point) draw.Point {
	return draw.Point{X: s.left + s.scale*float64(p.X-s.low.X), Y: s.top + s.scale*float64(s.high.Y-p.Y)}
}

// Marks are the strokes of the picture.
func (s Scene) Marks() (out []draw.Mark) {
	for _, look := range pens {
		out = append(out, s.strokes(look.kind, look.pen)...)
	}
	return out
}

// strokes are those of one kind, drawn with a pen.
func (s Scene) strokes(kind string, pen draw.Pen) (out []draw.Mark) {
	if s.Empty() {
		return nil
	}
	for _, strokes := range s.picture.Strokes {
		if strokes.Kind == kind {
			lines := make([][2]draw.Point, len(strokes.Lines))
			for i, l := range strokes.Lines {
				lines[i] = [2]draw.Point{s.At(traveler.Point{X: l[0], Y: l[1]}), s.At(traveler.Point{X: l[2], Y: l[3]})}
			}
			out = append(out, draw.Strokes{Lines: lines, Pen: pen})
		}
	}
	return out
}

// Thumb are the strokes of part and bar alone, fine enough for a picture of a
// centimetre or two.
func (s Scene) Thumb() (out []draw.Mark) {
	out = s.strokes(traveler.StrokeTool, draw.Thin)
	out = append(out, s.strokes(traveler.StrokeMetal, draw.Thin)...)
	return append(out, s.strokes(traveler.StrokeSwing, draw.NoseLine)...)
}

// Spots are the spots of a kind that are seen.
func (s Scene) Spots(what string) (out []traveler.Spot) {
	if s.Empty() {
		return nil
	}
	for _, spot := range s.picture.Spots {
		if spot.What == what && spot.Seen {
			out = append(out, spot)
		}
	}
	return out
}

// leastName is the least size of a name as a share of the wanted one.
const leastName = 0.7

// fewNames are so many that a face that lies flat may be named with a leader beside them.
const fewNames = 6

// farName is how far off a place its name may stand, with a leader, in heights of its
// letters.
const farName = 6.0

// Names are the names of the faces that are seen, at most so large, clear of each other
// and of what is drawn: on their faces, or beside them with a leader. Those asked for
// first come first and are there anyhow. Others are left out where no place is near;
// beside those asked for, only few that lie flat have a leader.
func (s Scene) Names(size, height float64, first ...string) []draw.Mark {
	r := roomIn(s.width, height, s.segments())
	return s.names(r, size, first...)
}

// NamesClear are the names clear of some boxes too, to which it adds those of the names.
func (s Scene) NamesClear(size, height float64, taken *[]canvas.Box) []draw.Mark {
	r := roomIn(s.width, height, s.segments())
	r.taken = *taken
	marks := s.names(r, size)
	*taken = r.taken
	return marks
}

// names are those names, in a room that they fill.
func (s Scene) names(r *room, size float64, first ...string) (out []draw.Mark) {
	spots := s.Spots(traveler.SpotFace)
	rank := func(spot traveler.Spot) int {
		if i := slices.Index(first, spot.Name); i >= 0 {
			return i
		}
		return len(first)
	}
	lies := func(spot traveler.Spot) int {
		if spot.Side != "" {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(spots, func(a, b traveler.Spot) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(lies(a), lies(b)), cmp.Compare(b.Room, a.Room))
	})
	for _, spot := range spots {
		leader := len(first) == 0 || spot.Side != "" || len(r.taken) < fewNames
		out = append(out, r.name(s.At(spot.At), spot.Name, size, rank(spot) < len(first), leader)...)
	}
	return out
}

// name is a name at its place, or with a leader near it; anyhow on it where it must be
// there.
func (r *room) name(at draw.Point, words string, size float64, must, leader bool) []draw.Mark {
	for _, tall := range []float64{size, (1 + leastName) / 2 * size, leastName * size} {
		if on := around(at, words, tall); r.clear(on) {
			return r.write(on, words, tall)
		}
	}
	tall := leastName * size
	on := around(at, words, tall)
	if b, ok := r.beside(at, on.W, on.H, farName*size); ok && leader {
		return append(r.write(b, words, tall), r.leader(b, at)...)
	}
	if on = r.inside(on); must && r.unwritten(on) {
		return append([]draw.Mark{draw.Box(draw.NoPen, draw.Paper, on.X, on.Y, on.W, on.H)}, r.write(on, words, tall)...)
	}
	return nil
}

// around is the room of words in the middle of a place.
func around(at draw.Point, words string, size float64) canvas.Box {
	w := letter.Width(words, draw.Bold, size) + 0.4
	return canvas.Box{X: at.X - w/2, Y: at.Y - 0.53*size, W: w, H: 1.06 * size}
}

// inside moves a box into the picture.
func (r *room) inside(b canvas.Box) canvas.Box {
	b.X = max(0, min(b.X, float64(r.wide)*cell-b.W))
	b.Y = max(0, min(b.Y, float64(r.high)*cell-b.H))
	return b
}

// write puts words into a box, which is then taken.
func (r *room) write(b canvas.Box, words string, size float64) []draw.Mark {
	r.taken = append(r.taken, b)
	at := b.Centre()
	return []draw.Mark{draw.Text{X: at.X, Y: at.Y + 0.35*size, Size: size, Words: words, Face: draw.Bold, Anchor: draw.Centre}}
}

// segments are the lines of the picture in its box.
func (s Scene) segments() (out [][2]draw.Point) {
	if s.Empty() {
		return nil
	}
	for _, strokes := range s.picture.Strokes {
		for _, l := range strokes.Lines {
			out = append(out, [2]draw.Point{s.At(traveler.Point{X: l[0], Y: l[1]}), s.At(traveler.Point{X: l[2], Y: l[3]})})
		}
	}
	return out
}

// Finished draws the finished part into a box of width x height millimetres, its
// faces named at most so large; 0 names none.
func Finished(p *traveler.Picture, width, height, letters float64) *draw.Page {
	s := Fitted(p, width, height)
	page := &draw.Page{Title: "The finished part", Description: "The finished part in isometric view, hidden lines removed."}
	page.Width, page.Height = width, height
	page.Add(s.Marks()...)
	if letters > 0 {
		page.Add(s.Names(letters, height)...)
	}
	return page
}

// Thumb draws the finished part so small that it stands in a list; an empty page where
// there is no picture.
func Thumb(p *traveler.Picture, width, height float64) *draw.Page {
	page := &draw.Page{Title: "The finished part", Width: width, Height: height}
	page.Add(Fitted(p, width, height).Thumb()...)
	return page
}

// Bench draws the part half bent in the brake into a box of width x height
// millimetres, its faces named at most so large; an empty page in older travelers.
func Bench(step traveler.Step, width, height, letters float64) *draw.Page {
	s := Fitted(step.Bench, width, height)
	page := &draw.Page{Title: "The bend in the brake", Description: phrase.Bench(step), Width: width, Height: height}
	page.Add(s.Marks()...)
	if s.Empty() {
		return page
	}
	r := roomIn(width, height, s.segments())
	marks, taken := operator(height, letters)
	r.taken = append(r.taken, taken)
	page.Add(s.names(r, letters, step.Swinging, step.Clamped)...)
	page.Add(marks...)
	return page
}

// operator marks the lower left corner of a picture as where the operator stands: an
// arrow head towards the brake and the word.
func operator(height, letters float64) ([]draw.Mark, canvas.Box) {
	size := leastName * letters
	wide, y := letter.Width(youWord, draw.Bold, size), height-0.1*size
	x := size
	own := canvas.Box{X: 0, Y: y - 0.9*size, W: x + wide + 0.4, H: size}
	return []draw.Mark{
		draw.Box(draw.NoPen, draw.Paper, own.X, own.Y, own.W, own.H),
		draw.Polygon(draw.NoPen, draw.Black,
			draw.Point{X: 0.1, Y: y}, draw.Point{X: 0.1, Y: y - 0.72*size}, draw.Point{X: 0.8 * size, Y: y - 0.72*size}),
		draw.Text{X: x, Y: y, Size: size, Words: youWord, Face: draw.Bold},
	}, own
}

// youWord stands where the operator does.
const youWord = "you"

// Lay draws the part as it is laid on the brake, from above, into a box of
// width x height millimetres: with the words of how far the nose line lies from what
// it is measured from, and its faces named where they have room, at most so large; 0
// names none.
func Lay(step traveler.Step, gauge string, width, height, letters float64) *draw.Page {
	page := &draw.Page{Title: "The part as it is laid", Description: phrase.Lay(step), Width: width, Height: height}
	size := cmp.Or(letters, canvas.Smallest)
	s := Fitted(step.Lay, width, height)
	marks, clear := s.distances(gauge, height, size, letters)
	if !clear { // then beside the part
		s = Fitted(step.Lay, width-letter.Width(gauge, draw.Bold, size)-1, height)
		s.width = width
		marks, _ = s.distances(gauge, height, size, letters)
	}
	page.Add(s.Marks()...)
	page.Add(marks...)
	return page
}

// distances are how far the nose line lies from what it is measured from, and the
// names of the faces; it reports whether the words of the distance are clear of what is
// drawn.
func (s Scene) distances(gauge string, height, size, letters float64) (out []draw.Mark, clear bool) {
	var lines [][2]draw.Point
	for _, from := range s.Spots(traveler.SpotGauge) {
		for _, to := range s.Spots(traveler.SpotNose) {
			lines = append(lines, [2]draw.Point{s.At(from.At), s.At(to.At)})
		}
	}
	drawn := s.segments()
	for _, l := range lines {
		for _, tick := range between(l[0], l[1]) {
			out = append(out, tick)
			drawn = append(drawn, [2]draw.Point{{X: tick.X1, Y: tick.Y1}, {X: tick.X2, Y: tick.Y2}})
		}
	}
	r := roomIn(s.width, height, drawn)
	clear = true
	for _, l := range lines {
		at := draw.Point{X: l[0].X, Y: (l[0].Y + l[1].Y) / 2}
		on := around(at, gauge, size)
		b, ok := r.beside(at, on.W, on.H, farName*size)
		if !ok {
			b, clear = r.inside(on), false
			out = append(out, draw.Box(draw.NoPen, draw.Paper, b.X, b.Y, b.W, b.H))
		} else if canvas.Distance(nearest(b, at), at) > size {
			out = append(out, r.leader(b, at)...)
		}
		out = append(out, r.write(b, gauge, size)...)
	}
	if letters > 0 {
		out = append(out, s.names(r, letters)...)
	}
	return out, clear
}

// betweenTick is how far the ticks at the ends of a distance reach to either side.
const betweenTick = 0.8

// between marks the distance between two places that stand one above the other: a line
// with ticks at its ends, since heads are larger than many a lip is drawn.
func between(a, b draw.Point) []draw.Line {
	lines := []draw.Line{{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: draw.Thin}}
	for _, end := range []draw.Point{a, b} {
		lines = append(lines, draw.Line{X1: end.X - betweenTick, Y1: end.Y, X2: end.X + betweenTick, Y2: end.Y, Pen: draw.Thin})
	}
	return lines
}
