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

// back is the cut moved inwards wherever it is less.
func (c cut) back(in float64) cut {
	return cut{math.Max(c.zoneNear, in), math.Max(c.zoneFar, in), math.Max(c.flatStart, in), math.Max(c.flatEnd, in)}
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
		p.inside(e, end, 0, e.begins[end]) && p.inside(neighbour, other, 0, neighbour.begins[other])
}

// inward reports whether the i-th leg folds to the same side as the wall
// before it, so that it comes to lie over the base.
func (e *edge) inward(i int) bool { return (e.bends[i].angle > 0) == (e.bends[0].angle > 0) }

// spanned reports whether the i-th leg is a tab of part of the length.
func (e *edge) spanned(i int) bool { return e.chain[i].Span != [2]unit.MM{} }

// hem reports whether the i-th leg is a hem.
func (e *edge) hem(i int) bool { return i < len(e.chain) && e.chain[i].Hem != part.NoHem }

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
	if !e.spanned(i) {
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
