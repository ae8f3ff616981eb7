package blank

import (
	"cmp"
	"slices"

	"brakeside/calc/unit"
	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
)

// rank says how much a running size matters where there is not room for all.
type rank int

const (
	rankEnd  rank = iota // the datum edge, the far edge and nose lines
	rankCut              // corners and the middles of holes
	rankBend             // where a bend zone begins or ends
)

// tick is one running size: how far from the datum edge it lies, in the metal,
// and what is written there.
type tick struct {
	at    unit.Micron
	words string
	rank  rank
	bold  bool
}

// lettering is how the tick's words are set at a size.
func (t tick) lettering(size float64) canvas.Lettering {
	if t.bold {
		return canvas.SmallBold.Of(size)
	}
	return canvas.Small.Of(size)
}

// side is the edge of the drawing that a ruler stands at.
type side int

const (
	below side = iota
	above
	leftward
	rightward
)

// along reports whether the side's ticks lie next to each other from left to
// right.
func (s side) along() bool { return s == below || s == above }

// reach is how far the leader of a tick runs out from the drawing.
const reach = 5.0

// ruler is a row of running sizes at one side of the drawing.
type ruler struct {
	side    side
	ticks   []tick
	size    float64 // of the type
	upright bool    // the words are turned to read upwards
	left    []tick  // those without room, which the key lists
}

// rulerSizes are the type sizes a ruler is tried in, the largest first.
var rulerSizes = []float64{canvas.Strong, 11 * canvas.MillimetresPerPoint, canvas.Body, canvas.Smallest}

// newRuler chooses the size and direction of the words so that all ticks fit a
// length; what does not fit at the smallest is left out, bend zones first.
func newRuler(s side, ticks []tick, length float64) ruler {
	r := ruler{side: s, ticks: ticks}
	for _, upright := range []bool{false, true} {
		for _, r.size = range rulerSizes {
			r.upright = upright && s.along()
			if r.length() <= 0.92*length {
				return r
			}
		}
	}
	r.thin(length)
	return r
}

// length is the least length in which the ruler's words do not overlap.
func (r ruler) length() float64 {
	return canvas.Total(r.labels(func(unit.Micron) float64 { return 0 }))
}

// tickPitch is the distance of two ticks' words across their lines, as a share
// of the size.
const tickPitch = 1.14

// thin leaves out ticks, the least important first and of equals the farthest
// from the datum edge, until the words fit a length.
func (r *ruler) thin(length float64) {
	for len(r.ticks) > 0 && r.length() > length {
		drop := 0
		for i, t := range r.ticks {
			if t.rank >= r.ticks[drop].rank {
				drop = i
			}
		}
		r.left = append(r.left, r.ticks[drop])
		r.ticks = slices.Delete(slices.Clone(r.ticks), drop, drop+1)
	}
}

// labels are the ticks' words as lengths of the ruler, at their places on paper.
func (r ruler) labels(onPaper func(unit.Micron) float64) []canvas.Label {
	labels := make([]canvas.Label, len(r.ticks))
	for i, t := range r.ticks {
		size := tickPitch * r.size
		if r.side.along() && !r.upright {
			size = t.lettering(r.size).Width(t.words) + 2
		}
		labels[i] = canvas.Label{At: onPaper(t.at), Size: size}
	}
	return labels
}

// depth is how far the ruler reaches out from the drawing.
func (r ruler) depth() float64 {
	if len(r.ticks) == 0 {
		return 2
	}
	if r.side.along() && !r.upright {
		return reach + tickPitch*r.size
	}
	wide := 0.0
	for _, t := range r.ticks {
		wide = max(wide, t.lettering(r.size).Width(t.words))
	}
	return reach + wide + 0.5
}

// stretch is a part of a line.
type stretch struct{ from, to float64 }

// rulerEdge is the edge of the drawing that a ruler stands at: where it lies on
// paper, how far along it the words may lie, and where a size of the blank
// comes to lie along it.
type rulerEdge struct {
	at      float64
	bounds  stretch
	onPaper func(unit.Micron) float64
}

// draw puts the ruler at its edge of the drawing.
func (r ruler) draw(c canvas.Canvas, edge rulerEdge) {
	if !r.side.along() { // paper runs down, the blank runs up
		r.ticks = slices.Clone(r.ticks)
		slices.Reverse(r.ticks)
	}
	labels := r.labels(edge.onPaper)
	for i, at := range canvas.Spread(labels, edge.bounds.from, edge.bounds.to) {
		c.Add(r.leader(edge.at, labels[i].At, at), r.words(r.ticks[i], edge.at, at))
	}
}

// out is the place at a distance from the drawing's edge.
func (r ruler) out(edge, distance float64) float64 {
	if r.side == above || r.side == leftward {
		return edge - distance
	}
	return edge + distance
}

