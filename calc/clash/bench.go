// Package clash tells whether a partly folded part touches the brake while one
// bend is made, and where along the brake.
//
// A Bench is one bend in the brake: which joints are bent, and which side of
// them is clamped. The part lies with the clamped tangent of the bend so far
// behind the hinge that the outer faces of both legs meet on the hinge when a
// bend of up to a right angle is finished; the swinging side then turns about
// the hinge with the leaf. Everything of the brake runs along x, so a body of
// the part meets it or not by its shadow in the y-z plane, and where it does
// the stretch along x in which the body reaches in is blocked.
//
// The place of a face depends only on the bends between it and the clamped
// face, so every answer is kept by that pattern and never worked out twice.
// There are two answers to every question, free or blocked: what is nearer to
// blocked than the following of the swing can tell counts as blocked.
package clash

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// past is whether the leaf passes a bar, once known.
type past struct{ known, free bool }

// Setting says which bend is put into the brake, and how.
type Setting struct {
	Blank    *flat.Blank
	Brake    *brake.Brake
	Joints   []int       // bent together, all on one line
	Side     int         // which of Faces of the first joint is clamped
	Overbend unit.Deg    // how far beyond the target the stop is set
	Bars     []int       // of the brake, that are strong enough for this bend
	Finished *flat.Blank // with a hem that is begun here pressed flat; nil for other bends
}

// Bench is one bend as it lies in the brake.
type Bench struct {
	Setting
	Target unit.Deg
	Swept  unit.Deg // the angle the swing is tested to
	Length unit.MM  // of the bend line, gaps included

	tree                      *fold.Tree
	hinges                    []geom.Frame // of each face to the one it hangs on, when its bend is made
	onBrake                   geom.Frame   // from the blank to the brake
	lies                      [][2]lies    // by face, before and after the bend
	tangent                   float64      // y of the clamped tangent
	slide                     float64      // how far the swinging side slides outwards on the leaf
	slidePerRadian            geom.Point2  // and which way, as it lies when it is finished
	wrap                      *wrapping    // over a round bar, else nil
	metal                     float64      // how far from the hinge the face that swings reaches
	past                      [][2]past    // by bar and form of the leaf
	bed                       section
	below                     section    // the bed without a hair at its surface
	leaf                      [2]section // full, slim
	solids                    solids
	swinging                  []bool // by face
	tools                     []*tool
	press                     *press          // of a hem
	pairs                     [][]*verdicts   // by swinging and clamped face
	classes                   []*memo[uint16] // by face
	extents                   []*memo[Extent] // by face
	known                     []map[string]*uint16
	kept                      [][]*Answer // by face and class
	flats                     []sheet     // by face, of the clamped side
	clampedFlat, swingingFlat unit.MM

	// Room that every answer is worked out in.
	points  []geom.Point3 // of a face, finished
	begun   []geom.Point3 // and before the bend
	laid    []laid        // by face, the last that was asked for
	room    []subject
	scratch *Answer
	key     []byte
}

// NewBench puts a bend into the brake.
func NewBench(s Setting) *Bench {
	b, k := s.Blank, s.Brake
	first := b.Joints[s.Joints[0]]
	bench := &Bench{
		Setting: s,
		Target:  first.Bend.Angle,
		Swept:   first.Bend.Angle + max(s.Overbend, k.OverbendSwept),
		tools:   make([]*tool, len(k.Bars)),
		past:    make([][2]past, len(k.Bars)),
	}
	bench.tree = fold.NewTree(b, first.Faces[s.Side])
	bench.lies = make([][2]lies, len(b.Faces))
	bench.tangent = s.clampedTangent()
	for f := range b.Faces {
		bench.hinges = append(bench.hinges, geom.Fixed)
		if f != bench.tree.Root {
			bench.hinges[f] = bench.tree.Hinge(f, fold.All(len(b.Joints)))
		}
	}
	bench.slides(first)
	bench.wrap = bench.wrapped()
	bench.sections()
	bench.lay(first)
	bench.sides()
	bench.keep()
	return bench
}

