package clash

import (
	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Question is one thing that is asked about a face and a bar.
type Question int

// The questions. LiftIn and LiftOut are each the first of as many as LiftBacks
// has distances: what blocks the bar when it is put in before the bend, and
// lifted out after it.
const (
	Swing  Question = iota // over the whole swing
	EndIn                  // sliding the bar in along the brake
	EndOut                 // sliding it out
	Beam                   // the beam of a top leaf over the whole swing
	LiftIn
	LiftOut   = LiftIn + Question(len(LiftBacks))
	Questions = LiftOut + Question(len(LiftBacks))
)

// BarReach is what one face does to one bar, by Question.
type BarReach [Questions]Reach

// LiftBacks are the distances, in millimetres, that a bar may be drawn back
// before it is lifted.
var LiftBacks = [...]float64{0, 3, 8, 20, 45, 90, 180}

// handRoom is the clearance that putting in and taking out needs, in
// millimetres: less than that of a swing, since hand and eye guide the bar.
const handRoom = 0.1

// tool is a bar in its place on the sheet, with the space it sweeps on each
// way out.
type tool struct {
	whole geom.Polygon
	parts []toolPart
	round bool              // the metal is wrapped over it
	beam  geom.Polygon      // of a top leaf, nil with loose bars
	ways  [][2]geom.Polygon // by LiftBacks: drawn back, then lifted
}

// toolPart is a convex part of the section with the clearance it keeps.
type toolPart struct {
	section geom.Polygon
	clear   float64
}

// tool lays a bar on the sheet, once.
func (b *Bench) tool(index int) *tool {
	if b.tools[index] != nil {
		return b.tools[index]
	}
	bar := b.Brake.Bars[index]
	t := &tool{whole: b.barAt(bar, bar.Section), round: bar.Kind == brake.Round}
	for _, p := range []struct {
		section geom.Polygon
		clear   unit.MM
	}{{bar.Wedge(), b.Brake.Clearance.Nose}, {bar.Body(), b.Brake.Clearance.Bar}} {
		if p.section != nil {
			t.parts = append(t.parts, toolPart{b.barAt(bar, p.section), float64(p.clear)})
		}
	}
	rise := float64(b.Blank.Width + b.Blank.Height + bar.Height)
	for _, back := range LiftBacks {
		drawn := moved(t.whole, back, 0)
		t.ways = append(t.ways, [2]geom.Polygon{cover(t.whole, drawn), cover(drawn, moved(drawn, 0, rise))})
	}
	if k := b.Brake; k.Clamping == brake.TopLeaf {
		front := bar.Crest() // the fingers reach forward of the beam they hang from
		low, high, back := float64(k.FingerHeight), float64(k.FingerHeight+k.BeamHeight), front+float64(k.BeamDepth)
		t.beam = b.barAt(bar, geom.Polygon{{X: front, Y: low}, {X: back, Y: low}, {X: back, Y: high}, {X: front, Y: high}})
	}
	b.tools[index] = t
	return t
}

// barAt places a section of a bar on the sheet.
func (b *Bench) barAt(bar brake.Bar, section geom.Polygon) geom.Polygon {
	first := b.Blank.Joints[b.Joints[0]].Bend
	y := b.Brake.NoseSetbackFor(bar, first.Radius, first.Thickness)
	return moved(section, float64(y), float64(first.Thickness))
}

func moved(g geom.Polygon, y, z float64) geom.Polygon {
	out := make(geom.Polygon, len(g))
	for i, p := range g {
		out[i] = geom.Point2{X: p.X + y, Y: p.Y + z}
	}
	return out
}

// cover is the convex cover of two polygons: what one sweeps on its straight
// way to the other, when one is the other moved.
func cover(a, b geom.Polygon) geom.Polygon {
	return geom.Hull(append(append([]geom.Point2(nil), a...), b...))
}

// barReach works out what the bodies of a face do to a bar.
func (b *Bench) barReach(t *tool, subjects []subject) *BarReach {
	out := &BarReach{}
	for q := range out {
		out[q] = newReach()
	}
	for _, s := range subjects {
		if !s.swings && b.under(s.shadow) {
			continue
		}
		b.pastBar(&out[Swing], t, s)
		s.nearer(&out[Swing])
		b.pastBeam(&out[Beam], t, s)
		b.wayOut(t, s, out[LiftOut:], &out[EndOut])
		b.wayOut(t, s.atStart(), out[LiftIn:LiftOut], &out[EndIn])
	}
	return out
}

// under reports whether a body lies under the bar's lower face.
func (b *Bench) under(g geom.Polygon) bool {
	_, high := heights(g)
	return high < float64(b.Blank.Sheet.Thickness)+geom.Near
}

// pastBar tests the swing, or the standing still, of a body against the bar.
// The face that is being bent may come right up to the nose, and lies on a round
// one all the way: under load its flat runs off along the tangent.
func (b *Bench) pastBar(r *Reach, t *tool, s subject) {
	for _, part := range t.parts {
		switch {
		case s.swings && s.next && t.round:
		case s.swings && s.next:
			s.nearest = nil
			if p := b.swing(s, part.section, 0); p.hit {
				r.note(p, s)
			}
		case s.swings:
			r.note(b.swing(s, part.section, part.clear), s)
		default:
			r.note(s.still(part.section, part.clear), s)
		}
	}
}

// pastBeam tests a body against the beam that the fingers of a top leaf hang
// from.
func (b *Bench) pastBeam(r *Reach, t *tool, s subject) {
	if t.beam == nil {
		return
	}
	clear := float64(b.Brake.Clearance.Bar)
	if s.swings {
		r.note(b.swing(s, t.beam, clear), s)
		return
	}
	r.note(s.still(t.beam, clear), s)
}

// atStart is the body as it lies before the bend is begun.
func (s subject) atStart() subject {
	s.body, s.shadow = s.begun, s.start
	return s
}

// wayOut tests lifting the bar, drawn back first by each distance, and sliding
// it along.
func (b *Bench) wayOut(t *tool, s subject, lift []Reach, end *Reach) {
	low, _ := geom.Bounds(t.whole...)
	_, high := geom.Bounds(s.shadow...)
	if b.under(s.shadow) || high.X < low.X-handRoom {
		return
	}
	end.note(s.still(t.whole, handRoom), s)
	for i, way := range t.ways {
		path := s.still(way[0], handRoom)
		if !path.hit {
			path = s.still(way[1], handRoom)
		}
		lift[i].note(path, s)
	}
}