// leader runs from a tick's place at the drawing's edge to where its words were
// moved.
func (r ruler) leader(edge, from, to float64) draw.Path {
	points := []draw.Point{
		canvas.Spot(from, r.out(edge, 0.8)), canvas.Spot(from, r.out(edge, 1.8)),
		canvas.Spot(to, r.out(edge, reach-1.2)), canvas.Spot(to, r.out(edge, reach-0.5)),
	}
	if !r.side.along() {
		for i, p := range points {
			points[i] = canvas.Spot(p.Y, p.X)
		}
	}
	return draw.Path{Points: points, Pen: draw.Thin}
}

// words sets the words of a tick beyond its leader.
func (r ruler) words(t tick, edge, to float64) draw.Text {
	half, start := canvas.CapHeight*r.size/2, r.out(edge, reach)
	l := t.lettering(r.size)
	words := draw.Text{Size: r.size, Words: t.words, Face: l.Face, MaxWidth: l.Width(t.words)}
	switch {
	case r.side == leftward:
		words.X, words.Y, words.Anchor = start, to+half, draw.Right
	case r.side == rightward:
		words.X, words.Y, words.Anchor = start, to+half, draw.Left
	case r.upright:
		words.X, words.Y, words.Turn = to+half, start, 90
		if r.side == below {
			words.Anchor = draw.Right
		}
	case r.side == above:
		words.X, words.Y, words.Anchor = to, start-canvas.Descent*r.size, draw.Centre
	default:
		words.X, words.Y, words.Anchor = to, start+2*half, draw.Centre
	}
	return words
}

// axis is one of the two directions of the blank.
type axis struct {
	of      func(traveler.Point) unit.Micron
	running []unit.Micron
	far     unit.Micron
}

func axisX(b traveler.Blank) axis {
	return axis{func(p traveler.Point) unit.Micron { return p.X }, b.RunningX, b.Width}
}

func axisY(b traveler.Blank) axis {
	return axis{func(p traveler.Point) unit.Micron { return p.Y }, b.RunningY, b.Height}
}

// noseTicks are the nose lines square to the axis, each with its step, between
// the datum edge and the far edge.
func (a axis) noseTicks(figure func(unit.Micron) string, b traveler.Blank) []tick {
	ticks := []tick{{at: 0, words: "0"}, {at: a.far, words: figure(a.far)}}
	for _, l := range b.Lines {
		if at := a.of(l.Nose[0]); l.Step > 0 && at == a.of(l.Nose[1]) {
			ticks = append(ticks, tick{at: at, words: phrase.NoseSize(l.Step, figure(at)), bold: true})
		}
	}
	return tidy(ticks)
}

// otherTicks are the running sizes that are no nose lines, with the middle of
// each hole in the place of its corners; none where only the two edges are
// left.
func (a axis) otherTicks(in unit.System, b traveler.Blank) []tick {
	known := a.places(b)
	var ticks []tick
	for _, at := range a.running {
		if r, ok := known[at]; ok {
			ticks = append(ticks, tick{at: at, words: phrase.RunningSize(in, at), rank: r})
		}
	}
	for _, h := range b.Holes {
		at := a.middle(h)
		ticks = append(ticks, tick{at: at, words: phrase.RunningSize(in, at), rank: rankCut})
	}
	ticks = tidy(ticks)
	if !slices.ContainsFunc(ticks, func(t tick) bool { return t.rank != rankEnd }) {
		return nil
	}
	return ticks
}

// places are the places along the axis that a running size may stand for, with
// their ranks: the edges, the corners of the outline, and the ends of bend
// zones. Nose lines have a ruler of their own.
func (a axis) places(b traveler.Blank) map[unit.Micron]rank {
	known := map[unit.Micron]rank{}
	for _, l := range b.Lines {
		for _, tangent := range l.Tangents {
			if at := a.of(tangent[0]); at == a.of(tangent[1]) {
				known[at] = rankBend
			}
		}
	}
	for _, p := range b.Outline {
		known[a.of(p)] = rankCut
	}
	for _, l := range b.Lines {
		if at := a.of(l.Nose[0]); l.Step > 0 && at == a.of(l.Nose[1]) {
			delete(known, at)
		}
	}
	known[0], known[a.far] = rankEnd, rankEnd
	return known
}

// middle is half-way between the ends of a hole.
func (a axis) middle(hole []traveler.Point) unit.Micron {
	if len(hole) == 0 {
		return 0
	}
	low, high := a.of(hole[0]), a.of(hole[0])
	for _, p := range hole {
		low, high = min(low, a.of(p)), max(high, a.of(p))
	}
	return (low + high) / 2
}

// tidy sorts ticks by place and drops those that would say the same again.
func tidy(ticks []tick) []tick {
	slices.SortStableFunc(ticks, func(a, b tick) int { return cmp.Compare(a.at, b.at) })
	return slices.CompactFunc(ticks, func(a, b tick) bool { return a.words == b.words })
}
