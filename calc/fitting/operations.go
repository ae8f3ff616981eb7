package fitting

import (
	"math"

	"brakeside/calc/flat"
)

// Operations groups bends that are made at once: on one line, of one sign and
// angle, joining one common face on the same side, or twins between the same
// two faces.
func Operations(b *flat.Blank) [][]int {
	var out [][]int
	taken := make([]bool, len(b.Joints))
	for i := range b.Joints {
		if taken[i] {
			continue
		}
		group := []int{i}
		for k := i + 1; k < len(b.Joints); k++ {
			if !taken[k] && together(b.Joints[i], b.Joints[k]) {
				group, taken[k] = append(group, k), true
			}
		}
		out = append(out, group)
	}
	return out
}

func together(a, b flat.Joint) bool {
	if a.Angle != b.Angle || a.Bend.Radius != b.Bend.Radius || !shareFace(a, b) {
		return false
	}
	along := a.Line[1].Sub(a.Line[0]).Unit()
	return math.Abs(along.Cross(b.Line[0].Sub(a.Line[0]))) < flat.Snap && math.Abs(along.Cross(b.Line[1].Sub(a.Line[0]))) < flat.Snap
}

// shareFace reports whether two bends have a face in common, on the same side
// of their line.
func shareFace(a, b flat.Joint) bool {
	for i, f := range a.Faces {
		for k, g := range b.Faces {
			if f == g && (a.Across.Dot(b.Across) > 0) == (i == k) {
				return true
			}
		}
	}
	return false
}
