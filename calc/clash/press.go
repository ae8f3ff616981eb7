package clash

import (
	"math"

	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Pressing a hem flat is a second place of the same bend on the bench: the bar
// is taken off, the part is pushed back until the fold lies under the nose, and
// the bar comes straight down on the edge that was turned up (common practice,
// no source). Seen from the part the brake comes forward by as much; so the part
// stays where the bend left it and bar, bed and leaf lie elsewhere.

// press is how a hem lies under the bar, seen from the part: y and z on the
// brake while the bend was made.
type press struct {
	nose   float64 // y of the bar's nose edge
	pile   float64 // z of the bar's lower face: all thicknesses of the flat hem
	strip  float64 // between the two, 0 where they lie on each other
	edge   float64 // y of the sheared edge when the hem is flat
	begun  float64 // as a share of folded right over
	tools  []*tool // by bar, laid when first asked
	closes [][]*memo[pass]
}

// Press is how a hem is pressed flat under one bar, in millimetres.
type Press struct {
	Back    unit.MM // by which the part is pushed back from where it was bent
	Pile    unit.MM // from the bed to the bar
	Strip   unit.MM // the room that the hem keeps, 0 for none
	Covered unit.MM // how far behind the nose edge the flat hem ends
}

// newPress works out where the flat hem lies; nil for a bend that is no hem. The
// fold, begun or flat, lies a sheet's thickness behind the nose edge, since it is
// put there by eye.
func (b *Bench) newPress() *press {
	if b.Finished == nil {
		return nil
	}
	begun, j := b.Blank.Joints[b.Joints[0]], b.Finished.Joints[b.Joints[0]]
	thick := float64(j.Bend.Thickness)
	middle := b.tangent - begun.Half()
	fold := min(b.tangent-float64(begun.Bend.Radius+begun.Bend.Thickness), middle+j.Half()-float64(j.Bend.TangentReach()))
	p := &press{
		nose: fold - thick, strip: 2 * float64(j.Bend.Radius), begun: begun.Bend.Angle.Rad() / math.Pi,
		tools: make([]*tool, len(b.Brake.Bars)), closes: make([][]*memo[pass], len(b.Blank.Faces)),
	}
	p.pile, p.edge = 2*thick+p.strip, middle+b.swingingReach(middle)
	for f := range p.closes {
		p.closes[f] = make([]*memo[pass], len(b.Blank.Faces))
	}
	return p
}

// swingingReach is how far before a line the swinging side reaches when flat.
func (b *Bench) swingingReach(line float64) float64 {
	reach := 0.0
	for f, face := range b.Blank.Faces {
		if !b.swinging[f] {
			continue
		}
		for _, g := range face.Solid {
			for _, p := range fromAbove(g, b.frame(f, 0)) {
				reach = max(reach, line-p.Y)
			}
		}
	}
	return reach
}

// Press tells how the hem is pressed flat under a bar.
func (b *Bench) Press(bar int) Press {
	p := b.press
	return Press{
		Back: unit.MM(b.tool(bar).whole.box.Low.X - p.nose), Pile: unit.MM(p.pile), Strip: unit.MM(p.strip),
		Covered: unit.MM(p.edge - p.nose),
	}
}

// PressSupport is Support while the hem lies under the bar: how far behind its
// nose it finds the sheet that the hem is folded onto.
func (b *Bench) PressSupport(made fold.Made, bar int, stretch Stretch, enough float64) float64 {
	return b.supported(made, b.press.nose, float64(b.Brake.Bars[bar].Depth), stretch, enough)
}

// OnHem is the section of a bar lying on the flat hem, seen from the part: in the
// axes of the brake while the bend was made.
func (b *Bench) OnHem(bar int) geom.Polygon { return b.pressTool(bar).whole.outline }

// pressTool lays a bar on the flat hem; its only way is straight up.
func (b *Bench) pressTool(bar int) *tool {
	if b.press.tools[bar] != nil {
		return b.press.tools[bar]
	}
	on := b.tool(bar)
	to := func(s section) section {
		return newSection(moved(s.outline, b.press.nose-on.whole.box.Low.X, b.press.pile-float64(b.Blank.Sheet.Thickness)))
	}
	t := &tool{whole: to(on.whole)}
	for _, p := range on.parts {
		t.parts = append(t.parts, toolPart{to(p.section), p.clear})
	}
	if on.beam != nil {
		beam := to(*on.beam)
		t.beam = &beam
	}
	rise := geom.Point2{Y: float64(b.Blank.Width + b.Blank.Height + b.Brake.Bars[bar].Height)}
	t.up = newSection(geom.Hull(t.whole.outline).Swept(rise))
	b.press.tools[bar] = t
	return t
}

// onPress notes what a body of the clamped side does to the brake while the hem
// is pressed flat: to the bar where it lies and on its way straight down, and to
// bed and leaf, which stand farther forward then.
func (b *Bench) onPress(a *Answer, bar int, s *subject) {
	if s.swings {
		return
	}
	at, t := &s.finished, b.pressTool(bar)
	if at.box.High.Y > b.press.pile+onLine {
		for i := range t.parts {
			a.note(OfBar(bar, Pressed), s.still(at, &t.parts[i].section, t.parts[i].clear), s, at)
		}
		a.note(OfBar(bar, PressDown), s.still(at, &t.up, handRoom), s, at)
		if t.beam != nil {
			a.note(OfBar(bar, Pressed), s.still(at, t.beam, float64(b.Brake.Clearance.Bar)), s, at)
		}
	}
	if at.box.Low.Y > -onLine {
		return
	}
	clear, forward := float64(b.Brake.Clearance.BedAndLeaf), -float64(b.Press(bar).Back)
	bed := newSection(moved(b.bed.outline, forward, 0))
	a.note(OfBar(bar, PressBed), s.still(at, &bed, clear), s, at)
	for i := range b.leaf {
		leaf := newSection(moved(b.leaf[i].outline, forward, 0))
		a.note(OfBar(bar, PressFull+Question(i)), s.still(at, &leaf, clear), s, at)
	}
}

// Closes tells whether a swinging face can be laid over from the angle that the
// leaf gave it until it is flat, past a face of the clamped side; the angle is
// where it meets it. What lies flat with the sheet it is laid onto.
func (b *Bench) Closes(swinging, clamped int, made fold.Made) (free bool, angle unit.Deg) {
	if b.joined(swinging, clamped) || b.tree.Path[clamped]&b.start(made) == 0 {
		return true, 0
	}
	m := b.press.closes[swinging][clamped]
	if m == nil {
		m = newMemo[pass](b.route(b.tree.Path[swinging] | b.tree.Path[clamped]))
		b.press.closes[swinging][clamped] = m
	}
	p := m.get(made, func() *pass {
		p := b.closing(swinging, clamped, made)
		return &p
	})
	return !p.hit, unit.FromRad(p.angle)
}

func (b *Bench) closing(swinging, clamped int, made fold.Made) pass {
	j := b.Finished.Joints[b.Joints[0]]
	reach := b.press.edge - b.tangent + 2*j.Half() + b.press.pile
	worst := pass{least: math.Inf(1)}
	var room []geom.Point3
	for _, moving := range b.cores(swinging) {
		for _, still := range b.eroded(clamped, made).cores {
			look := func(angle float64) float64 {
				room = geom.AppendPlaced(room[:0], moving, b.laidOver(swinging, made, angle/math.Pi))
				return geom.Separation(room, still)
			}
			p := advance(look, b.press.begun*math.Pi, math.Pi, 0, reach)
			if p.hit {
				return p
			}
			if p.least < worst.least {
				worst = p
			}
		}
	}
	return worst
}

// laidOver gives where a swinging face lies while the hem is folded by a share
// of right over.
func (b *Bench) laidOver(face int, made fold.Made, share float64) geom.Frame {
	f := geom.Fixed
	for at := face; at != b.tree.Root; at = b.tree.Up[at] {
		switch via := b.tree.Via[at]; {
		case b.bends(via):
			j := b.Finished.Joints[via]
			across := j.Across
			if j.Faces[1] == b.tree.Up[at] {
				across = across.Times(-1)
			}
			f = f.Then(fold.Curl(j, across, share))
		case made.Has(via):
			f = f.Then(b.hinges[at])
		}
	}
	return f.Then(b.onBrake)
}

// PressView cuts brake and part at x while a hem is pressed flat under a bar, the
// leaf at rest: begun, with the bar held above it, or flat under the bar.
func (b *Bench) PressView(made fold.Made, x float64, bar int, flat bool) PressedView {
	state, back := b.target(made), float64(b.Press(bar).Back)
	v := PressedView{View: View{Bed: b.bed.outline, bench: b}}
	blank := b.Blank
	if flat {
		blank = b.Finished
	}
	for f := range blank.Faces {
		frame := b.frame(f, state)
		if flat && b.swinging[f] {
			frame = b.laidOver(f, made, 1)
		}
		for _, g := range blank.Faces[f].Solid {
			v.add(geom.Placed(geom.Prism(g, 0, float64(blank.Sheet.Thickness)), frame), x, b.swinging[f])
		}
		if via := b.tree.Via[f]; via >= 0 && !b.bends(via) {
			for _, z := range b.zone(f, state) {
				v.add(geom.Placed(z, b.frame(b.tree.Up[f], state)), x, b.swinging[f])
			}
		}
	}
	for _, j := range b.Joints {
		for _, z := range fold.Zone(blank.Joints[j], b.acrossFrom(j), true) {
			v.add(geom.Placed(z, b.frame(b.clampedFace(j), state)), x, false)
		}
	}
	v.pushedBack(back)
	v.Bar = moved(b.OnHem(bar), back, 0)
	if !flat {
		v.Bar = moved(v.Bar, 0, v.top()-b.press.pile+aboveHem)
	}
	if b.press.strip > 0 {
		thick, from := float64(blank.Sheet.Thickness), b.tangent-b.Blank.Joints[b.Joints[0]].Half()+b.Finished.Joints[b.Joints[0]].Half()
		v.Strips = append(v.Strips, block(from+back, b.press.edge+back, thick, thick+b.press.strip))
	}
	return v
}

// aboveHem is how far above a hem that is begun the bar is drawn, in millimetres.
const aboveHem = 4

// PressedView is a View with what is laid in and on the hem.
type PressedView struct {
	View
	Bar    geom.Polygon
	Strips []geom.Polygon // in an open hem, and under the back of the bar
}

// Pack lays strips of a thickness under the back quarter of the bar; none for 0.
func (v *PressedView) Pack(thickness float64) {
	if thickness <= 0 {
		return
	}
	low, high := geom.Bounds(v.Bar...)
	pile := v.bench.press.pile
	v.Strips = append(v.Strips, block(high.X-(high.X-low.X)/4, high.X, pile-thickness, pile))
}

// pushedBack moves the part.
func (v *PressedView) pushedBack(by float64) {
	for _, list := range [][]geom.Polygon{v.Clamped, v.Swinging} {
		for i := range list {
			list[i] = moved(list[i], by, 0)
		}
	}
}

// top is how high the edge of the hem stands.
func (v *PressedView) top() float64 {
	high := 0.0
	for _, g := range v.Swinging {
		high = max(high, geom.BoxAround(g...).High.Y)
	}
	return high
}

// block is an upright section of a strip.
func block(front, back, low, high float64) geom.Polygon {
	return geom.Polygon{{X: front, Y: low}, {X: back, Y: low}, {X: back, Y: high}, {X: front, Y: high}}
}
