package flat

import (
	"fmt"
	"math"

	"brakeside/calc/part"
	"brakeside/calc/unit"
)

func mm(v float64) unit.MM { return unit.MM(v) }

// cut is how far one end of a side is cut back from the corner of the flat
// base, by place in its chain.
type cut struct{ zoneNear, zoneFar, flatStart, flatEnd float64 }

// middle is the cut at the middle of the bend zone.
func (c cut) middle() float64 { return (c.zoneNear + c.zoneFar) / 2 }

// straight is a cut square to the bend.
func straight(in float64) cut { return cut{in, in, in, in} }

// back is the cut moved inwards wherever it is less.
func (c cut) back(in float64) cut {
	return cut{math.Max(c.zoneNear, in), math.Max(c.zoneFar, in), math.Max(c.flatStart, in), math.Max(c.flatEnd, in)}
}

// endCuts works out one end of a side. No leg is wider than the one it hangs on.
func (p *pan) endCuts(e *edge, end int) []cut {
	out := make([]cut, len(e.chain))
	for i, w := range e.chain {
		c := p.cornerCut(e, end, i)
		if i > 0 {
			c = c.back(out[i-1].flatEnd)
		}
		if w.Span != [2]unit.MM{} {
			c = c.back(p.spanCut(e, end, i))
		} else if i == 0 && p.tabbed(e, end) {
			c.flatStart = p.layTab(e, end)
			c.flatEnd = c.flatStart
		}
		c.flatEnd += e.flats[i] * math.Tan(w.Mitre.Rad())
		out[i] = c
	}
	return out
}

// opening is how far the ends of two walls stay from the corner of their inner
// faces: two square walls that both end g/root 2 short of it leave an opening g
// between their edges.
func (p *pan) opening() float64 { return float64(p.tray.Corners.Gap) / math.Sqrt2 }

// cornerCut is the cut that the neighbouring side asks for.
func (p *pan) cornerCut(e *edge, end, i int) cut {
	neighbour := e.near[end]
	if neighbour.first() == nil {
		return cut{}
	}
	apex := neighbour.first().apex()
	first := p.firstCut(float64(p.sheet.Thickness) + p.opening() - apex)
	switch {
	case i == 0 && e.hem(0):
		return first.back(p.opening()) // it lies on the base, beside the curve of the wall
	case i == 0:
		return first
	case e.inward(i) && (e.hem(i) || neighbour.hem(i)):
		return straight(math.Max(first.flatEnd, p.pile(neighbour)+p.opening()-apex))
	case !e.inward(i) || len(neighbour.bends) <= i || !neighbour.inward(i) || e.chain[i].Mitre != 0:
		return straight(first.flatEnd)
	}
	// Two inward lips would run into each other: both are mitred along the
	// line that halves the corner.
	start := float64(e.bends[i].Radius+e.bends[i].Thickness) + p.opening() - apex
	return cut{start, start, start, start + e.flats[i]}
}

// firstCut is the cut of a wall that must end so far from the corner of the
// flat base. The bend makes room for the relief; beyond it the wall is as long as
// its gap lets it be.
func (p *pan) firstCut(wall float64) cut {
	ends := math.Max(0, wall) // where the bends end, side by side
	if p.tray.Corners.Relief != part.NoRelief {
		ends = math.Max(float64(p.tray.Corners.Size)/2, wall)
	}
	return cut{ends, ends, wall, wall}
}

// cornerEnd is where the edge of the base begins at one end of a side.
func (p *pan) cornerEnd(e *edge, end int) float64 {
	return math.Max(0, p.cornerCut(e, end, 0).zoneNear)
}

// bare reports whether the walls of both sides stay away from a corner, so that
// the base keeps it whole.
func (p *pan) bare(e *edge, end int) bool {
	neighbour := e.near[end]
	other := 0
	if neighbour.near[1] == e {
		other = 1
	}
	return e.first() != nil && neighbour.first() != nil &&
		p.inside(e, end, 0, p.cornerEnd(e, end)) && p.inside(neighbour, other, 0, p.cornerEnd(neighbour, other))
}

