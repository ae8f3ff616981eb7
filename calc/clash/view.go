package clash

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// View is the brake and the part as seen along the brake, cut at one place.
type View struct {
	Bed               geom.Polygon
	Clamped, Swinging []geom.Polygon

	bench *Bench
	angle unit.Deg
}

// View cuts brake and part square to the bend at x while the leaf stands at an
// angle: 0 is before the bend, Target when it is finished.
func (b *Bench) View(made fold.Made, x float64, angle unit.Deg) View {
	v := View{Bed: b.bed.outline, bench: b, angle: angle}
	state := b.start(made)
	if angle > 0 {
		state = b.target(made)
	}
	for f := range b.Blank.Faces {
		bodies, _ := b.bodies(f, state)
		for _, body := range bodies {
			v.add(body, x, b.swinging[f])
		}
	}
	for _, j := range b.Joints {
		for _, z := range fold.Zone(b.Blank.Joints[j], b.acrossFrom(j), angle > 0) {
			v.add(geom.Placed(z, b.frame(b.clampedFace(j), state)), x, false)
		}
	}
	return v
}

// clampedFace is the clamped face of a joint that is bent now.
func (b *Bench) clampedFace(joint int) int {
	f := b.Blank.Joints[joint].Faces
	if b.swinging[f[0]] {
		return f[1]
	}
	return f[0]
}

// acrossFrom points over a joint from its clamped face.
func (b *Bench) acrossFrom(joint int) geom.Point2 {
	j := b.Blank.Joints[joint]
	if b.swinging[j.Faces[0]] {
		return j.Across.Times(-1)
	}
	return j.Across
}

// add keeps the shadow of a body that the cut goes through.
func (v *View) add(body []geom.Point3, x float64, swinging bool) {
	low, high := geom.Span(body, alongX)
	if x < low || x > high {
		return
	}
	if !swinging {
		v.Clamped = append(v.Clamped, shadow(body))
		return
	}
	g := shadow(body)
	if v.angle > 0 {
		g = turned(g, (v.angle - v.bench.Target).Rad())
	}
	v.Swinging = append(v.Swinging, g)
}

// Leaf is the section of the leaf in one of its forms.
func (v View) Leaf(form brake.Slimness) geom.Polygon {
	return turned(leafSection(v.bench.Brake, form), v.angle.Rad())
}

// Bar is the section of a bar in its place on the sheet.
func (b *Bench) Bar(bar brake.Bar) geom.Polygon { return b.barAt(bar, bar.Section) }

// Extent is where a face lies before the bend: between which y, x and z of the
// brake, x from the left end of the bend, and by which made bend it is no longer
// flat with the sheet in the brake, the one nearest to the clamped face; -1 if it
// is flat.
type Extent struct {
	Low, High   float64 // y
	Left, Right float64 // x
	Under, Over float64 // z
	Bend        int
}

// Extent tells where a face lies before the bend when those of made have been
// made.
func (b *Bench) Extent(face int, made fold.Made) Extent {
	return *b.extents[face].get(made, func() *Extent { return b.extent(face, made) })
}

func (b *Bench) extent(face int, made fold.Made) *Extent {
	none := math.Inf(1)
	e := &Extent{none, -none, none, -none, none, -none, -1}
	bodies, _, room := b.placed(b.points, face, b.start(made))
	b.points = room
	for _, body := range bodies {
		for _, p := range body {
			e.Low, e.High = min(e.Low, p.Y), max(e.High, p.Y)
			e.Left, e.Right = min(e.Left, p.X), max(e.Right, p.X)
			e.Under, e.Over = min(e.Under, p.Z), max(e.Over, p.Z)
		}
	}
	for at := face; at != b.tree.Root; at = b.tree.Up[at] {
		if via := b.tree.Via[at]; !b.bends(via) && made.Has(via) {
			e.Bend = via
		}
	}
	return e
}

// Reach is how far from the hinge the swinging side reaches at any angle: the
// radius on which its farthest point goes round, also of what hangs or stands
// at its end.
func (b *Bench) Reach(made fold.Made) unit.MM {
	far := 0.0
	for f := range b.Blank.Faces {
		if !b.swinging[f] {
			continue
		}
		bodies, _ := b.bodies(f, b.start(made))
		for _, body := range bodies {
			for _, p := range body {
				far = max(far, math.Hypot(p.Y, p.Z))
			}
		}
	}
	return unit.MM(far)
}

// Beyond is how high above the bed the lowest of the part lies, in millimetres,
// that is farther behind the hinge than a place: before the bend, or when the side
// that swings has come over as far as the swing is tested. Infinite for nothing.
// What comes over sinks all the way, so that it is lowest in the end.
func (b *Bench) Beyond(made fold.Made, behind float64) float64 {
	low := math.Inf(1)
	look := func(section geom.Polygon) {
		if past := section.Clip(geom.Point2{X: behind}, geom.Point2{Y: -1}); len(past) > 0 {
			lowest, _ := geom.Bounds(past...)
			low = min(low, lowest.Y)
		}
	}
	for f := range b.Blank.Faces {
		bodies, _ := b.bodies(f, b.start(made))
		for _, body := range bodies {
			look(shadow(body))
		}
		if !b.swinging[f] {
			continue
		}
		bodies, _ = b.bodies(f, b.target(made))
		for _, body := range bodies {
			look(turned(shadow(body), (b.Swept - b.Target).Rad()))
		}
	}
	return low
}

// Edge is the outermost face on one side of the bend, of those that end on one
// line the first.
func (b *Bench) Edge(swinging bool, made fold.Made) (face int, e Extent) {
	face = -1
	for f := range b.Blank.Faces {
		if b.swinging[f] != swinging {
			continue
		}
		x := b.Extent(f, made)
		if face < 0 || swinging && x.Low < e.Low-onLine || !swinging && x.High > e.High+onLine {
			face, e = f, x
		}
	}
	return face, e
}

// Beside reports whether a face of the clamped side stands square to the bend,
// so that the swinging side comes up against its edge.
func (b *Bench) Beside(face int, made fold.Made) bool {
	return !b.swinging[face] && math.Abs(b.frame(face, b.start(made)).Z.X) > 0.5
}
