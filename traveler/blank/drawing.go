package blank

import (
	"math"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// scales are how many millimetres of metal one millimetre of paper may stand
// for. All are round, so that a rule laid on the sheet can be read.
var scales = []float64{
	0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 300, 400, 500, 1000, 2000, 5000,
}

// drawing is the blank as drawn: where it lies and how far it is shrunk.
type drawing struct {
	in     unit.System // that lengths are written in
	blank  traveler.Blank
	room   canvas.Box      // for the drawing alone, without its rulers
	lies   canvas.Box      // the blank on paper
	times  float64         // millimetres of metal for one of paper
	outer  []draw.Point    // its outline on paper
	lines  [][2]draw.Point // its bend lines and nose lines on paper
	rulers [4]ruler
	bounds [4]stretch   // where each ruler's words may lie
	taken  []canvas.Box // what is written on already
	labels []lineLabel
	holes  []holeLabel
	shapes []traveler.Curve // that are named in the key
	faces  []faceName
	face   string // what the face's mark says
	grain  string
	mark   *traveler.Point // of the mirror check
	// Where the marks lie on the metal; empty where it has no room for them.
	faceAt, grainAt canvas.Box
}

// honest is the least of the scales at which a blank fits a box, 0.5 meaning
// twice its size.
func honest(width, height float64, b canvas.Box) float64 {
	for _, times := range scales {
		if width/times <= b.W && height/times <= b.H {
			return times
		}
	}
	return math.Ceil(max(width/b.W, height/b.H))
}

func (v *drawing) x(m unit.Micron) float64 { return v.lies.X + float64(m.MM())/v.times }

func (v *drawing) y(m unit.Micron) float64 { return v.lies.Bottom() - float64(m.MM())/v.times }

func (v *drawing) at(p traveler.Point) draw.Point { return draw.Point{X: v.x(p.X), Y: v.y(p.Y)} }

func (v *drawing) ring(points []traveler.Point) []draw.Point {
	ring := make([]draw.Point, len(points))
	for i, p := range points {
		ring[i] = v.at(p)
	}
	return ring
}

// free reports whether nothing is written in a box yet.
func (v *drawing) free(b canvas.Box) bool {
	for _, t := range v.taken {
		if b.Meets(t) {
			return false
		}
	}
	return true
}

// inBounds keeps a name off the running sizes round the drawing.
func (v *drawing) inBounds(b canvas.Box) bool {
	return b.X >= v.lies.X-1 && b.Right() <= v.lies.Right()+1 && b.Y >= v.lies.Y-1 && b.Bottom() <= v.lies.Bottom()+1
}

// onMetal reports whether a box lies wholly inside the outline: one corner
// does, and no edge of the outline reaches into it.
func (v *drawing) onMetal(b canvas.Box) bool {
	for i, p := range v.outer {
		q := v.outer[(i+1)%len(v.outer)]
		if canvas.Crosses(p, q, b) {
			return false
		}
	}
	return canvas.Inside(draw.Point{X: b.X, Y: b.Y}, v.outer)
}
