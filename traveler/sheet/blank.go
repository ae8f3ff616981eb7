package sheet

import (
	"math"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/draw"
)

// scales are how many millimetres of metal one millimetre of paper may stand
// for. All are round, so that a rule laid on the sheet can be read.
var scales = []float64{0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 300, 400, 500, 1000, 2000, 5000}

// keyWidth is the width of the column beside the blank.
const keyWidth = 56.0

// Heights of the blank's block.
const (
	leastBlank = 60.0
	mostBlank  = 128.0
)

// blank is the drawing of the flat piece with its running sizes, and the key
// beside it.
func (s *sheet) blank() block {
	least := min(mostBlank, max(leastBlank, s.keyHeight(nil), s.rulerHeight()))
	whole := finished(s.Blank).marked(s.Blank, s.MirrorMark)
	return block{least: least, most: max(least, s.usefulHeight(whole)), eager: true, draw: func(c canvas, b box) {
		c.add(draw.Bookmark{Y: b.y, Words: wordsBlank + " " + blankSize(s.Blank), Level: 0})
		c.frame(b, draw.Outline)
		key, drawing := b.cutRight(keyWidth)
		v, room := s.beside(drawing.inset(1.5), key, whole)
		v.draw(c)
		c.line(draw.Thin, spot(key.x, key.y), spot(key.x, key.bottom()))
		s.key(c, key.inset(1.5), v)
		whole.draw(c, room)
	}}
}

// usefulHeight is the height beyond which the blank is drawn no larger, and its
// finished picture has room.
func (s *sheet) usefulHeight(whole finishedPicture) float64 {
	b := box{0, 0, s.body().w - keyWidth - 3, mostBlank - 3}
	v := s.view(b)
	height := max(v.lies.h+b.h-v.room.h, s.rulerHeight()) + 4
	if !whole.empty() {
		height = max(height, min(height, s.keyHeight(v))+goodFinished)
	}
	return min(mostBlank, height)
}

// goodFinished is a good height for the picture of the finished part.
const goodFinished = 30.0

// rulerHeight is the height at which all running sizes at the sides can be set.
func (s *sheet) rulerHeight() float64 {
	a := axisY(s.Blank)
	n := max(len(a.noseTicks(s.Blank)), len(a.otherTicks(s.Blank)))
	return float64(n)*tickPitch*smallest/0.92 + 2*(reach+tickPitch*strong) + 3
}

// blankView is the blank as drawn: where it lies and how far it is shrunk.
type blankView struct {
	blank  traveler.Blank
	room   box     // for the drawing alone, without its rulers
	lies   box     // the blank on paper
	times  float64 // millimetres of metal for one of paper
	rulers [4]ruler
	bounds [4]stretch // where each ruler's words may lie
	taken  []box      // what is written on already
	labels []lineLabel
	holes  []holeLabel
	face   string // what the face's mark says
	grain  string
	mark   *traveler.Point // of the mirror check
	// Where the marks lie on the metal; empty where it has no room for them.
	faceAt, grainAt box
}

// view lays the blank out in a box: the rulers first, and the largest scale
// that fits what they leave.
func (s *sheet) view(b box) *blankView {
	v := &blankView{blank: s.Blank, face: faceWords(s.Part), grain: s.Part.Grain, mark: s.MirrorMark}
	x, y := axisX(s.Blank), axisY(s.Blank)
	v.rulers[leftward] = newRuler(leftward, y.noseTicks(s.Blank), b.h-2*(reach+tickPitch*strong))
	v.rulers[rightward] = newRuler(rightward, y.otherTicks(s.Blank), b.h-2*(reach+tickPitch*strong))
	across := b.w - v.rulers[leftward].depth() - v.rulers[rightward].depth()
	v.rulers[below] = newRuler(below, x.noseTicks(s.Blank), across)
	v.rulers[above] = newRuler(above, x.otherTicks(s.Blank), across)
	_, b = b.cutTop(v.rulers[above].depth())
	_, b = b.cutBottom(v.rulers[below].depth())
	_, b = b.cutLeft(v.rulers[leftward].depth())
	_, v.room = b.cutRight(v.rulers[rightward].depth())
	v.times = honest(float64(s.Blank.Width.MM()), float64(s.Blank.Height.MM()), v.room)
	v.lies = v.room.middle(float64(s.Blank.Width.MM())/v.times, float64(s.Blank.Height.MM())/v.times)
	v.bound()
	for _, h := range s.Blank.Holes {
		v.taken = append(v.taken, around(v.ring(h)).grown(1))
	}
	v.placeLabels()
	v.placeMarks()
	v.placeHoles()
	return v
}

