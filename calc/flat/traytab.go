package flat

import (
	"strings"

	"brakeside/calc/geom"
	"brakeside/calc/part"
)

// tab is a flange on the end of a wall that laps the neighbouring wall.
type tab struct {
	bend    *signedBend
	off     float64 // from the outside of its bend to the tangent
	in      float64 // from the end of the flat base to the tangent of its bend, along u
	flat    float64
	low, up float64 // its ends, from where the flat of the wall begins
}

// tabbed reports whether one end of a wall carries a corner tab: tabs grow from
// the front and the back.
func (p *pan) tabbed(e *edge, end int) bool {
	lengthwise := e.side == part.Front || e.side == part.Back
	return p.tray.Corners.Tabs != part.NoTabs && lengthwise && e.first() != nil && e.near[end].first() != nil && !e.spanned(0)
}

// layTab works out where the bend of a tab lies, and gives where its tangent
// ends the wall. Lying inside, its outer face stays the gap away from the inner
// face of the neighbour; lying outside, its inner face from the outer one.
func (p *pan) layTab(e *edge, end int) float64 {
	neighbour, t := e.near[end], float64(p.sheet.Thickness)
	pointer := "/tray/walls/" + string(e.side) + "/0"
	for _, side := range []*edge{e, neighbour} {
		if side.chain[0].Angle != 90 && side.chain[0].Angle != -90 || side.chain[0].Angle != e.chain[0].Angle {
			p.refuse("/tray/walls/"+string(side.side)+"/0/angle",
				"corner tabs need two square walls that fold to one side; make it %v or leave the tabs out", float64(e.chain[0].Angle))
			return 0
		}
	}
	if e.chain[0].Mitre != 0 {
		p.refuse(pointer+"/mitre", "the ends of this wall carry the corner tabs and cannot be mitred")
	}
	b := p.signed(tabID(e, end), e.chain[0].Angle, 0)
	off := p.takeOff(b.Bend)
	outer := t + float64(p.tray.Corners.Gap) // of the tab, from the outer face of the neighbour inwards
	if p.tray.Corners.Tabs == part.OutsideTabs {
		outer = -outer
	}
	width := p.tray.Corners.TabWidth
	if width <= off {
		p.refuse("/tray/corners/tab_width", "%s mm is used up by the tab's bend; more than %s mm is needed", width.Text(2), off.Text(2))
	}
	e.tabs[end] = &tab{bend: b, off: float64(off), in: outer + float64(off) - neighbour.off(), flat: float64(width - off)}
	p.tabHeight(e, end)
	return e.tabs[end].in
}

// tabHeight finds the height of a tab: it stays clear of the curve of the bend
// below and of any lip above, its own or the neighbour's, and under their hems.
func (p *pan) tabHeight(e *edge, end int) {
	t, neighbour := e.tabs[end], e.near[end]
	clear := float64(p.tray.Corners.Size) / 2
	t.low, t.up = clear, min(e.flats[0], neighbour.flats[0])
	if len(e.chain) > 1 || len(neighbour.chain) > 1 {
		t.up -= max(clear, float64(p.tray.Corners.Gap))
	}
	inside := p.tray.Corners.Tabs == part.InsideTabs
	for _, f := range []*edge{e, neighbour} {
		if under := f.under() - float64(p.tray.Corners.Gap); f.hem(1) && f.inward(1) == inside && under < t.up {
			t.up = under
			p.fit(tabWord(e, end), "kept under the %s", f.word(1))
		}
	}
	if t.up-t.low < 1 {
		p.refuse("/tray/corners/tabs", "there is no height for a tab at the corner of %s and %s; make these walls higher by %s mm",
			e.side, neighbour.side, mm(1-t.up+t.low).Text(1))
	}
}

// under is how high above the foot of the wall the free edge of its hem lies.
func (e *edge) under() float64 {
	if !e.hem(1) {
		return e.flats[0]
	}
	return e.sections[1].from.Y - e.flats[1] - e.sections[0].from.Y
}

// tab draws what of a tab's bend belongs to the wall.
func (s *stroke) tab(t *tab, from float64) {
	low, up := from+t.low, from+t.up
	s.add(t.in, low)
	s.add(t.in-halfOf(t.bend), low)
	s.add(t.in-halfOf(t.bend), up)
	s.add(t.in, up)
}

// addTabs adds the tabs of a wall as faces of their own.
func (p *pan) addTabs(e *edge, wall int, l leg) {
	for end, t := range e.tabs {
		if t == nil {
			continue
		}
		id, word := tabID(e, end), tabWord(e, end)
		at, tip := t.in-halfOf(t.bend), t.in-2*halfOf(t.bend)-t.flat
		low, up := l.from+t.low, l.from+t.up
		p.blank.Faces = append(p.blank.Faces, Face{ID: id, Word: word, Pieces: []geom.Polygon{anticlockwise(geom.Polygon{
			e.at(end, at, low), e.at(end, tip, low), e.at(end, tip, up), e.at(end, at, up),
		})}})
		p.spots = append(p.spots, func(x, y float64) geom.Point2 {
			return e.at(end, t.in-2*halfOf(t.bend)-(x-t.off), y-e.offs[0]+l.from)
		})
		line := [2]geom.Point2{e.at(end, at, low), e.at(end, at, up)}
		p.joint(id, word, [2]int{wall, len(p.blank.Faces) - 1}, line, t.bend)
	}
}

// tabID names a tab by its wall and the wall it laps.
func tabID(e *edge, end int) string { return string(e.side) + tabInfix + string(e.near[end].side) }

// tabInfix stands in the names of tabs, and in no other.
const tabInfix = ".tab."

// isTab reports whether a name is that of a tab of a tray.
func isTab(id string) bool { return strings.Contains(id, tabInfix) }
