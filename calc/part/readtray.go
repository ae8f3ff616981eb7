package part

import (
	"fmt"
	"math"

	"brakeside/calc/unit"
)

func (r *reader) tray(f *fileTray) *Tray {
	t := &Tray{Walls: map[Side][]Wall{}, Corners: r.corners(f.Corners)}
	if len(f.Base) != 2 {
		r.refuse("/tray/base", "has %d sizes; give two, [x, y]", len(f.Base))
		return t
	}
	t.BaseX = r.length("/tray/base/0", f.Base[0])
	t.BaseY = r.length("/tray/base/1", f.Base[1])
	chains := map[Side][]fileWall{Left: f.Walls.Left, Right: f.Walls.Right, Front: f.Walls.Front, Back: f.Walls.Back}
	total := 0
	for _, side := range SidesInOrder {
		for i, w := range chains[side] {
			t.Walls[side] = append(t.Walls[side], r.wall(fmt.Sprintf("/tray/walls/%s/%d", side, i), w))
			total++
			if w.Hem != "" && i+1 < len(chains[side]) {
				r.refuse(fmt.Sprintf("/tray/walls/%s/%d/hem", side, i), "a hem is folded flat and ends its chain; take away what comes after it")
			}
		}
	}
	if total == 0 || total > MostFaces {
		r.refuse("/tray/walls", "has %d walls; give 1 to %d", total, MostFaces)
	}
	return t
}

func (r *reader) wall(pointer string, f fileWall) Wall {
	w := Wall{Leg: r.length(pointer+"/leg", f.Leg), Mitre: unit.Deg(f.Mitre), Hem: r.hem(pointer, f.Hem)}
	w.Angle = r.bendAngle(pointer+"/angle", f.Angle, w.Hem)
	if f.Span != nil {
		w.Span = r.span(pointer+"/span", *f.Span)
	}
	if math.Abs(f.Mitre) > 80 || math.IsNaN(f.Mitre) {
		r.refuse(pointer+"/mitre", "%v degrees is too slanting; give -80 to 80", f.Mitre)
	}
	return w
}

// Corner sizes when the file gives none (common practice, no source).
const (
	usualRelief unit.MM = 2
	usualGap    unit.MM = 0.5
)

func (r *reader) corners(f *fileCorn) Corners {
	c := Corners{Relief: Square, Size: usualRelief, Gap: usualGap, Tabs: NoTabs}
	if f == nil {
		return c
	}
	c.Relief = Relief(r.word("/tray/corners/relief", f.Relief, string(Square), string(Round), string(Vee), string(NoRelief)))
	if f.Size != nil {
		c.Size = r.length("/tray/corners/size", *f.Size)
	}
	if f.Gap != nil {
		c.Gap = unit.MM(*f.Gap) * r.scale
		if *f.Gap < 0 || c.Gap > 1000 {
			r.refuse("/tray/corners/gap", "%v is no opening; give 0 or more", *f.Gap)
		}
	}
	r.tabs(f, &c)
	return c
}

// usualTab is the width of a corner tab when the file gives none (common
// practice, no source).
const usualTab unit.MM = 12

func (r *reader) tabs(f *fileCorn, c *Corners) {
	c.Tabs = Tabs(r.word("/tray/corners/tabs", f.Tabs, string(NoTabs), string(InsideTabs), string(OutsideTabs)))
	if c.Tabs != NoTabs {
		c.TabWidth = usualTab
	}
	if f.TabWidth == nil {
		return
	}
	c.TabWidth = r.length("/tray/corners/tab_width", *f.TabWidth)
	if c.Tabs == NoTabs {
		r.refuse("/tray/corners/tab_width", "there are no tabs; write \"tabs\":\"inside\" or \"tabs\":\"outside\" beside it")
	}
}
