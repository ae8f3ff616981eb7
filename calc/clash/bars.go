package clash

import (
	"brakeside/calc/brake"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// BarReach is what one face does to one bar.
type BarReach struct {
	Swing Reach // over the whole swing
	// In and Out tell, for each way of LiftBacks, what blocks the bar when it
	// is put in before the bend and lifted out after it.
	In, Out []Reach
	// EndIn and EndOut tell what blocks the bar when it is slid along.
	EndIn, EndOut Reach
}

// LiftBacks are the distances, in millimetres, that a bar may be drawn back
// before it is lifted.
var LiftBacks = []float64{0, 3, 8, 20, 45, 90, 180}

// handRoom is the clearance that putting in and taking out needs, in
// millimetres: less than that of a swing, since hand and eye guide the bar.
const handRoom = 0.1

// tool is a bar in its place on the sheet, with the space it sweeps on each
// way out.
type tool struct {
	whole geom.Polygon
	parts []toolPart
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
	t := &tool{whole: b.barAt(bar, bar.Section)}
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

// BarReach reports what one face does to one bar when the bends of made have been
// made.
func (b *Bench) BarReach(face, bar int, made fold.Made) *BarReach {
	key := barKey{faceKey{face, b.start(made) & b.tree.Path[face]}, bar}
	if r, ok := b.bars[key]; ok {
		return r
	}
	r := b.barReach(b.tool(bar), b.subjects(face, made))
	b.bars[key] = r
	return r
}

func (b *Bench) barReach(t *tool, subjects []subject) *BarReach {
	out := &BarReach{Swing: newReach(), EndIn: newReach(), EndOut: newReach()}
	out.In, out.Out = make([]Reach, len(LiftBacks)), make([]Reach, len(LiftBacks))
	for i := range LiftBacks {
		out.In[i], out.Out[i] = newReach(), newReach()
	}
	for _, s := range subjects {
		if !s.swings && b.under(s.shadow) {
			continue
		}
		b.pastBar(&out.Swing, t, s)
		b.wayOut(t, s.shadow, s.body, out.Out, &out.EndOut)
		if s.swings {
			b.wayOut(t, s.start, s.begun, out.In, &out.EndIn)
		} else {
			b.wayOut(t, s.shadow, s.body, out.In, &out.EndIn)
		}
	}
	return out
}

// under reports whether a body lies under the bar's lower face.
func (b *Bench) under(g geom.Polygon) bool {
	_, high := heights(g)
	return high < float64(b.Blank.Sheet.Thickness)+geom.Near
}

// pastBar tests the swing, or the standing still, of a body against the bar.
// The face that is being bent may come right up to the nose.
func (b *Bench) pastBar(r *Reach, t *tool, s subject) {
	for _, part := range t.parts {
		switch {
		case s.swings && s.next:
			if p := b.swing(s.shadow, part.section, 0); p.hit {
				r.note(p, s.body)
			}
		case s.swings:
			r.note(b.swing(s.shadow, part.section, part.clear), s.body)
		default:
			r.note(still(s.shadow, part.section, part.clear), s.body)
		}
	}
}

// wayOut tests lifting the bar, drawn back first by each distance, and sliding
// it along.
func (b *Bench) wayOut(t *tool, shadow geom.Polygon, body []geom.Point3, lift []Reach, end *Reach) {
	low, _ := geom.Bounds(t.whole...)
	_, high := geom.Bounds(shadow...)
	if b.under(shadow) || high.X < low.X-handRoom {
		return
	}
	end.note(still(shadow, t.whole, handRoom), body)
	for i, way := range t.ways {
		path := still(shadow, way[0], handRoom)
		if !path.hit {
			path = still(shadow, way[1], handRoom)
		}
		lift[i].note(path, body)
	}
}
