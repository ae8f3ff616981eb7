package clash

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Question is one thing that is asked about a face and a bar.
type Question int

// The questions. LiftIn and LiftOut ask what blocks the bar when it is put in before
// the bend, and lifted out after it, having been drawn back; see Span.
const (
	Swing  Question = iota // over the whole swing
	EndIn                  // sliding the bar in along the brake
	EndOut                 // sliding it out
	Beam                   // the beam of a top leaf over the whole swing
	LiftIn
	LiftOut
	Pressed   // the bar lying on a hem that is pressed flat
	PressDown // its way straight down on that hem, and up again
	PressBed  // the bed then, and the leaf at rest, full and slim
	PressFull
	PressSlim
	Questions
)

// MostDrawnBack is how far, in millimetres, a bar may be drawn back before it is
// lifted (common practice, no source).
const MostDrawnBack = 180

// handRoom is the clearance that putting in and taking out needs, in
// millimetres: less than that of a swing, since hand and eye guide the bar.
const handRoom = 0.1

// tool is a bar in its place on the sheet, with the space it sweeps on each
// way out.
type tool struct {
	whole                    section
	parts                    []toolPart
	round                    bool     // the metal is wrapped over it
	beam                     *section // of a top leaf, nil with loose bars
	hull                     section  // around all of the bar
	up                       section  // and around its way straight up
	hullMirrored, upMirrored geom.Polygon
	over                     geom.Polygon // all that it may cover, drawn back and lifted
}

// toolPart is a convex part of the section with the clearance it keeps.
type toolPart struct {
	section
	clear float64
}

// tool lays a bar on the sheet, once.
func (b *Bench) tool(index int) *tool {
	if b.tools[index] != nil {
		return b.tools[index]
	}
	bar := b.Brake.Bars[index]
	t := &tool{whole: newSection(b.barAt(bar, bar.Section)), round: bar.Kind == brake.Round}
	for _, p := range []struct {
		section geom.Polygon
		clear   unit.MM
	}{{bar.Wedge(), b.Brake.Clearance.Nose}, {bar.Body(), b.Brake.Clearance.Bar}} {
		if p.section != nil {
			t.parts = append(t.parts, toolPart{newSection(b.barAt(bar, p.section)), float64(p.clear)})
		}
	}
	rise := geom.Point2{Y: float64(b.Blank.Width + b.Blank.Height + bar.Height)}
	t.hull = newSection(geom.Hull(t.whole.outline))
	t.up = newSection(t.hull.outline.Swept(rise))
	t.hullMirrored, t.upMirrored = mirrored(t.hull.outline), mirrored(t.up.outline)
	t.over = t.up.outline.Swept(geom.Point2{X: MostDrawnBack})
	if k := b.Brake; k.Clamping == brake.TopLeaf {
		front := bar.Crest() // the fingers reach forward of the beam they hang from
		low, high, back := float64(k.FingerHeight), float64(k.FingerHeight+k.BeamHeight), front+float64(k.BeamDepth)
		beam := newSection(b.barAt(bar, geom.Polygon{{X: front, Y: low}, {X: back, Y: low}, {X: back, Y: high}, {X: front, Y: high}}))
		t.beam = &beam
	}
	b.tools[index] = t
	return t
}

// barAt places a section of a bar on the sheet.
func (b *Bench) barAt(bar brake.Bar, section geom.Polygon) geom.Polygon {
	return moved(section, b.noseSetback(bar, b.stop()), float64(b.Blank.Sheet.Thickness))
}

// onBar notes what a body does to a bar.
func (b *Bench) onBar(a *Answer, bar int, s *subject) {
	if !s.swings && b.under(&s.finished) {
		return
	}
	t, swing := b.tool(bar), OfBar(bar, Swing)
	b.pastBar(a, swing, t, s)
	s.nearer(a.Of(swing))
	b.pastBeam(a, OfBar(bar, Beam), t, s)
	in, out := wayOut{OfBar(bar, LiftIn), OfBar(bar, EndIn)}, wayOut{OfBar(bar, LiftOut), OfBar(bar, EndOut)}
	if s.swings {
		b.getsOut(a, t, s, &s.finished, out)
		b.getsOut(a, t, s, &s.begun, in)
		return
	}
	b.getsOut(a, t, s, &s.finished, in, out) // it stands still
}