// beside lays out the blank in a box and chooses where the finished part is
// shown: in the spare foot of the key, or above or beside the drawing if that
// costs it neither scale nor sizes; wherever the part comes out largest.
func (s *sheet) beside(b, key box, whole finishedPicture) (v *blankView, room box) {
	v = s.view(b)
	room = s.keySpare(key, v)
	lower, top := b.cutBottom(max(v.lies.h+b.h-v.room.h+1, s.rulerHeight()))
	left, right := b.cutLeft(v.lies.w + b.w - v.room.w + 4)
	for _, try := range [][2]box{{lower, top}, {left, right}} {
		if whole.scale(try[1]) <= whole.scale(room) {
			continue
		}
		if moved := s.view(try[0]); moved.times == v.times && moved.leftOut() <= v.leftOut() {
			v, room = moved, try[1]
		}
	}
	return v, room
}

// honest is the least of the scales at which a blank fits a box, 0.5 meaning
// twice its size.
func honest(width, height float64, b box) float64 {
	for _, times := range scales {
		if width/times <= b.w && height/times <= b.h {
			return times
		}
	}
	return math.Ceil(max(width/b.w, height/b.h))
}

func (v *blankView) x(m unit.Micron) float64 { return v.lies.x + float64(m.MM())/v.times }
func (v *blankView) y(m unit.Micron) float64 { return v.lies.bottom() - float64(m.MM())/v.times }

func (v *blankView) at(p traveler.Point) draw.Point { return draw.Point{X: v.x(p.X), Y: v.y(p.Y)} }

func (v *blankView) ring(points []traveler.Point) []draw.Point {
	ring := make([]draw.Point, len(points))
	for i, p := range points {
		ring[i] = v.at(p)
	}
	return ring
}

// draw paints the metal, its lines, their labels and the rulers.
func (v *blankView) draw(c canvas) {
	for _, l := range v.blank.Lines {
		v.bendLine(c, l)
	}
	for _, l := range v.labels {
		l.draw(c)
	}
	v.marks(c)
	for _, h := range v.blank.Holes {
		c.add(draw.Polygon(draw.Outline, draw.NoFill, v.ring(h)...))
	}
	for _, h := range v.holes {
		c.write(h.box, small, h.words)
	}
	c.add(draw.Polygon(draw.Outline, draw.NoFill, v.ring(v.blank.Outline)...))
	v.datum(c)
	if v.mark != nil {
		c.mirrorMark(v.at(*v.mark))
	}
	edges := [4]float64{below: v.lies.bottom(), above: v.lies.y, leftward: v.lies.x, rightward: v.lies.right()}
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
func (v *blankView) bound() {
	along, across := stretch{v.lies.x - corner, v.lies.right() + corner}, stretch{v.room.y, v.room.bottom()}
	for _, s := range []side{above, below} {
		if r := v.rulers[s]; r.length() > along.to-along.from {
			along, across = stretch{v.room.x, v.room.right()}, stretch{v.lies.y - corner, v.lies.bottom() + corner}
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

// leftOut counts the running sizes for which there was no room.
func (v *blankView) leftOut() int {
	sum := 0
	for _, r := range v.rulers {
		sum += r.left
	}
	return sum
}

// around is the least box about some points.
func around(points []draw.Point) box {
	if len(points) == 0 {
		return box{}
	}
	low, high := points[0], points[0]
	for _, p := range points {
		low = draw.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
		high = draw.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
	}
	return box{low.X, low.Y, high.X - low.X, high.Y - low.Y}
}

// datum draws the two edges that all sizes run from, past their corner.
func (v *blankView) datum(c canvas) {
	const past = 3.0
	b := v.lies
	c.add(draw.Path{Pen: draw.Heavy, Points: []draw.Point{
		{X: b.x, Y: b.bottom() - min(b.h, 2*past)}, {X: b.x, Y: b.bottom()}, {X: b.x + min(b.w, 2*past), Y: b.bottom()},
	}})
}

// apart is the least distance on paper at which a nose line is drawn whole
// beside its bend line; closer, only its ends are.
const apart = 1.3

// noseEnd is how much of a nose line is drawn at each end, on paper.
const noseEnd = 3.5

// bendLine draws a bend line and its nose line.
func (v *blankView) bendLine(c canvas, l traveler.BendLine) {
	pen := draw.BendDown
	if l.Up {
		pen = draw.BendUp
	}
	from, to := v.at(l.Line[0]), v.at(l.Line[1])
	c.line(pen, from, to)
	from, to = v.at(l.Nose[0]), v.at(l.Nose[1])
	if l.Step == 0 {
		return // not planned yet
	}
	if distance(v.at(l.Line[0]), from) >= apart {
		c.line(draw.NoseLine, from, to)
		return
	}
	length := distance(from, to)
	if length == 0 {
		return
	}
	share := min(0.5, noseEnd/length)
	for _, ends := range [][2]draw.Point{{from, to}, {to, from}} {
		a, b := ends[0], ends[1]
		c.line(draw.NoseLine, a, spot(a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y)))
	}
}

func distance(a, b draw.Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }
