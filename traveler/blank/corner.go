package blank

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/page"
	"brakeside/traveler/phrase"
)

// smallEdge is the length up to which an edge of the outline is too short to be read in
// the drawing of most blanks; a corner is a run of such edges.
const smallEdge unit.Micron = 6_000

// Sizes of the block of corners.
const (
	cornerHeight = 30.0
	cornerTitle  = 4.4
	cornerSide   = 11.0 // for the sizes at the left
	cornerFoot   = 7.0  // for those below
	mostCorners  = 3
)

// notch is a stretch of the outline with short edges, and how many others are its
// mirror images.
type notch struct {
	points []traveler.Point
	alike  int
}

// details is a block that draws each kind of corner large, with its sizes from the datum
// edges, and the finished part where the drawing of the blank has no room for it; none
// where there is nothing to draw. It is left out where it costs a page.
func details(s *sketch) []page.Block {
	found, finished, most := corners(s.Blank), whole{s.Finished}, mostCorners
	if finished.empty() || finished.besideBlank(s) {
		finished = whole{}
	} else {
		most--
	}
	found = found[:min(len(found), most)]
	if len(found) == 0 && finished.empty() {
		return nil
	}
	return []page.Block{{Least: cornerHeight, Most: cornerHeight, Spare: true, Draw: func(c canvas.Canvas, b canvas.Box) {
		c.Frame(b, draw.Outline)
		each := b.W / mostCorners
		for _, k := range found {
			var cell canvas.Box
			cell, b = b.CutLeft(each)
			drawCorner(s.In(), c, cell.Inset(border), s.Blank, k)
		}
		finished.draw(c, b)
	}}}
}

// corners finds the small corners of an outline, one of each kind, the nearest to the
// datum corner first.
func corners(b traveler.Blank) []notch {
	runs := slices.DeleteFunc(shortRuns(b.Outline), func(run []traveler.Point) bool { return isArc(b, run) })
	slices.SortStableFunc(runs, func(p, q []traveler.Point) int { return cmp.Compare(p[0].X+p[0].Y, q[0].X+q[0].Y) })
	kinds := map[string]int{}
	var out []notch
	for _, points := range runs {
		kind := kindOf(b, points)
		if at, known := kinds[kind]; known {
			out[at].alike++
			continue
		}
		kinds[kind] = len(out)
		out = append(out, notch{points: points})
	}
	return out
}

// isArc reports whether a run of the outline is one arc, of which the key tells radius and
// centre.
func isArc(b traveler.Blank, run []traveler.Point) bool {
	return slices.ContainsFunc(b.Curves, func(c traveler.Curve) bool {
		return c.Ring == 0 && c.Radius > 0 && b.Outline[c.From] == run[0] && c.Chords == len(run)-1
	})
}

// shortRuns are the stretches of an outline of two short edges or more.
func shortRuns(outline []traveler.Point) (runs [][]traveler.Point) {
	n := len(outline)
	short := func(i int) bool {
		p, q := outline[i%n], outline[(i+1)%n]
		return math.Hypot(float64(q.X-p.X), float64(q.Y-p.Y)) <= float64(smallEdge)
	}
	start := slices.IndexFunc(outline, func(p traveler.Point) bool { return !short(slices.Index(outline, p)) })
	if start < 0 {
		return nil
	}
	var run []traveler.Point
	for i := start + 1; i <= start+n; i++ {
		run = append(run, outline[i%n])
		if !short(i) {
			if len(run) > 2 {
				runs = append(runs, run)
			}
			run = nil
		}
	}
	return runs
}

// kindOf is the same for corners that are each other's mirror image on the blank.
func kindOf(b traveler.Blank, points []traveler.Point) string {
	var near []string
	for _, p := range points {
		near = append(near, fmt.Sprint(min(p.X, b.Width-p.X).Text(1), " ", min(p.Y, b.Height-p.Y).Text(1)))
	}
	slices.Sort(near)
	return fmt.Sprint(near)
}

// title says how large the corner is drawn, and how many there are.
func (k notch) title(times float64) string {
	words := "corner, " + phrase.Scale(times)
	if k.alike > 0 {
		words += fmt.Sprintf("; %d alike", k.alike+1)
	}
	return words
}

