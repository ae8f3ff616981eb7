package blank

import (
	"cmp"
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
)

// placeFaces finds room in each face for its name, in the smallest first. What has
// none of its own waits until the others have theirs: then it may run over the lines
// along its face, or stands beside it with a leader. It reports whether all have a
// place; unless all that can are wanted it stops at the first that has none.
func (v *drawing) placeFaces(beside, anyhow bool) bool {
	faces := slices.SortedStableFunc(slices.Values(v.blank.Faces), func(a, b traveler.Face) int {
		return cmp.Compare(a.Extent(), b.Extent())
	})
	var homeless []traveler.Face
	for _, f := range faces {
		if name, ok := v.nameRoom(f, v.clearOfLines); ok {
			v.name(name)
		} else {
			homeless = append(homeless, f)
		}
	}
	for _, f := range homeless {
		name, ok := v.nameRoom(f, v.clearOfEdges)
		if !ok && beside {
			name, ok = v.nameBeside(v.ring(f.Piece), phrase.FaceName(v.in, f), f.Name)
		}
		if ok {
			v.name(name)
		} else if !anyhow {
			return false
		}
	}
	return len(v.faces) == len(v.blank.Faces)
}

// name takes a place for a name.
func (v *drawing) name(n faceName) {
	v.faces = append(v.faces, n)
	v.take(n.Box, n.leader)
}

// nameRoom tries the name with its sizes and without, level and upright, where it is
// clear.
func (v *drawing) nameRoom(f traveler.Face, clear func(canvas.Box, []draw.Point) bool) (faceName, bool) {
	ring := v.ring(f.Piece)
	places := middlesOf(ring)
	for _, words := range []string{phrase.FaceName(v.in, f), f.Name} {
		wide := canvas.SmallBold.Width(words) + 0.6
		for _, size := range [2][2]float64{{wide, faceHigh}, {faceHigh, wide}} {
			for _, at := range places {
				b := canvas.Box{X: at.X - size[0]/2, Y: at.Y - size[1]/2, W: size[0], H: size[1]}
				if v.inBounds(b) && v.free(b) && clear(b, ring) {
					return faceName{Box: b, words: words}, true
				}
			}
		}
	}
	return faceName{}, false
}

// nameSteps is how finely places in a face are tried.
const nameSteps = 12

// middlesOf are the places in a face where the middle of a name is tried, those nearest
// to its own middle first. Near is by the size of the face: along a strip it may move far.
func middlesOf(face []draw.Point) []draw.Point {
	around, middle := canvas.Around(face), canvas.Centre(face)
	places := gridIn(face, nameSteps)
	off := func(at draw.Point) float64 {
		x, y := (at.X-middle.X)/around.W, (at.Y-middle.Y)/around.H
		return x*x + y*y
	}
	slices.SortStableFunc(places, func(a, b draw.Point) int { return cmp.Compare(off(a), off(b)) })
	return places
}

// gridIn are places in a face, as many steps apart each way.
func gridIn(face []draw.Point, steps int) []draw.Point {
	around := canvas.Around(face)
	var out []draw.Point
	for i := range steps + 1 {
		for k := range steps + 1 {
			at := canvas.Spot(around.X+around.W*float64(i)/float64(steps), around.Y+around.H*float64(k)/float64(steps))
			if within(at, face) {
				out = append(out, at)
			}
		}
	}
	return out
}

// within reports whether a place lies in a face, and not at its very edge.
func within(at draw.Point, face []draw.Point) bool {
	const edge = 0.15
	for _, by := range [4]draw.Point{{X: edge}, {X: -edge}, {Y: edge}, {Y: -edge}} {
		if !canvas.Inside(draw.Point{X: at.X + by.X, Y: at.Y + by.Y}, face) {
			return false
		}
	}
	return true
}

// overFace is how far a name may reach out over the edges of its face, in millimetres
// of paper: half a line of it, so that nobody takes it for a name of the next.
const overFace = faceHigh / 2

// clearOfEdges reports whether a box with its middle in a face runs over the bend
// lines along it at most, not into the next face nor over the edge of the metal.
func (v *drawing) clearOfEdges(b canvas.Box, face []draw.Point) bool {
	around := canvas.Around(face).Grown(overFace)
	return v.onMetal(b) && b.X >= around.X && b.Right() <= around.Right() && b.Y >= around.Y && b.Bottom() <= around.Bottom()
}

// clearOfLines reports whether a box lies inside a face, off the nose lines.
func (v *drawing) clearOfLines(b canvas.Box, face []draw.Point) bool {
	for i, p := range face {
		if canvas.Crosses(p, face[(i+1)%len(face)], b) {
			return false
		}
	}
	for _, l := range v.blank.Lines {
		if l.Step > 0 && canvas.Crosses(v.at(l.Nose[0]), v.at(l.Nose[1]), b.Grown(0.4)) {
			return false
		}
	}
	return true
}

// nameBeside finds a place beside a face for its name, worded in the first way that has
// room, with a leader to a spot of it on which nothing is written.
func (v *drawing) nameBeside(face []draw.Point, ways ...string) (faceName, bool) {
	spots := v.bareSpots(face, dotRoom)
	for _, spot := range v.bareSpots(face, leaderDot/2) {
		if !slices.Contains(spots, spot) { // what failed once fails again
			spots = append(spots, spot)
		}
	}
	for _, words := range ways {
		for _, spot := range spots {
			if b, run, ok := v.pointed(spot, canvas.SmallBold.Width(words)+0.6, faceHigh); ok {
				return faceName{Box: b, words: words, leader: run}, true
			}
		}
	}
	return faceName{}, false
}

// bareSteps is how finely a face is searched for bare spots.
const bareSteps = 8

// bareSpots are places in a face with nothing written within so much room, those
// nearest to its middle first.
func (v *drawing) bareSpots(face []draw.Point, room float64) []draw.Point {
	middle := canvas.Centre(face)
	written := func(at draw.Point) bool { return !v.free(canvas.Box{X: at.X, Y: at.Y}.Grown(room)) }
	out := slices.DeleteFunc(gridIn(face, bareSteps), written)
	slices.SortStableFunc(out, func(a, b draw.Point) int {
		return cmp.Compare(canvas.Distance(a, middle), canvas.Distance(b, middle))
	})
	return out
}