// inward reports whether the i-th leg folds to the same side as the wall
// before it, so that it comes to lie over the base.
func (e *edge) inward(i int) bool { return (e.bends[i].angle > 0) == (e.bends[0].angle > 0) }

// hem reports whether the i-th leg is a hem.
func (e *edge) hem(i int) bool { return i < len(e.chain) && e.chain[i].Hem != part.NoHem }

// pile is how thick a wall is with a hem folded to its inside.
func (p *pan) pile(e *edge) float64 {
	t := float64(p.sheet.Thickness)
	if e.hem(1) && e.inward(1) {
		return 2*t + 2*float64(e.bends[1].Radius)
	}
	return t
}

// spanCut is the cut that leaves a tab of part of the length.
func (p *pan) spanCut(e *edge, end, i int) float64 {
	span := e.chain[i].Span
	total := e.long + e.near[0].off() + e.near[1].off()
	if float64(span[1]) > total+Snap {
		p.refuse(fmt.Sprintf("/tray/walls/%s/%d/span/1", e.side, i), "the tab reaches past the end of the edge, which is %s mm long outside",
			mm(total).Text(2))
	}
	if end == e.left {
		return float64(span[0]) - e.near[end].off()
	}
	return total - float64(span[1]) - e.near[end].off()
}

// border draws one end of what lies between a face, whose flat ends at to and
// whose edge begins so far in, and the middle of the zone of its next bend. Where
// a tab ends inside the sheet, the sheet beside it runs on to its outside size,
// with a relief between.
func (p *pan) border(s *stroke, next int, begins, to float64) {
	s.add(begins, to)
	p.attach(s, next, begins, to)
}

// attach is border without the corner that it begins at.
func (p *pan) attach(s *stroke, next int, begins, to float64) {
	e, c := s.e, s.e.cuts[s.end][next]
	if wide := float64(p.tray.Corners.Size); p.inside(e, s.end, next, begins) {
		out := to + e.offs[next]
		s.add(begins, out)
		p.relief(s, c.middle(), notch{wide: wide, to: to, out: out})
	} else {
		s.add(c.zoneNear, to)
	}
	s.add(c.middle(), to+halfOf(e.bends[next]))
}

// inside reports whether a tab ends inside the sheet that it hangs on, with
// room for a relief and a strip of sheet beside it.
func (p *pan) inside(e *edge, end, i int, begins float64) bool {
	if e.chain[i].Span == [2]unit.MM{} {
		return false
	}
	room := e.cuts[end][i].zoneNear - begins
	if room < Snap {
		return false
	}
	if p.tray.Corners.Relief == part.NoRelief {
		p.refuse(fmt.Sprintf("/tray/walls/%s/%d/span", e.side, i),
			"the tab ends inside the sheet and would tear it; give the corners a relief, square, round or vee, at least %s mm wide",
			p.sheet.Thickness.Text(1))
	}
	return room > 2*float64(p.tray.Corners.Size)
}

// notch is a relief cut beside the end of a tab: from the outside size of the
// sheet to half its width behind the tangent.
type notch struct{ wide, to, out float64 }

// relief cuts a notch whose inner side lies at in.
func (p *pan) relief(s *stroke, in float64, n notch) {
	half := n.wide / 2
	s.add(in-n.wide, n.out)
	switch p.tray.Corners.Relief {
	case part.Round:
		p.blank.rounds = append(p.blank.rounds, round{s.e.at(s.end, in-half, n.to), half})
		for i := 0; i <= 2*roundSteps; i++ {
			sin, cos := math.Sincos(math.Pi / 2 * float64(i) / roundSteps)
			s.add(in-half-half*cos, n.to-half*sin)
		}
	case part.Vee:
		s.add(in-half, n.to-half)
		s.add(in, n.to)
	default:
		s.add(in-n.wide, n.to-half)
		s.add(in, n.to-half)
	}
}