// slides works out how far the swinging side slides outwards: the far tangent
// lies the length of the bend zone less the clamped tangent before the hinge while
// all is flat, and R sin A - T cos A out on the leaf at the target A, with R the
// outside radius and T the clamped tangent.
func (b *Bench) slides(first flat.Joint) {
	sin, cos := math.Sincos(b.Target.Rad())
	out := float64(first.Bend.Radius+first.Bend.Thickness)*sin - b.tangent*cos
	b.slide = out + b.tangent - 2*first.Half()
	b.slidePerRadian = geom.Point2{X: cos, Y: -sin}.Times(b.slide / b.Target.Rad())
}

// sections works out those of bed and leaf.
func (b *Bench) sections() {
	high, deep := float64(b.Brake.Bed.Height), float64(b.Brake.Bed.Depth)
	b.bed = newSection(geom.Polygon{{X: 0, Y: -high}, {X: deep, Y: -high}, {X: deep}, {}})
	b.below = newSection(moved(b.bed.outline, 0, -onLine-Step/2))
	for i, form := range []brake.Slimness{brake.Full, brake.Slim} {
		b.leaf[i] = newSection(leafSection(b.Brake, form))
	}
}

// leafSection is the leaf in one of its forms before it is swung.
func leafSection(k *brake.Brake, form brake.Slimness) geom.Polygon {
	face, down := float64(k.Leaf.Face(form)), float64(k.Leaf.Thickness)
	return geom.Polygon{{X: -face, Y: -down}, {X: 0, Y: -down}, {}, {X: -face}}
}

// keep makes room for the answers.
func (b *Bench) keep() {
	faces := len(b.Blank.Faces)
	b.laid = make([]laid, faces)
	b.pairs = make([][]*verdicts, faces)
	b.kept = make([][]*Answer, faces)
	for f := range b.Blank.Faces {
		b.pairs[f] = make([]*verdicts, faces)
		b.extents = append(b.extents, newMemo[Extent](b.route(b.tree.Path[f])))
		b.classes = append(b.classes, newMemo[uint16](b.route(b.tree.Path[f])))
		b.known = append(b.known, map[string]*uint16{})
	}
	b.solids = newSolids(b.Blank)
	b.clampedFlat, b.swingingFlat = b.reaches()
	b.flats = b.flatSheets()
	b.press = b.newPress()
}

// lay works out how the blank lies on the brake: the inside of the bend up, the
// bend line along x from 0, the clamped side behind.
func (b *Bench) lay(first flat.Joint) {
	across := b.across(first)
	back := geom.Point3{X: -across.X, Y: -across.Y}
	up, floor := geom.Point3{Z: 1}, 0.0
	if !first.Up() {
		up, floor = geom.Point3{Z: -1}, float64(b.Blank.Sheet.Thickness)
	}
	right := back.Cross(up)
	axes := geom.Frame{
		X: geom.Point3{X: right.X, Y: back.X, Z: up.X},
		Y: geom.Point3{X: right.Y, Y: back.Y, Z: up.Y},
		Z: geom.Point3{X: right.Z, Y: back.Z, Z: up.Z},
	}
	low, high := b.along(geom.Point2{X: right.X, Y: right.Y})
	b.Length = unit.MM(high - low)
	line := axes.Turn(geom.Point3{X: first.Line[0].X, Y: first.Line[0].Y})
	axes.Origin = geom.Point3{X: -low, Y: b.tangent - first.Half() - line.Y, Z: floor}
	b.onBrake = axes
}

// along tells how far the bends reach in a direction of the blank.
func (s Setting) along(direction geom.Point2) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, j := range s.Joints {
		for _, p := range s.Blank.Joints[j].Line {
			low, high = min(low, direction.Dot(p)), max(high, direction.Dot(p))
		}
	}
	return low, high
}

// LineLength is the length of the bend line of a setting, gaps included.
func LineLength(s Setting) unit.MM {
	line := s.Blank.Joints[s.Joints[0]].Line
	low, high := s.along(line[1].Sub(line[0]).Unit())
	return unit.MM(high - low)
}

// across points over the first joint from the clamped side.
func (b *Bench) across(j flat.Joint) geom.Point2 {
	if b.Side == 1 {
		return j.Across.Times(-1)
	}
	return j.Across
}

// sides tells which faces swing: those that hang on the clamped face through
// an odd number of the bends that are made now.
func (b *Bench) sides() {
	b.swinging = make([]bool, len(b.Blank.Faces))
	for _, f := range b.tree.Order[1:] {
		b.swinging[f] = b.swinging[b.tree.Up[f]] != b.bends(b.tree.Via[f])
	}
}

