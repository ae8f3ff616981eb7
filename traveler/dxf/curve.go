package dxf

import (
	"math"
	"slices"

	"brakeside/calc/geom"
)

// ellipse gives the chords of an ellipse, or of a part of it, between two
// parameters in radians. It is the image of a circle as large as its longer axis,
// whose chords lie inside it by no less.
func (f frame) ellipse(centre, long, short geom.Point2, from, sweep float64) []geom.Point2 {
	n := chords(max(long.Length(), short.Length())*f.stretch(), sweep)
	out := make([]geom.Point2, 0, n+1)
	for k := range n + 1 {
		sin, cos := math.Sincos(from + sweep*float64(k)/float64(n))
		out = append(out, f.place(centre.Add(long.Times(cos)).Add(short.Times(sin))))
	}
	return out
}

// ellipse reads an ellipse or a part of it. Its places are those of the drawing,
// whichever way it faces; that only says which way round it goes.
func (r *reader) ellipse(s *Shape, g tags, f frame) {
	long := r.point(g, 11)
	short := long.Left().Times(r.number(g, 40) * r.numberOr(g, 230, 1))
	from, to := r.number(g, 41), r.numberOr(g, 42, 2*math.Pi)
	sweep := turned(from, to)
	if long.Length() == 0 || short.Length() == 0 {
		s.Points, s.Unread = f.places([]geom.Point2{r.point(g, 10)}), "is an ellipse without size"
		return
	}
	s.Points = f.ellipse(r.point(g, 10), long, short, from, sweep)
	if s.Closed = sweep > 2*math.Pi-1e-6; s.Closed {
		s.Points = s.Points[:len(s.Points)-1]
	}
}

// curve is a spline by its control points and knots, rational where it has weights.
// Formulas: de Boor, A Practical Guide to Splines, chapter 10 (from memory).
type curve struct {
	degree  int
	knots   []float64
	control []geom.Point2
	weights []float64
}

// mostDegree is that of a spline that is read; drawings have 3, few have 5.
const mostDegree = 11

// spline reads a spline. Of one that has places to go through only, programs draw
// different curves: it is not guessed at.
func (r *reader) spline(s *Shape, g tags, f frame) {
	c := curve{int(r.number(g, 71)), r.numbers(g, 40), r.all(g, 10), r.numbers(g, 41)}
	if len(c.control) == 0 {
		s.Points = f.places(r.all(g, 11))
		s.Unread = "is a spline that says only where it goes through; save it with control points, or draw it as arcs"
		return
	}
	if !c.sound() {
		s.Points, s.Unread = f.places(c.control[:1]), "is a spline whose knots do not fit its control points; draw it as lines and arcs"
		return
	}
	s.Points = c.chords(f)
	if last := len(s.Points) - 1; last > 1 && s.Points[0].Sub(s.Points[last]).Length() < 1e-6 {
		s.Closed, s.Points = true, s.Points[:last]
	}
}

func (c curve) sound() bool {
	weighted := len(c.weights) == 0 || len(c.weights) == len(c.control) && slices.Min(c.weights) > 0
	return c.degree >= 1 && c.degree <= mostDegree && len(c.control) > c.degree && weighted &&
		len(c.knots) == len(c.control)+c.degree+1 && slices.IsSorted(c.knots) && c.knots[c.degree] < c.knots[len(c.control)]
}

// at gives the place at a parameter of a span, by de Boor's corners.
func (c curve) at(span int, t float64) geom.Point2 {
	points, weights := make([]geom.Point2, c.degree+1), make([]float64, c.degree+1)
	for i := range points {
		k := span - c.degree + i
		weights[i] = 1
		if len(c.weights) > 0 {
			weights[i] = c.weights[k]
		}
		points[i] = c.control[k].Times(weights[i])
	}
	for round := 1; round <= c.degree; round++ {
		for i := c.degree; i >= round; i-- {
			low, high := c.knots[span-c.degree+i], c.knots[span+1+i-round]
			share := (t - low) / (high - low)
			points[i] = points[i-1].Times(1 - share).Add(points[i].Times(share))
			weights[i] = weights[i-1]*(1-share) + weights[i]*share
		}
	}
	return points[c.degree].Times(1 / weights[c.degree])
}

// chords gives a row of chords, none farther from the curve than ChordError. Each
// span between knots is cut into halves until it is as good as straight: a curve
// without a corner or a turn back between five places on it.
func (c curve) chords(f frame) []geom.Point2 {
	var out []geom.Point2
	for span := c.degree; span < len(c.control); span++ {
		from, to := c.knots[span], c.knots[span+1]
		if from == to {
			continue
		}
		at := func(t float64) geom.Point2 { return f.place(c.at(span, t)) }
		if out == nil {
			out = append(out, at(from))
		}
		for k := range c.degree { // a turn back may hide between two places
			low := from + (to-from)*float64(k)/float64(c.degree)
			high := from + (to-from)*float64(k+1)/float64(c.degree)
			out = halved(out, at, low, high, 12)
		}
		if len(out) > mostPoints {
			return out
		}
	}
	return out
}

// halved adds the chords of a stretch of a curve behind its beginning.
func halved(out []geom.Point2, at func(float64) geom.Point2, from, to float64, depth int) []geom.Point2 {
	begin, end := at(from), at(to)
	straight := true
	for _, share := range []float64{0.25, 0.5, 0.75} {
		p := at(from + (to-from)*share)
		straight = straight && geom.Apart(geom.Polygon{p}, geom.Polygon{begin, end}) <= ChordError/2
	}
	if straight || depth == 0 {
		return append(out, end)
	}
	middle := (from + to) / 2
	return halved(halved(out, at, from, middle, depth-1), at, middle, to, depth-1)
}

// chords is how many chords stand for an arc: so many that none lies farther
// inside it than ChordError, and at least one for every fifteen degrees.
func chords(radius, sweep float64) int {
	step := math.Pi / 12
	if radius > ChordError {
		step = math.Min(step, 2*math.Acos(1-ChordError/radius))
	}
	return min(max(int(math.Ceil(sweep/step-1e-9)), 1), 2000)
}

// turned is how far it is from one angle to another anticlockwise, in radians: more
// than nothing, at most a whole turn.
func turned(from, to float64) float64 {
	sweep := math.Mod(to-from, 2*math.Pi)
	if sweep <= 1e-12 {
		sweep += 2 * math.Pi
	}
	return sweep
}
