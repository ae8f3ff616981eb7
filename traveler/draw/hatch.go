package draw

import (
	"math"
	"sort"
)

// HatchSpacing is the distance between two lines of a hatch, in millimetres.
const HatchSpacing = 1.5

// leastHatch is the length below which a line of a hatch is left out: at a
// corner it would be a dot as wide as the pen.
const leastHatch = 0.01

// Hatch gives the lines that fill a polygon as Hatched or Striped does,
// clipped to it; none for any other fill. Where the polygon crosses itself the
// even-odd rule decides. A polygon that lies beyond Reach is not filled. The lines of all polygons of a page lie on one common
// raster, so that two pieces of one body look like one.
//
// Each line is worked out in a frame turned so that the lines lie level: u runs
// along a line and v across.
func Hatch(points []Point, fill Fill) []Line {
	if len(points) < 3 || !fill.Lined() {
		return nil
	}
	turned := make([]Point, len(points))
	low, high := math.Inf(1), math.Inf(-1)
	for i, p := range points {
		if near(p.X, p.Y) != nil {
			return nil
		}
		turned[i] = intoHatch(p, fill)
		low, high = math.Min(low, turned[i].Y), math.Max(high, turned[i].Y)
	}
	var lines []Line
	for n := math.Ceil(low / HatchSpacing); n*HatchSpacing <= high; n++ {
		lines = append(lines, hatchRow(turned, n*HatchSpacing, fill)...)
	}
	return lines
}

// hatchRow gives the lines at one height v.
func hatchRow(turned []Point, v float64, fill Fill) []Line {
	var crossings []float64
	for i, a := range turned {
		b := turned[(i+1)%len(turned)]
		if (a.Y <= v) != (b.Y <= v) { // half open: a corner counts once
			crossings = append(crossings, a.X+(b.X-a.X)*(v-a.Y)/(b.Y-a.Y))
		}
	}
	sort.Float64s(crossings)
	var lines []Line
	for i := 0; i+1 < len(crossings); i += 2 {
		if crossings[i+1]-crossings[i] < leastHatch {
			continue
		}
		a := fromHatch(Point{crossings[i], v}, fill)
		b := fromHatch(Point{crossings[i+1], v}, fill)
		lines = append(lines, Line{X1: a.X, Y1: a.Y, X2: b.X, Y2: b.Y, Pen: Thin})
	}
	return lines
}

// intoHatch turns a place on the page into the frame of the hatch. Hatched
// lines rise to the right on paper, Striped lines fall.
func intoHatch(p Point, fill Fill) Point {
	if fill == Hatched {
		return Point{(p.X - p.Y) * math.Sqrt2 / 2, (p.X + p.Y) * math.Sqrt2 / 2}
	}
	return Point{(p.X + p.Y) * math.Sqrt2 / 2, (p.Y - p.X) * math.Sqrt2 / 2}
}

// fromHatch undoes intoHatch.
func fromHatch(p Point, fill Fill) Point {
	if fill == Hatched {
		return Point{(p.X + p.Y) * math.Sqrt2 / 2, (p.Y - p.X) * math.Sqrt2 / 2}
	}
	return Point{(p.X - p.Y) * math.Sqrt2 / 2, (p.X + p.Y) * math.Sqrt2 / 2}
}