// bends reports whether the joint is one of those bent now.
func (b *Bench) bends(joint int) bool {
	for _, j := range b.Joints {
		if j == joint {
			return true
		}
	}
	return false
}

// Swings reports whether a face is on the swinging side.
func (b *Bench) Swings(face int) bool { return b.swinging[face] }

// Root is the clamped face of the first joint.
func (b *Bench) Root() int { return b.tree.Root }

// next reports whether the face is bounded by a joint that is bent now: it
// lies on the bed under the bar, or on the leaf, and touches them rightly.
func (b *Bench) next(face int) bool {
	for _, j := range b.Joints {
		if f := b.Blank.Joints[j].Faces; f[0] == face || f[1] == face {
			return true
		}
	}
	return false
}

// target gives the set with the joints of this bend made.
func (b *Bench) target(made fold.Made) fold.Made {
	for _, j := range b.Joints {
		made = made.With(j)
	}
	return made
}

// start gives the set with the joints of this bend not yet made.
func (b *Bench) start(made fold.Made) fold.Made {
	for _, j := range b.Joints {
		made &^= 1 << j
	}
	return made
}

// frame gives where a face lies on the brake. The last place with the bend and without
// it is kept, since a set of bends asks for it many times.
func (b *Bench) frame(face int, made fold.Made) geom.Frame {
	bent := 0
	if made.Has(b.Joints[0]) {
		bent = 1
	}
	l, way := &b.lies[face][bent], made&b.tree.Path[face]
	if !l.known || l.made != way {
		f := geom.Fixed
		for at := face; at != b.tree.Root; at = b.tree.Up[at] {
			if way.Has(b.tree.Via[at]) {
				f = f.Then(b.hinges[at])
			}
		}
		*l = lies{known: true, made: way, at: f.Then(b.onBrake)}
	}
	return l.at
}

// lies is where a face lies with a set of bends made.
type lies struct {
	known bool
	made  fold.Made // of those between the face and the clamped one
	at    geom.Frame
}

// Across reports how far the clamped flat reaches behind the bend's tangent,
// and the swinging flat before it.
func (b *Bench) Across() (clamped, swinging unit.MM) { return b.clampedFlat, b.swingingFlat }

func (b *Bench) reaches() (clamped, swinging unit.MM) {
	reach := func(face int) (low, high float64) {
		low, high = math.Inf(1), math.Inf(-1)
		frame := b.frame(face, 0)
		for _, g := range b.Blank.Faces[face].Solid {
			l, h := geom.Span(geom.Placed(geom.Prism(g, 0, 0), frame), func(p geom.Point3) float64 { return p.Y })
			low, high = min(low, l), max(high, h)
		}
		return low, high
	}
	behind, before := math.Inf(1), math.Inf(1)
	for _, j := range b.Joints {
		_, high := reach(b.clampedFace(j))
		low, _ := reach(b.otherFace(j))
		flat := b.tangent - 2*b.Blank.Joints[j].Half() - low
		behind, before = min(behind, high-b.tangent), min(before, flat)
		b.metal = max(b.metal, flat+float64(b.Blank.Joints[j].Bend.OutsideSetback()))
	}
	return unit.MM(behind), unit.MM(before)
}

// otherFace is the swinging face of a joint that is bent now.
func (b *Bench) otherFace(joint int) int {
	f := b.Blank.Joints[joint].Faces
	if b.swinging[f[0]] {
		return f[0]
	}
	return f[1]
}

// SwingingFace is the swinging face of the first joint.
func (b *Bench) SwingingFace() int { return b.otherFace(b.Joints[0]) }

// OnBrake takes the blank, as it lies flat with the clamped face, to the brake:
// x from the left end of the bend, y from the hinge to the back, z up.
func (b *Bench) OnBrake() geom.Frame { return b.onBrake }

// NoseLine gives the line of the blank on which the bar's nose edge is laid
// when it stands so far behind the hinge.
func (b *Bench) NoseLine(noseSetback unit.MM) [2]geom.Point2 {
	back := b.onBrake.Inverse()
	var out [2]geom.Point2
	for i, x := range []float64{0, float64(b.Length)} {
		p := back.Place(geom.Point3{X: x, Y: float64(noseSetback)})
		out[i] = geom.Point2{X: p.X, Y: p.Y}
	}
	return out
}
