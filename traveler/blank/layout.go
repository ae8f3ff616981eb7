package blank

import (
	"cmp"
	"slices"
	"strings"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
	"brakeside/traveler/sign"
)

// sketch is a traveler while its blank is laid out. What is written on the blank, and
// where, depends on the scale alone: it is found once for each.
type sketch struct {
	*page.Set
	scales map[float64]*drawing
}

func newSketch(s *page.Set) *sketch { return &sketch{s, map[float64]*drawing{}} }

// at is the blank at a scale with all that is written on it, its upper left corner at
// the origin.
func (s *sketch) at(times float64) *drawing {
	if known := s.scales[times]; known != nil {
		return known
	}
	v := &drawing{in: s.In(), blank: s.Blank, face: phrase.Face(s.Part), grain: s.Part.Grain, times: times}
	v.lies = canvas.Box{W: float64(s.Blank.Width.MM()) / times, H: float64(s.Blank.Height.MM()) / times}
	v.outer = v.ring(s.Blank.Outline)
	for _, l := range s.Blank.Lines {
		v.lines = append(v.lines, [2]draw.Point{v.at(l.Line[0]), v.at(l.Line[1])}, [2]draw.Point{v.at(l.Nose[0]), v.at(l.Nose[1])})
	}
	for _, h := range s.Blank.Holes {
		v.taken = append(v.taken, canvas.Around(v.ring(h)).Grown(1))
	}
	v.placeHoles()
	v.placeNames()
	v.placeMarks()
	s.scales[times] = v
	return v
}

// takeOver puts what is written on a drawing of the same scale onto this one.
func (v *drawing) takeOver(from *drawing) {
	by := draw.Point{X: v.lies.X, Y: v.lies.Y}
	v.outer = v.ring(v.blank.Outline)
	v.shapes = from.shapes
	for _, l := range from.labels {
		l.Box, l.leader = moved(l.Box, by), l.leader.moved(by)
		v.labels = append(v.labels, l)
	}
	for _, f := range from.faces {
		f.Box, f.leader = moved(f.Box, by), f.leader.moved(by)
		v.faces = append(v.faces, f)
	}
	for _, h := range from.holes {
		h.Box = moved(h.Box, by)
		v.holes = append(v.holes, h)
	}
	v.faceAt, v.grainAt = moved(from.faceAt, by), moved(from.grainAt, by)
}

// moved is a box put somewhere else.
func moved(b canvas.Box, by draw.Point) canvas.Box {
	b.X, b.Y = b.X+by.X, b.Y+by.Y
	return b
}

// layOut lays the blank out in a box. Where lengths have two units, those of nose lines
// stand in both, unless a face would be left without its name.
func layOut(s *sketch, b canvas.Box) *drawing {
	v := layOutWith(s, b, s.In().Figure)
	if s.In() == unit.Inch && len(v.faces) < len(s.Blank.Faces) {
		return layOutWith(s, b, s.In().Bare)
	}
	return v
}

// layOutWith lays the blank out in a box, nose lines figured in a way: the rulers first,
// and the largest scale that fits what they leave.
func layOutWith(s *sketch, b canvas.Box, nose func(unit.Micron) string) *drawing {
	v := &drawing{in: s.In(), blank: s.Blank, face: phrase.Face(s.Part), grain: s.Part.Grain, mark: s.MirrorMark}
	x, y := axisX(s.Blank), axisY(s.Blank)
	v.rulers[leftward] = newRuler(leftward, y.noseTicks(nose, s.Blank), b.H-2*(reach+tickPitch*canvas.Strong))
	v.rulers[rightward] = newRuler(rightward, y.otherTicks(v.in, s.Blank), b.H-2*(reach+tickPitch*canvas.Strong))
	across := b.W - v.rulers[leftward].depth() - v.rulers[rightward].depth()
	v.rulers[below] = newRuler(below, x.noseTicks(nose, s.Blank), across)
	v.rulers[above] = newRuler(above, x.otherTicks(v.in, s.Blank), across)
	_, b = b.CutTop(v.rulers[above].depth())
	_, b = b.CutBottom(v.rulers[below].depth())
	_, b = b.CutLeft(v.rulers[leftward].depth())
	_, v.room = b.CutRight(v.rulers[rightward].depth())
	v.times = honest(float64(s.Blank.Width.MM()), float64(s.Blank.Height.MM()), v.room)
	v.lies = v.room.Middle(float64(s.Blank.Width.MM())/v.times, float64(s.Blank.Height.MM())/v.times)
	v.bound()
	v.takeOver(s.at(v.times))
	return v
}

// draw paints the metal, its lines, their labels and the rulers.
func (v *drawing) draw(c canvas.Canvas) {
	for _, l := range v.blank.Lines {
		v.bendLine(c, l)
	}
	for _, l := range v.labels {
		l.draw(c)
	}
	for _, f := range v.faces {
		f.draw(c)
	}
	v.marks(c)
	for _, h := range v.blank.Holes {
		c.Add(draw.Polygon(draw.Outline, draw.NoFill, v.ring(h)...))
	}
	for _, h := range v.holes {
		c.Write(h.Box, canvas.Small, h.words)
	}
	c.Add(draw.Polygon(draw.Outline, draw.NoFill, v.outer...))
	v.datum(c)
	if v.mark != nil {
		sign.Mirror(c, v.at(*v.mark))
	}
	edges := [4]float64{below: v.lies.Bottom(), above: v.lies.Y, leftward: v.lies.X, rightward: v.lies.Right()}
	for i, r := range v.rulers {
		onPaper := v.y
		if r.side.along() {
			onPaper = v.x
		}
		r.draw(c, rulerEdge{edges[i], v.bounds[i], onPaper})
	}
}

