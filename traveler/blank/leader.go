package blank

import (
	"math"
	"slices"

	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
)

// dotRoom is what is kept free around a dot, so that it is taken for nothing else's.
const dotRoom = 1.2

// Where words beside what they name are tried: up to so far, in so many directions.
const (
	farthestLeader = 32.0
	leaderStep     = 1.0
	leaderWays     = 24
)

// ways are the directions in which places are tried.
var ways = func() (ways [leaderWays]draw.Point) {
	for i := range ways {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / leaderWays)
		ways[i] = draw.Point{X: cos, Y: sin}
	}
	return ways
}()

// pointed finds the nearest place for a box from which a leader can run to a
// target: off the metal, or else on it clear of all lines.
func (v *drawing) pointed(target draw.Point, w, h float64) (canvas.Box, leader, bool) {
	for _, off := range []bool{true, false} {
		if off && len(v.outer) == 4 {
			continue // nothing is cut away in which words could stand
		}
		for far := leaderStep; far <= farthestLeader; far += leaderStep {
			for _, way := range ways {
				box := canvas.Box{X: target.X + far*way.X - w/2, Y: target.Y + far*way.Y - h/2, W: w, H: h}
				if !v.standsClear(box, off) {
					continue
				}
				if run := (leader{nearest(box, target), target}); v.runsClear(run) {
					return box, run, true
				}
			}
		}
	}
	return canvas.Box{}, leader{}, false
}

// standsClear reports whether nothing is written or drawn where words would stand.
func (v *drawing) standsClear(b canvas.Box, off bool) bool {
	if grown := b.Grown(0.7); !v.inBounds(b) || !v.free(grown) || v.crossesLine(grown) {
		return false
	} else if off {
		return v.offMetal(grown)
	} else {
		return v.onMetal(grown)
	}
}

// offMetal reports whether a box lies wholly beside the outline.
func (v *drawing) offMetal(b canvas.Box) bool {
	for i, p := range v.outer {
		if canvas.Crosses(p, v.outer[(i+1)%len(v.outer)], b) {
			return false
		}
	}
	return !canvas.Inside(b.Centre(), v.outer)
}

// crossesLine reports whether a bend line or nose line runs through a box.
func (v *drawing) crossesLine(b canvas.Box) bool {
	return slices.ContainsFunc(v.lines, func(line [2]draw.Point) bool { return canvas.Crosses(line[0], line[1], b) })
}

// runsClear reports whether a leader is long enough to be seen and runs past all
// that is written.
func (v *drawing) runsClear(l leader) bool {
	if canvas.Distance(l.from, l.to) < 2*leaderStep {
		return false
	}
	for _, t := range v.taken {
		if canvas.Crosses(l.from, l.to, t) {
			return false
		}
	}
	return true
}

// take keeps a place and the leader from it free of what is written later.
func (v *drawing) take(b canvas.Box, l leader) {
	v.taken = append(v.taken, b)
	long := canvas.Distance(l.from, l.to)
	if long > 0 {
		v.taken = append(v.taken, canvas.Box{X: l.to.X, Y: l.to.Y}.Grown(dotRoom))
	}
	for at := 0.0; at < long; at += leaderStep {
		share := at / long
		p := canvas.Spot(l.from.X+share*(l.to.X-l.from.X), l.from.Y+share*(l.to.Y-l.from.Y))
		v.taken = append(v.taken, canvas.Box{X: p.X, Y: p.Y}.Grown(0.3))
	}
}

// nearest is the place of a box that lies nearest to a point.
func nearest(b canvas.Box, p draw.Point) draw.Point {
	return canvas.Spot(min(max(p.X, b.X), b.Right()), min(max(p.Y, b.Y), b.Bottom()))
}
