package flat

import (
	"math"
	"sort"

	"brakeside/calc/geom"
)

// How a row of edges is told to stand for a curve that somebody drew: at least so
// many, each turned from the one before by at most so much, in radians, and at most
// so many times as long; and how far from a circle its corners may lie, and its
// edges from the arc, in millimetres, for it to be an arc. Common practice of
// programs that draw curves as chords, no source.
const (
	leastChords = 4
	mostTurn    = 16 * math.Pi / 180
	mostUneven  = 4
	offCircle   = 0.005
	offArc      = 0.05
)

// drawnCurves finds the rows of corners that stand for curves in what was drawn,
// beside those that were cut here: arcs, and other curves with radius 0.
func (b *Blank) drawnCurves() {
	known := make([]map[int]bool, len(b.Outline))
	for loop := range known {
		known[loop] = map[int]bool{}
	}
	for _, c := range b.Curves {
		for i := range c.Chords {
			known[c.Loop][(c.From+i)%len(b.Outline[c.Loop])] = true
		}
	}
	for loop, g := range b.Outline {
		for _, run := range smoothRuns(g, known[loop]) {
			b.Curves = append(b.Curves, curvesOf(g, Curve{Loop: loop, From: run[0], Chords: run[1]})...)
		}
	}
}

// smoothRuns lists where rows of edges begin that turn little and evenly, one way
// round, and of how many edges they are.
func smoothRuns(g geom.Polygon, known map[int]bool) (runs [][2]int) {
	n := len(g)
	turns := make([]float64, n) // from edge i to the next; 0 where the two are of no one curve
	for i := range g {
		a, b := g[(i+1)%n].Sub(g[i]), g[(i+2)%n].Sub(g[(i+1)%n])
		turn := math.Atan2(a.Cross(b), a.Dot(b))
		long, short := max(a.Length(), b.Length()), min(a.Length(), b.Length())
		fine := math.Abs(turn) < mostTurn && long*math.Abs(turn)/8 < offArc // by which a chord lies inside the arc
		if fine && long <= mostUneven*short && !known[i] && !known[(i+1)%n] {
			turns[i] = turn
		}
	}
	begins := 0
	for i := range g {
		if before := turns[(i+n-1)%n]; before*turns[i] > 0 {
			continue // inside a run
		}
		begins++
		count := 1
		for ; count < n && turns[(i+count-1)%n]*turns[i] > 0; count++ {
		}
		if count >= leastChords {
			runs = append(runs, [2]int{i, count})
		}
	}
	if begins == 0 && n >= 2*leastChords {
		runs = append(runs, [2]int{longestEdge(g), n})
	}
	return runs
}

// longestEdge is where a loop without corners is begun: at its straightest.
func longestEdge(g geom.Polygon) (at int) {
	long := func(i int) float64 { return g[(i+1)%len(g)].Sub(g[i]).Length() }
	for i := range g {
		if long(i) > long(at)+offCircle {
			at = i
		}
	}
	return at
}

// Of how many arcs, and straight edges between them, a smooth row of edges may be
// made; one of more is a curve of another kind.
const mostArcs, mostStraight = 3, 3

// curvesOf gives the arcs that a smooth row of edges is made of, or the whole of it
// as a curve that is none.
func curvesOf(g geom.Polygon, run Curve) (arcs []Curve) {
	straight := 0
	for at := 0; at < run.Chords; {
		arc, found := longestArc(g, Curve{Loop: run.Loop, From: run.From + at, Chords: run.Chords - at})
		switch {
		case !found:
			straight++
			at++
		default:
			arc.From %= len(g)
			arcs = append(arcs, arc)
			at += arc.Chords
		}
		if len(arcs) > mostArcs || straight > mostStraight {
			return []Curve{run}
		}
	}
	return arcs
}

// longestArc gives the longest arc that a row of edges begins with, found by halving:
// what lies on a circle does so in part.
func longestArc(g geom.Polygon, run Curve) (arc Curve, found bool) {
	more := sort.Search(run.Chords+1-leastChords, func(i int) bool {
		one := run
		one.Chords = leastChords + i
		_, _, on := one.circle(g)
		return !on
	})
	if more <= 0 {
		return run, false
	}
	run.Chords = leastChords + more - 1
	run.Centre, run.Radius, _ = run.circle(g)
	return run, true
}

// circle gives the circle on which the corners of a row of edges lie, and whether
// they do.
func (c Curve) circle(g geom.Polygon) (centre geom.Point2, radius float64, on bool) {
	at := func(i int) geom.Point2 { return g[(c.From+i)%len(g)] }
	p, q, r := at(0), at(c.Chords/2), at(c.Chords)
	if c.Chords == len(g) {
		p, q, r = at(0), at(c.Chords/3), at(2*c.Chords/3)
	}
	u, v := q.Sub(p), r.Sub(p)
	double, uu, vv := 2*u.Cross(v), u.Dot(u), v.Dot(v)
	if math.Abs(double) < 1e-9 {
		return centre, 0, false
	}
	centre = p.Add(geom.Point2{X: v.Y*uu - u.Y*vv, Y: u.X*vv - v.X*uu}.Times(1 / double))
	radius = centre.Sub(p).Length()
	for i := range c.Chords {
		if math.Abs(at(i+1).Sub(centre).Length()-radius) > offCircle {
			return centre, radius, false
		}
	}
	return centre, radius, true
}
