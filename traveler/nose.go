package traveler

import "brakeside/calc/unit"

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