// corner is how far the words of a ruler may run past the drawing without
// meeting those of the ruler round the corner.
const corner = reach - 2

// bound gives each ruler the stretch in which its words may lie, so that no
// two rulers meet at a corner: those above and below keep to the drawing's
// width if they can, and else those at its sides keep to its height.
func (v *drawing) bound() {
	along, across := stretch{v.lies.X - corner, v.lies.Right() + corner}, stretch{v.room.Y, v.room.Bottom()}
	for _, s := range []side{above, below} {
		if r := v.rulers[s]; r.length() > along.to-along.from {
			along, across = stretch{v.room.X, v.room.Right()}, stretch{v.lies.Y - corner, v.lies.Bottom() + corner}
			break
		}
	}
	for i := range v.rulers {
		r := &v.rulers[i]
		v.bounds[i] = across
		if r.side.along() {
			v.bounds[i] = along
		}
		r.thin(v.bounds[i].to - v.bounds[i].from)
	}
}

// listed are the sizes that do not stand at the drawing, in words for the key: those of
// faces, arcs and openings, and running sizes from the left edge and from the lower one
// for which there was no room.
func (v *drawing) listed() []string {
	out := append(v.unsized(), phrase.Shapes(v.in, v.blank, v.shapes)...)
	for _, way := range []struct {
		along bool
		words string
	}{{true, "also from the left:"}, {false, "also from below:"}} {
		var ticks []tick
		for _, r := range v.rulers {
			if r.side.along() == way.along {
				ticks = append(ticks, r.left...)
			}
		}
		slices.SortFunc(ticks, func(a, b tick) int { return cmp.Compare(a.at, b.at) })
		words := way.words
		for _, t := range ticks {
			words += " " + t.words
		}
		if len(ticks) > 0 {
			out = append(out, words)
		}
	}
	return out
}

// unsized names the faces whose sizes do not stand on them, with these; none before
// any name has its place.
func (v *drawing) unsized() []string {
	if v.faces == nil {
		return nil
	}
	var out []string
	for _, f := range v.blank.Faces {
		sized := func(n faceName) bool { return n.words == phrase.FaceName(v.in, f) }
		if len(f.Sizes) > 0 && !slices.ContainsFunc(v.faces, sized) {
			out = append(out, phrase.FaceName(v.in, f))
		}
	}
	if out == nil {
		return nil
	}
	return []string{"sizes: " + strings.Join(out, ", ")}
}

// pastDatum is how far an edge that sizes run from is drawn heavy.
const pastDatum = 6.0

// datum draws the beginnings of the two edges that all sizes run from, where there
// is metal: a corner that is cut away is none to measure from.
func (v *drawing) datum(c canvas.Canvas) {
	left, low := v.begins(datumEdge(v.blank, func(p traveler.Point) (on, along unit.Micron) { return p.X, p.Y })),
		v.begins(datumEdge(v.blank, func(p traveler.Point) (on, along unit.Micron) { return p.Y, p.X }))
	if left[0] == low[0] {
		c.Add(draw.Path{Pen: draw.Heavy, Points: []draw.Point{left[1], left[0], low[1]}})
		return
	}
	c.Line(draw.Heavy, left[0], left[1])
	c.Line(draw.Heavy, low[0], low[1])
}

// begins is the first stretch of an edge on paper.
func (v *drawing) begins(edge [2]traveler.Point) [2]draw.Point {
	from, to := v.at(edge[0]), v.at(edge[1])
	share := min(1, pastDatum/canvas.Distance(from, to))
	return [2]draw.Point{from, canvas.Spot(from.X+share*(to.X-from.X), from.Y+share*(to.Y-from.Y))}
}

// datumEdge is the edge of the outline that lies on an axis, nearest to where both
// meet.
func datumEdge(b traveler.Blank, place func(traveler.Point) (on, along unit.Micron)) [2]traveler.Point {
	var best [2]traveler.Point
	for i, p := range b.Outline {
		q := b.Outline[(i+1)%len(b.Outline)]
		on, from := place(p)
		onToo, to := place(q)
		if from > to {
			p, q, from, to = q, p, to, from
		}
		_, first := place(best[0])
		if on == 0 && onToo == 0 && to > from && (best[0] == best[1] || from < first) {
			best = [2]traveler.Point{p, q}
		}
	}
	return best
}

// apart is the least distance on paper at which a nose line is drawn whole
// beside its bend line; closer, only its ends are.
const apart = 1.3

// noseEnd is how much of a nose line is drawn at each end, on paper.
const noseEnd = 3.5

// bendLine draws a bend line and its nose line.
func (v *drawing) bendLine(c canvas.Canvas, l traveler.BendLine) {
	pen := draw.BendDown
	if l.Up {
		pen = draw.BendUp
	}
	from, to := v.at(l.Line[0]), v.at(l.Line[1])
	c.Line(pen, from, to)
	from, to = v.at(l.Nose[0]), v.at(l.Nose[1])
	if l.Step == 0 {
		return // not planned yet
	}
	if canvas.Distance(v.at(l.Line[0]), from) >= apart {
		c.Line(draw.NoseLine, from, to)
		return
	}
	length := canvas.Distance(from, to)
	if length == 0 {
		return
	}
	share := min(0.5, noseEnd/length)
	for _, ends := range [][2]draw.Point{{from, to}, {to, from}} {
		a, b := ends[0], ends[1]
		c.Line(draw.NoseLine, a, canvas.Spot(a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y)))
	}
}
