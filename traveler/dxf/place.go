package dxf

import (
	"math"
	"strings"

	"brakeside/calc/fault"
	"brakeside/calc/geom"
)

// leaning says why an entity is not read that lies in a plane of its own.
const leaning = "is drawn in a plane of its own; draw it in the plane of the sheet, seen from above"

// place puts entities into the drawing.
func (r *reader) place(entities []entityTags, f frame) {
	for _, e := range entities {
		if r.err != nil {
			return
		}
		r.entity(e, f)
	}
}

// entity reads one entity.
func (r *reader) entity(e entityTags, f frame) {
	s := Shape{Kind: e.value, Layer: f.layerOf(e.tags), Row: e.row}
	if why := r.aside(e); why != "" {
		s.Points, s.Unread = f.places([]geom.Point2{r.point(e.tags, 10)}), why
		r.drawing.Aside = append(r.drawing.Aside, s)
		return
	}
	own, flat := f.facing(r.numberOr(e.tags, 230, 1))
	if !flat && e.value != "LINE" && e.value != "SPLINE" { // whose places are those of the drawing
		s.Points, s.Unread = f.places([]geom.Point2{r.point(e.tags, 10)}), leaning
		r.keep(s)
		return
	}
	if e.value == "INSERT" {
		r.insert(e, s, own)
		return
	}
	r.draw(&s, e, f, own)
	r.keep(s)
}

// keep adds a shape, up to the limit.
func (r *reader) keep(s Shape) {
	if r.points += len(s.Points); r.points > mostPoints && r.err == nil {
		r.err = fault.New(fault.TooLarge, "", "the drawing has more than the %d corners that are read", mostPoints)
		return
	}
	r.drawing.Shapes = append(r.drawing.Shapes, s)
}

// How deep blocks may stand in blocks, and how many are put in place.
const (
	deepest     = 16
	mostInserts = 20_000
)

// insert puts a block in place, once or in rows and columns.
func (r *reader) insert(e entityTags, s Shape, f frame) {
	g := e.tags
	at := r.point(g, 10)
	b, known := r.blocks[strings.ToUpper(g.text(2))]
	wide, high := r.numberOr(g, 41, 1), r.numberOr(g, 42, 1)
	switch {
	case !known:
		s.Unread = "stands for a block that is not in the drawing; save the drawing with its blocks"
	case b.outside:
		s.Unread = "stands for a block that is kept in another file; bind it into the drawing"
	case wide == 0 || high == 0:
		s.Unread = "is a block without size"
	}
	if s.Unread != "" {
		s.Points = f.places([]geom.Point2{at})
		r.keep(s)
		return
	}
	if f.depth++; f.depth > deepest {
		r.tooMany("blocks stand in blocks more than %d deep", deepest)
		return
	}
	turn := r.number(g, 50) * math.Pi / 180
	columns, rows := max(int(r.number(g, 70)), 1), max(int(r.number(g, 71)), 1)
	step := geom.Point2{X: r.number(g, 44), Y: r.number(g, 45)}
	for row := range rows {
		for column := range columns {
			if r.inserts++; r.inserts > mostInserts {
				r.tooMany("more than %d blocks are inserted", mostInserts)
			}
			if r.err != nil {
				return
			}
			moved := geom.Point2{X: step.X * float64(column), Y: step.Y * float64(row)}.Turned(turn)
			r.place(b.entities, f.inserted(at.Add(moved), turn, wide, high, b.base).on(s.Layer))
		}
	}
}

func (r *reader) tooMany(format string, most int) {
	if r.err == nil {
		r.err = fault.New(fault.TooLarge, "", format+"; explode them before the drawing is saved", most)
	}
}