// drawCorner draws one corner with the running sizes of its edges.
func drawCorner(in unit.System, c canvas.Canvas, b canvas.Box, blank traveler.Blank, k notch) {
	title, b := b.CutTop(cornerTitle)
	foot, b := b.CutBottom(cornerFoot)
	xs, ys := straight(k.points)
	across, aside := sizeWidth(in, xs), sizeWidth(in, ys)
	side, b := b.CutLeft(max(cornerSide, aside+1.5))
	low, high := traveler.Bounds(k.points)
	rim := max(1_500, (high.X-low.X)/4, (high.Y-low.Y)/4)
	low, high = traveler.Point{X: low.X - rim, Y: low.Y - rim}, traveler.Point{X: high.X + rim, Y: high.Y + rim}
	times := enlarged(float64((high.X - low.X).MM()), float64((high.Y - low.Y).MM()), b)
	shown := b.Middle(float64((high.X-low.X).MM())/times, float64((high.Y-low.Y).MM())/times)
	c.Write(title, canvas.Small, k.title(times))
	at := func(p traveler.Point) draw.Point {
		return draw.Point{X: shown.X + float64((p.X-low.X).MM())/times, Y: shown.Bottom() - float64((p.Y-low.Y).MM())/times}
	}
	edge := func(p, q traveler.Point, pen draw.Pen) {
		if from, to, in := clipped(at(p), at(q), shown); in {
			c.Line(pen, from, to)
		}
	}
	for i, p := range blank.Outline {
		edge(p, blank.Outline[(i+1)%len(blank.Outline)], draw.Outline)
	}
	for _, l := range blank.Lines {
		edge(l.Line[0], l.Line[1], draw.BendUp)
	}
	for i, x := range spreadSizes(xs, func(m unit.Micron) float64 { return at(traveler.Point{X: m}).X }, across, title.X, title.Right()) {
		tip := at(traveler.Point{X: xs[i], Y: low.Y})
		c.Line(draw.Thin, tip, canvas.Spot(x, foot.Y+3))
		c.Write(canvas.Box{X: x - across/2, Y: foot.Y + 3.4, W: across, H: 3.8}, canvas.Small.Centred(), phrase.RunningSize(in, xs[i]))
	}
	slices.Reverse(ys)
	for i, y := range spreadSizes(ys, func(m unit.Micron) float64 { return at(traveler.Point{Y: m}).Y }, 4, title.Bottom(), foot.Bottom()-4) {
		tip := at(traveler.Point{X: low.X, Y: ys[i]})
		c.Line(draw.Thin, tip, canvas.Spot(side.Right()+1, y))
		c.Write(canvas.Box{X: side.X, Y: y - 2, W: side.W + 0.5, H: 4}, canvas.Small.Ranged(), phrase.RunningSize(in, ys[i]))
	}
}

// sizeWidth is the room that the widest of some running sizes takes, and at least that of
// most in millimetres.
func sizeWidth(in unit.System, sizes []unit.Micron) float64 {
	wide := 9.0
	for _, at := range sizes {
		wide = max(wide, canvas.Small.Width(phrase.RunningSize(in, at))+1)
	}
	return wide
}

// enlarged is the least of the scales of corners at which one fits a box.
func enlarged(width, height float64, b canvas.Box) float64 {
	for _, times := range []float64{0.1, 0.2, 0.25} {
		if width/times <= b.W && height/times <= b.H {
			return times
		}
	}
	return honest(width, height, b)
}

// straight are the places of the level and upright edges of a corner, along both axes.
func straight(points []traveler.Point) (xs, ys []unit.Micron) {
	for i, p := range points {
		for _, k := range []int{i - 1, i + 1} {
			if k < 0 || k >= len(points) {
				continue
			}
			if q := points[k]; q.X == p.X && max(q.Y-p.Y, p.Y-q.Y) > 500 {
				xs = append(xs, p.X)
			} else if q.Y == p.Y && max(q.X-p.X, p.X-q.X) > 500 {
				ys = append(ys, p.Y)
			}
		}
	}
	if n := len(points) - 1; n > 0 { // the long edges that it ends in
		xs, ys = append(xs, points[0].X, points[n].X), append(ys, points[0].Y, points[n].Y)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	return slices.Compact(xs), slices.Compact(ys)
}

// spreadSizes are the places of sizes along a line, so that they do not meet.
func spreadSizes(sizes []unit.Micron, at func(unit.Micron) float64, room, low, high float64) []float64 {
	labels := make([]canvas.Label, len(sizes))
	for i, m := range sizes {
		labels[i] = canvas.Label{At: at(m), Size: room}
	}
	return canvas.Spread(labels, low, high)
}

// clipped is the part of a stretch that lies in a box.
func clipped(p, q draw.Point, b canvas.Box) (from, to draw.Point, in bool) {
	first, last := 0.0, 1.0
	for _, edge := range [4][2]float64{
		{p.X - q.X, p.X - b.X}, {q.X - p.X, b.Right() - p.X}, {p.Y - q.Y, p.Y - b.Y}, {q.Y - p.Y, b.Bottom() - p.Y},
	} {
		switch slope, room := edge[0], edge[1]; {
		case slope == 0 && room < 0:
			return from, to, false
		case slope < 0:
			first = max(first, room/slope)
		case slope > 0:
			last = min(last, room/slope)
		}
	}
	on := func(share float64) draw.Point {
		return draw.Point{X: p.X + share*(q.X-p.X), Y: p.Y + share*(q.Y-p.Y)}
	}
	return on(first), on(last), first < last
}
