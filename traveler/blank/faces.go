package blank

import (
	"cmp"
	"math"
	"slices"

	"brakeside/traveler"
	"brakeside/traveler/canvas"
	"brakeside/traveler/draw"
	"brakeside/traveler/phrase"
)

// placeFaces finds room in each face for its name, in the smallest first, or beside
// it with a leader.
func (v *drawing) placeFaces(beside bool) {
	faces := slices.SortedStableFunc(slices.Values(v.blank.Faces), func(a, b traveler.Face) int {
		return cmp.Compare(spread(a), spread(b))
	})
	for _, f := range faces {
		name, ok := v.nameRoom(f, true)
		if !ok && beside {
			name, ok = v.nameBeside(v.ring(f.Piece), f.Name)
		}
		if !ok {
			name, ok = v.nameRoom(f, false)
		}
		if ok {
			v.faces = append(v.faces, name)
			v.take(name.Box, name.leader)
		}
	}
}

// spread is how large the box around a face is.
func spread(f traveler.Face) int64 {
	low, high := f.Piece[0], f.Piece[0]
	for _, p := range f.Piece {
		low, high = traveler.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}, traveler.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
	}
	return int64(high.X-low.X) / 1000 * int64(high.Y-low.Y)
}

// nameRoom tries the name with its sizes and without, level and upright: clear of
// the lines, or over them where only its middle lies in the face.
func (v *drawing) nameRoom(f traveler.Face, clear bool) (faceName, bool) {
	ring := v.ring(f.Piece)
	for _, words := range []string{phrase.FaceName(f), f.Name} {
		wide := canvas.SmallBold.Width(words) + 0.6
		for _, size := range [2][2]float64{{wide, faceHigh}, {faceHigh, wide}} {
			if b, ok := v.nameAt(ring, size[0], size[1], clear); ok {
				return faceName{Box: b, words: words}, true
			}
		}
	}
	return faceName{}, false
}

// nameSteps is how finely places in a face are tried.
const nameSteps = 24

// nameAt finds the place for a box nearest to the middle of a face where nothing
// is written yet: wholly inside it, or with only its middle inside and the rest
// over its bend lines.
func (v *drawing) nameAt(face []draw.Point, w, h float64, whole bool) (found canvas.Box, ok bool) {
	around, middle := canvas.Around(face), canvas.Centre(face)
	best := math.Inf(1)
	for i := range nameSteps + 1 {
		for k := range nameSteps + 1 {
			at := canvas.Spot(around.X+around.W*float64(i)/nameSteps, around.Y+around.H*float64(k)/nameSteps)
			b := canvas.Box{X: at.X - w/2, Y: at.Y - h/2, W: w, H: h}
			off := canvas.Distance(at, middle)
			if off >= best || !within(at, face) || !v.free(b) || !v.inBounds(b) || whole && !v.clearOfLines(b, face) {
				continue
			}
			best, found, ok = off, b, true
		}
	}
	return found, ok
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

// nameBeside finds a place beside a face for its name, with a leader to a spot of it
// on which nothing is written.
func (v *drawing) nameBeside(face []draw.Point, words string) (faceName, bool) {
	for _, spot := range v.bareSpots(face) {
		if b, run, ok := v.pointed(spot, canvas.SmallBold.Width(words)+0.6, faceHigh); ok {
			return faceName{Box: b, words: words, leader: run}, true
		}
	}
	return faceName{}, false
}

// bareSteps is how finely a face is searched for bare spots.
const bareSteps = 8

// bareSpots are places in a face on which nothing is written, those nearest to its
// middle first.
func (v *drawing) bareSpots(face []draw.Point) []draw.Point {
	around, middle := canvas.Around(face), canvas.Centre(face)
	var out []draw.Point
	for i := range bareSteps + 1 {
		for k := range bareSteps + 1 {
			at := canvas.Spot(around.X+around.W*float64(i)/bareSteps, around.Y+around.H*float64(k)/bareSteps)
			if within(at, face) && v.free(canvas.Box{X: at.X, Y: at.Y}.Grown(0.2)) {
				out = append(out, at)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b draw.Point) int {
		return cmp.Compare(canvas.Distance(a, middle), canvas.Distance(b, middle))
	})
	return out
}
