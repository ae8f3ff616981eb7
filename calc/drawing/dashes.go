package drawing

import (
	"cmp"
	"slices"

	"brakeside/calc/geom"
)

// MostGap is how far the dashes of a bend line may lie apart, in millimetres, and
// how far the last of them may end before the edge (common practice, no source).
const MostGap = 15

// leastDashes is how many pieces a line that does not reach the edge must have to be
// taken for a dashed one.
const leastDashes = 3

// dashed is a bend line and of how many pieces it is made.
type dashed struct {
	line   Line
	sign   float64
	pieces int
}

// undashed joins the pieces of bend lines that are drawn as dashes, and gives how
// many were joined. Two pieces are of one line if they lie on one, fold the same way
// and end towards each other inside the sheet: such ends mean nothing else, since a
// bend runs from edge to edge.
func (b Blank) undashed(signs []float64) (lines []Line, joined []float64, pieces int) {
	c := &cutter{}
	c.ring(oriented(b.Outline, true))
	for _, o := range b.Openings {
		c.ring(oriented(o, false))
	}
	var all []dashed
	for i, line := range b.Bends {
		all = append(all, dashed{line, signs[i], 1})
	}
	for i := 0; i < len(all); i++ {
		for k := i + 1; k < len(all); k++ {
			if line, one := c.joined(all[i], all[k]); one {
				all[i].line, all[i].pieces = line, all[i].pieces+all[k].pieces
				all = slices.Delete(all, k, k+1)
				k = i // a piece that was too far away may be near now
			}
		}
	}
	for _, d := range all {
		if d.pieces >= leastDashes {
			d.line = c.drawnOut(d.line)
		}
		if d.pieces > 1 {
			pieces += d.pieces
		}
		lines, joined = append(lines, d.line), append(joined, d.sign)
	}
	return lines, joined, pieces
}

// joined gives two pieces as one line, and whether they are.
func (c *cutter) joined(a, b dashed) (Line, bool) {
	along := a.line[1].Sub(a.line[0])
	if a.sign != b.sign || along.Length() < Snap {
		return Line{}, false
	}
	along = along.Unit()
	for _, p := range b.line {
		if off := along.Cross(p.Sub(a.line[0])); off > Snap || off < -Snap {
			return Line{}, false
		}
	}
	at := func(p geom.Point2) float64 { return along.Dot(p.Sub(a.line[0])) }
	ends := []geom.Point2{a.line[0], a.line[1], b.line[0], b.line[1]}
	slices.SortFunc(ends, func(p, q geom.Point2) int { return cmp.Compare(at(p), at(q)) })
	gap := at(ends[2]) - at(ends[1])
	first, second := spanOf(a.line, at), spanOf(b.line, at)
	if apart := first[1] <= second[0] || second[1] <= first[0]; !apart || gap > MostGap || !c.within(ends[1]) || !c.within(ends[2]) {
		return Line{}, false
	}
	return Line{ends[0], ends[3]}, true
}

func spanOf(l Line, at func(geom.Point2) float64) [2]float64 {
	return [2]float64{min(at(l[0]), at(l[1])), max(at(l[0]), at(l[1]))}
}

// within reports whether a place lies inside the sheet and not at its edge.
func (c *cutter) within(p geom.Point2) bool { return c.inSheet(p) && c.distance(p) > Snap }

// drawnOut lengthens the ends of a dashed line to the edge that lies before them.
func (c *cutter) drawnOut(l Line) Line {
	for k := range l {
		v := l[k].Sub(l[1-k]).Unit()
		if met := c.met(Line{l[k], l[k].Add(v.Times(MostGap))}, v, MostGap); c.within(l[k]) && len(met) > 0 {
			l[k] = met[0].stop.p
		}
	}
	return l
}