// under reports whether a body lies under the bar's lower face.
func (b *Bench) under(p *pose) bool {
	return p.box.High.Y < float64(b.Blank.Sheet.Thickness)+onLine
}

// pastBar tests the swing, or the standing still, of a body against the bar.
// The face that is being bent may come right up to the nose, and lies on a round
// one all the way: under load its flat runs off along the tangent.
func (b *Bench) pastBar(a *Answer, swing Element, t *tool, s *subject) {
	for i := range t.parts {
		part := &t.parts[i]
		switch {
		case s.swings && s.next && t.round:
		case s.swings && s.next:
			near := *s
			near.nearest = nil
			if p := b.swing(&near, &part.section, 0); p.hit {
				a.note(swing, p, s, &s.finished)
			}
		case s.swings:
			a.note(swing, b.swing(s, &part.section, part.clear), s, &s.finished)
		default:
			a.note(swing, s.still(&s.finished, &part.section, part.clear), s, &s.finished)
		}
	}
}

// pastBeam tests a body against the beam that the fingers of a top leaf hang
// from.
func (b *Bench) pastBeam(a *Answer, beam Element, t *tool, s *subject) {
	if t.beam == nil {
		return
	}
	clear := float64(b.Brake.Clearance.Bar)
	if s.swings {
		a.note(beam, b.swing(s, t.beam, clear), s, &s.finished)
		return
	}
	a.note(beam, s.still(&s.finished, t.beam, clear), s, &s.finished)
}

// wayOut is where it is noted what hinders putting a bar in or taking it out:
// lifting it, and sliding it along.
type wayOut struct{ lift, end Element }

// getsOut tests lifting the bar, drawn back first, and sliding it along. The face that
// is wrapped over a round bar touches it, and lets go of it whichever of these ways it
// is moved.
func (b *Bench) getsOut(a *Answer, t *tool, s *subject, at *pose, ways ...wayOut) {
	if b.under(at) || at.box.High.X < t.whole.box.Low.X-handRoom || s.next && t.round {
		return
	}
	slid := s.still(at, &t.whole, handRoom)
	for _, w := range ways {
		a.note(w.end, slid, s, at)
	}
	if from, to := t.lifted(at); from <= MostDrawnBack && to >= 0 {
		path := pass{hit: true, reach: at.into(t.over, handRoom)}
		for _, w := range ways {
			a.noteLift(w.lift, path, s, at, from, to)
		}
	}
}

// lifted tells from how far drawn back to how far a bar cannot be lifted past a body:
// its way up then meets it. What a bar meets while it is drawn back is in its way up
// from there on.
func (t *tool) lifted(at *pose) (from, to float64) {
	if at.box.High.Y < t.hull.box.Low.Y-handRoom || at.box.Low.X-t.hull.box.High.X > MostDrawnBack+handRoom {
		return math.Inf(1), math.Inf(-1)
	}
	if _, drawn := meetsMoved(at.outline, t.hullMirrored); drawn >= 0 {
		to = math.Inf(1)
	}
	low, high := meetsMoved(at.outline, t.upMirrored)
	return low, max(high, to)
}

// meetsMoved tells by how much a section may be moved back to come nearer than the hand
// needs to another: from the least to the most; from more to less if it never does. It
// is given mirrored in the hinge: all moves that bring a point of it onto one of the
// other are then their sum, and those straight back a band of that.
func meetsMoved(still, mirrored geom.Polygon) (low, high float64) {
	var room [64]geom.Point2
	moves := still.SumInto(room[:0], mirrored)
	low, high = math.Inf(1), math.Inf(-1)
	note := func(x float64) { low, high = min(low, x-handRoom), max(high, x+handRoom) }
	last := moves[len(moves)-1]
	for _, p := range moves {
		if math.Abs(p.Y) <= handRoom {
			note(p.X)
		}
		for _, edge := range [...]float64{-handRoom, handRoom} {
			if last.Y < edge != (p.Y < edge) {
				note(last.X + (p.X-last.X)*(edge-last.Y)/(p.Y-last.Y))
			}
		}
		last = p
	}
	return low, high
}

// mirrored is a polygon mirrored in the hinge, anticlockwise still.
func mirrored(g geom.Polygon) geom.Polygon {
	out := make(geom.Polygon, len(g))
	for i, p := range g {
		out[i] = p.Times(-1)
	}
	return out
}
