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

// The least size of a name as a share of the wanted one, and how much of its height a
// face must give it at least to be named at all.
const (
	leastName = 0.7
	leastRoom = 0.3
)

// Names are the names of the faces that are seen, at most so large, each clear of the
// others: first those asked for, which stand there anyhow, then the others where
// their faces have room for them.
func (s Scene) Names(size float64, first ...string) (out []draw.Mark) {
	spots := s.Spots(traveler.SpotFace)
	rank := func(spot traveler.Spot) int {
		if i := slices.Index(first, spot.Name); i >= 0 {
			return i
		}
		return len(first)
	}
	slices.SortStableFunc(spots, func(a, b traveler.Spot) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(b.Room, a.Room))
	})
	var taken []canvas.Box
	for _, spot := range spots {
		at := s.At(spot.At)
		tall := min(size, max(leastName*size, 2*s.scale*float64(spot.Room)))
		if 2*s.scale*float64(spot.Room) < leastRoom*size && rank(spot) == len(first) {
			continue
		}
		around, marks := s.label(at, spot.Name, tall)
		if !slices.ContainsFunc(taken, around.Meets) {
			taken = append(taken, around)
			out = append(out, marks...)
		}
	}
	return out
}

// label is words in the middle of a place, as far as the box goes, on a patch that
// clears the lines behind them; and the room that they take.
func (s Scene) label(at draw.Point, words string, size float64) (canvas.Box, []draw.Mark) {
	half := letter.Width(words, draw.Bold, size) / 2
	at.X = max(half, min(at.X, s.width-half))
	return canvas.Box{X: at.X - half, Y: at.Y - size/2, W: 2 * half, H: size}, []draw.Mark{
		draw.Box(draw.NoPen, draw.Paper, at.X-half-0.2, at.Y-0.42*size, 2*half+0.4, 0.84*size),
		draw.Text{X: at.X, Y: at.Y + 0.35*size, Size: size, Words: words, Face: draw.Bold, Anchor: draw.Centre},
	}
}

// Finished draws the finished part into a box of width x height millimetres, its
// faces named at most so large; 0 names none.
func Finished(p *traveler.Picture, width, height, letters float64) *draw.Page {
	s := Fitted(p, width, height)
	page := &draw.Page{Title: "The finished part", Description: "The finished part in isometric view, hidden lines removed."}
	page.Width, page.Height = width, height
	page.Add(s.Marks()...)
	if letters > 0 {
		page.Add(s.Names(letters)...)
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
	page.Add(s.Names(letters, step.Swinging, step.Clamped)...)
	if !s.Empty() {
		page.Add(operator(height, letters)...)
	}
	return page
}

// operator marks the lower left corner of a picture as where the operator stands: an
// arrow head towards the brake and the word.
func operator(height, letters float64) []draw.Mark {
	size := leastName * letters
	wide, y := letter.Width(youWord, draw.Bold, size), height-0.1*size
	x := size
	return []draw.Mark{
		draw.Box(draw.NoPen, draw.Paper, 0, y-0.9*size, x+wide+0.4, size),
		draw.Polygon(draw.NoPen, draw.Black,
			draw.Point{X: 0.1, Y: y}, draw.Point{X: 0.1, Y: y - 0.72*size}, draw.Point{X: 0.8 * size, Y: y - 0.72*size}),
		draw.Text{X: x, Y: y, Size: size, Words: youWord, Face: draw.Bold},
	}
}

// youWord stands where the operator does.
const youWord = "you"

// Lay draws the part as it is laid on the brake, from above, into a box of
// width x height millimetres: with the words of how far the nose line lies from what
// it is measured from, and its faces named where they have room, at most so large; 0
// names none.
func Lay(step traveler.Step, gauge string, width, height, letters float64) *draw.Page {
	s := Fitted(step.Lay, width, height)
	page := &draw.Page{Title: "The part as it is laid", Description: phrase.Lay(step), Width: width, Height: height}
	page.Add(s.Marks()...)
	if letters > 0 {
		page.Add(s.Names(letters)...)
	}
	for _, from := range s.Spots(traveler.SpotGauge) {
		for _, to := range s.Spots(traveler.SpotNose) {
			page.Add(s.distance(s.At(from.At), s.At(to.At), gauge, cmp.Or(letters, canvas.Smallest))...)
		}
	}
	return page
}

// distance is an upright line with heads at both ends and its words at its right.
func (s Scene) distance(a, b draw.Point, words string, size float64) []draw.Mark {
	half := letter.Width(words, draw.Bold, size) / 2
	_, marks := s.label(draw.Point{X: a.X + half + 1, Y: (a.Y + b.Y) / 2}, words, size)
	return append([]draw.Mark{draw.Line{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: draw.Thin, Arrows: draw.AtBoth}}, marks...)
}
