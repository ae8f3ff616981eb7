package traveler

import (
	"cmp"
	"slices"

	"brakeside/calc/unit"
)

// NoseAt is the running figure of the nose line of a step, from the left datum
// edge for an upright line and from the lower one for a level line. One that lies
// askew has none.
func (b Blank) NoseAt(step int) (unit.Micron, bool) {
	for _, l := range b.Lines {
		switch {
		case l.Step != step:
		case l.Nose[0].X == l.Nose[1].X:
			return l.Nose[0].X, true
		case l.Nose[0].Y == l.Nose[1].Y:
			return l.Nose[0].Y, true
		}
	}
	return 0, false
}

// EdgesBeside lists where the corners of the outline lie along the running figures
// that NoseAt counts, those on the side of a face first: the edge that a nose line is
// measured from is one of them. It is empty for a line that lies askew.
func (b Blank) EdgesBeside(step int, face string) []unit.Micron {
	at, straight := b.NoseAt(step)
	if !straight {
		return nil
	}
	i := slices.IndexFunc(b.Lines, func(l BendLine) bool { return l.Step == step })
	along := func(p Point) unit.Micron { return p.Y }
	if l := b.Lines[i]; l.Nose[0].X == l.Nose[1].X {
		along = func(p Point) unit.Micron { return p.X }
	}
	side := unit.Micron(0) // how much farther the face reaches beyond the line than before it
	for _, f := range b.Faces {
		if f.Name == face {
			low, high := span(f.Piece, along)
			side = high + low - 2*at
		}
	}
	var edges []unit.Micron
	for _, p := range b.Outline {
		edges = append(edges, along(p))
	}
	return slices.SortedStableFunc(slices.Values(edges), func(p, q unit.Micron) int {
		return cmp.Compare(sign(q-at)*sign(side), sign(p-at)*sign(side))
	})
}

// span is the least and the most of what points have along an axis.
func span(points []Point, along func(Point) unit.Micron) (low, high unit.Micron) {
	for i, p := range points {
		if v := along(p); i == 0 {
			low, high = v, v
		} else {
			low, high = min(low, v), max(high, v)
		}
	}
	return low, high
}

func sign(m unit.Micron) int { return cmp.Compare(m, 0) }
