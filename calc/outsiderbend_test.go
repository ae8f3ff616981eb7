package calc_test

import (
	"fmt"
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/process"
)

// scene is one bend in the brake with one side clamped, before anything is said
// about bars: the solids of the part at every moment, moved in two ways that no
// real bend leaves.
type scene struct {
	blank, finished *flat.Blank // finished only where a hem is begun
	brake           *brake.Brake
	joints          []int
	made            fold.Made // before
	root            int
	target, stop    float64 // radians
	tangent         float64 // behind the hinge
	length          float64
	place           geom.Frame // from the blank to the brake
	thick           float64
	moments         []moment
	before, after   []shape
	told            map[string]string // what was found out about bars, whatever the leaf
}

// once works something out once for bars that lie where they lay before.
func (t *setting) once(what string, work func() string) string {
	key := fmt.Sprint(what, t.bar.Name, t.bed, t.slideOut, t.flatten)
	for i := range t.blocks {
		key += fmt.Sprint(t.blocks[i].low, t.blocks[i].high)
	}
	words, known := t.told[key]
	if !known {
		words = work()
		t.told[key] = words
	}
	return words
}

// moment is where the part is at an angle of the leaf.
type moment struct {
	angle  float64 // radians
	rolled bool    // the bend rolls up evenly; otherwise the finished side turns with the leaf
	shapes []shape
}

// newScene puts a bend into the brake. Hem is whether it is one that is begun here.
func newScene(p *process.Plan, joints []int, made fold.Made, root int) *scene {
	first := p.Bends[joints[0]]
	s := &scene{
		blank: p.BlankFor(joints), brake: p.Brake, joints: joints, made: made, root: root,
		told: map[string]string{}, target: first.Bend.Angle.Rad(), stop: (first.Bend.Angle + first.Springback).Rad(), thick: float64(p.Blank.Sheet.Thickness),
	}
	if s.blank != p.Blank {
		s.finished = p.Blank
	}
	j := s.blank.Joints[joints[0]]
	s.tangent = float64(min(j.Bend.OutsideSetback(), j.Bend.Radius+j.Bend.Thickness))
	s.lay(j)
	s.play()
	return s
}

// lay puts the clamped face on the bed: the inside of the bend up, the swinging side
// to the front, the left end of the bend at x = 0.
func (s *scene) lay(j flat.Joint) {
	back := geom.Point3{X: -j.Across.X, Y: -j.Across.Y}
	if j.Faces[1] == s.root {
		back = back.Times(-1)
	}
	up := geom.Point3{Z: 1}
	if j.Angle < 0 {
		up.Z = -1
	}
	right := back.Cross(up)
	low, high := math.Inf(1), math.Inf(-1)
	for _, k := range s.joints {
		for _, p := range s.blank.Joints[k].Line {
			x := right.Dot(geom.Point3{X: p.X, Y: p.Y})
			low, high = min(low, x), max(high, x)
		}
	}
	s.length = high - low
	s.place = geom.Frame{
		X: geom.Point3{X: right.X, Y: back.X, Z: up.X}, Y: geom.Point3{X: right.Y, Y: back.Y, Z: up.Y}, Z: geom.Point3{X: right.Z, Y: back.Z, Z: up.Z},
	}
	s.place.Origin = geom.Point3{X: -low, Y: s.tangent - j.Half() - back.Dot(geom.Point3{X: j.Line[0].X, Y: j.Line[0].Y})}
	if up.Z < 0 {
		s.place.Origin.Z = s.thick
	}
}

func (s *scene) bends(joint int) bool {
	for _, k := range s.joints {
		if k == joint {
			return true
		}
	}
	return false
}

// lookEvery is how far the leaf turns between two moments, in radians.
const lookEvery = 1.5 * math.Pi / 180

// play works out all moments.
func (s *scene) play() {
	s.before, s.after = s.at(0), s.at(s.target)
	steps := int(math.Ceil(s.stop / lookEvery))
	for i := range steps + 1 {
		angle := s.stop * float64(i) / float64(steps)
		s.moments = append(s.moments, moment{angle, true, s.at(angle)}, moment{angle, false, s.turnedTo(angle)})
	}
}

// at is the part with the bend rolled up to an angle.
func (s *scene) at(angle float64) []shape { return s.with(s.blank, angle) }

// with folds a blank with the bend of the scene at an angle.
func (s *scene) with(b *flat.Blank, angle float64) []shape {
	f := hung(b, s.root)
	done := f.finished(s.made)
	angleOf := func(j int) float64 {
		if s.bends(j) {
			return angle
		}
		return done(j)
	}
	skin := float64(s.brake.PartContactAllowance)/2 + slack(false)
	frames, swings := f.frames(angleOf), make([]bool, len(f.up))
	var out []shape
	for _, face := range f.order {
		var list []shape
		for _, shape := range f.flats(face, skin) {
			shape.own = s.beside(face)
			list = append(list, shape.put(frames[face].Then(s.place)))
		}
		if face != s.root {
			swings[face] = swings[f.up[face]] != s.bends(f.via[face])
			if !s.bends(f.via[face]) {
				for _, shape := range f.curve(face, angleOf(f.via[face])) {
					list = append(list, shape.put(frames[f.up[face]].Then(s.place)))
				}
			}
		}
		for _, shape := range list {
			shape.swings = swings[face]
			out = append(out, shape)
		}
	}
	return out
}

// beside reports whether the bend bounds a face.
func (s *scene) beside(face int) bool {
	for _, k := range s.joints {
		if f := s.blank.Joints[k].Faces; f[0] == face || f[1] == face {
			return true
		}
	}
	return false
}

// turnedTo is the part with the swinging side as it is when it is finished, turned
// about the hinge with the leaf. It lies on the leaf with its outer face and slides
// outwards evenly, from where the flat sheet lies to where the bend ends.
func (s *scene) turnedTo(angle float64) []shape {
	j := s.blank.Joints[s.joints[0]].Bend
	outside := float64(j.Radius + j.Thickness)
	sin, cos := math.Sincos(s.target)
	off := s.tangent*sin - outside*(1-cos) // of the outer face from the leaf's plane, when finished
	ends := outside*sin - s.tangent*cos    // how far out on the leaf the bend ends then
	begins := float64(j.Allowance()) - s.tangent
	still := (ends - begins) * max(0, s.target-angle) / s.target
	out := make([]shape, 0, len(s.after))
	toLeaf := geom.Shift(geom.Point3{Y: -off * sin, Z: -off * cos}).Then(geom.Shift(geom.Point3{Y: cos * still, Z: -sin * still}))
	turn := toLeaf.Then(geom.Rotation(geom.Point3{}, geom.Point3{X: 1}, s.target-angle))
	for _, shape := range s.after {
		if shape.swings {
			shape = shape.put(turn)
		}
		out = append(out, shape)
	}
	return out
}

// block is a body of the brake over the sheet: a convex section between two places.
type block struct {
	section   geom.Polygon
	low, high float64
	beside    float64 // what it keeps from what stands beside it, along the brake
	around    float64 // and in its section
}

// setting is how a bend is made in a scene.
type setting struct {
	*scene
	bar      brake.Bar
	leaf     brake.Slimness
	nose     float64
	bed      [2]float64 // between which the brake's usable length lies
	blocks   []block
	frame    []block // the beam of a top leaf
	slideOut string
	flatten  float64 // how far the part is pushed back to press a hem
}

// hairs is by how much fingers and bars may lie nearer than they should, in
// millimetres: drawings are written to hundredths.
const hairs = 0.05

// slack is how much of the clearance the two ways of moving may use up.
func slack(rolled bool) float64 {
	if rolled {
		return 0.45
	}
	return 0.15
}

// set makes the blocks of a bar: whole, as fingers, or between its slots, whose left
// end, like that of a whole bar, is at.
func (t *setting) set(lies [2]float64, fingers []process.Segment) {
	k, z := t.brake, t.thick
	parts := []block{}
	for _, half := range []struct {
		section geom.Polygon
		around  float64
	}{{t.bar.Wedge(), float64(k.Clearance.Nose)}, {t.bar.Body(), float64(k.Clearance.Bar)}} {
		if half.section != nil {
			parts = append(parts, block{section: shifted(half.section, t.nose, z), around: half.around})
		}
	}
	add := func(low, high, above, beside float64) {
		for _, p := range parts {
			if p.low, p.high, p.beside = low, high, beside; above > 0 {
				p.around = float64(t.bar.Slots.Clearance)
				p.section = p.section.Clip(geom.Point2{Y: z + above}, geom.Point2{X: 1})
			}
			if p.section != nil {
				t.blocks = append(t.blocks, p)
			}
		}
	}
	switch {
	case t.bar.Kind == brake.Segments:
		for _, g := range fingers {
			add(float64(g.At), float64(g.At+g.Width), 0, float64(t.bar.EndGap[0]))
		}
	case t.bar.Kind == brake.Slotted:
		s, at := t.bar.Slots, lies[0]
		from := lies[0]
		for i := range s.Count {
			middle := at + float64(s.First) + float64(i)*float64(s.Pitch)
			left, right := middle-float64(s.Width)/2, middle+float64(s.Width)/2
			add(from, left, 0, float64(s.Clearance))
			add(left, right, float64(s.Height), 0) // over a wall in a slot
			from = right
		}
		add(from, lies[1], 0, float64(s.Clearance))
	default:
		add(lies[0], lies[1], 0, float64(k.Clearance.Bar))
	}
	if k.Clamping == brake.TopLeaf {
		front, low := t.nose+t.bar.Crest(), z+float64(k.FingerHeight)
		t.frame = []block{{section: rectangle(front, low, front+float64(k.BeamDepth), low+float64(k.BeamHeight)), low: t.bed[0], high: t.bed[1], around: float64(k.Clearance.Bar)}}
	}
}

func shifted(g geom.Polygon, y, z float64) geom.Polygon {
	out := make(geom.Polygon, len(g))
	for i, p := range g {
		out[i] = geom.Point2{X: p.X + y, Y: p.Y + z}
	}
	return out
}

func rectangle(y0, z0, y1, z1 float64) geom.Polygon {
	return geom.Polygon{{X: y0, Y: z0}, {X: y1, Y: z0}, {X: y1, Y: z1}, {X: y0, Y: z1}}
}

// enters reports whether a shape reaches into a block that is grown by so much.
func (s *shape) enters(j *block, section []plane, beside float64) bool {
	if low, high := s.low.X, s.high.X; high <= j.low-beside || low >= j.high+beside {
		return false
	}
	low, high, ok := s.within(section)
	return ok && high > j.low-beside && low < j.high+beside
}

// meets tells what of the part runs into the brake during the swing, or nothing;
// by so much more than asked everything must stay clear.
func (t *setting) meets(more float64) string {
	for i := range t.moments {
		m := &t.moments[i]
		if hit := t.meetsFrame(m, slack(m.rolled)-more); hit != "" {
			return hit
		}
	}
	return t.once(fmt.Sprint("meets", more), func() string { return t.meetsBlocks(more) })
}

func (t *setting) says(m *moment, s *shape, what string) string {
	return fmt.Sprintf("%s is in the %s at %.1f degrees (rolled %v)", t.blank.Faces[s.face].ID, what, m.angle*180/math.Pi, m.rolled)
}

// meetsFrame asks about bed, leaf and beam.
func (t *setting) meetsFrame(m *moment, less float64) string {
	k, clear := t.brake, float64(t.brake.Clearance.BedAndLeaf)-less
	bed := block{low: t.bed[0], high: t.bed[1]}
	bedSection := rectangle(0, -float64(k.Bed.Height), float64(k.Bed.Depth), 0)
	sin, cos := math.Sincos(m.angle)
	leaf := make(geom.Polygon, 0, 4)
	for _, p := range rectangle(-float64(k.Leaf.Face(t.leaf)), -float64(k.Leaf.Thickness), 0, 0) {
		leaf = append(leaf, geom.Point2{X: p.X*cos + p.Y*sin, Y: -p.X*sin + p.Y*cos})
	}
	inBed, inLeaf, own := grown(bedSection, clear), grown(leaf, clear), grown(bedSection, -hairs)
	lies := m.lies()
	for i := range m.shapes {
		s := &m.shapes[i]
		low, high := s.low.Z, s.high.Z
		near := s.low.Y
		switch flatOnBed := !s.swings && low > -hairs && high < t.thick+hairs; {
		case flatOnBed && near > -hairs:
		case s.own && m.rolled:
			if s.enters(&bed, own, 0) {
				return t.says(m, s, "bed")
			}
		case s.own && s.swings:
			if s.enters(&bed, grown(bedSection, -slack(false)), 0) {
				return t.says(m, s, "bed")
			}
		case low < -hairs && s.enters(&bed, inBed, 0), s.swings && !s.own && s.enters(&bed, inBed, 0):
			return t.says(m, s, "bed")
		}
		switch {
		case s.swings && (s.own || s.zone || offLeaf(s, m.angle) > lies-hairs), !s.swings && low > -hairs && near > -hairs && high < t.thick+hairs:
		case !s.swings && m.angle > t.target && t.cornered(s):
		case s.enters(&bed, inLeaf, 0):
			return t.says(m, s, "leaf")
		}
		for b := range t.frame {
			if s.enters(&t.frame[b], grown(t.frame[b].section, t.frame[b].around-less), 0) {
				return t.says(m, s, "beam")
			}
		}
	}
	return ""
}

// offLeaf is how far a shape stands off the plane of the leaf's face, below 0 where
// it reaches through it.
func offLeaf(s *shape, angle float64) float64 {
	sin, cos := math.Sincos(angle)
	low, _ := s.span(func(p geom.Point3) float64 { return p.Y*sin + p.Z*cos })
	return low
}

// lies is how far the flat that is bent stands off the leaf: past a right angle a bend
// that rolls up evenly would push it through.
func (m *moment) lies() float64 {
	low := 0.0
	for i := range m.shapes {
		if s := &m.shapes[i]; s.own && s.swings && !s.zone {
			low = min(low, offLeaf(s, m.angle))
		}
	}
	return low
}

// cornered reports whether a shape stands along the bend or at a corner of it, where
// formed corners give beyond the target.
func (t *setting) cornered(s *shape) bool {
	low, high := s.low.X, s.high.X
	return high > -25 && low < t.length+25
}

// meetsBlocks asks about bar and fingers.
func (t *setting) meetsBlocks(more float64) string {
	for i := range t.blocks {
		j := &t.blocks[i]
		var sections, touching [2][]plane // by way of moving
		for k, rolled := range [2]bool{false, true} {
			sections[k], touching[k] = grown(j.section, j.around-slack(rolled)+more), grown(j.section, more-slack(rolled))
		}
		for n := range t.moments {
			m, k := &t.moments[n], 0
			if m.rolled {
				k = 1
			}
			if s := t.meetsBlock(m, j, sections[k], touching[k]); s != nil {
				return t.says(m, s, t.bar.Name+" bar")
			}
		}
	}
	return ""
}

// meetsBlock gives what enters a block at a moment, or nil. The flat that is bent may
// come right up to it.
func (t *setting) meetsBlock(m *moment, j *block, section, touching []plane) *shape {
	for n := range m.shapes {
		s := &m.shapes[n]
		in, beside := section, j.beside-hairs
		switch {
		case !s.swings && s.high.Z < t.thick+hairs:
			continue
		case s.own && s.swings:
			in, beside = touching, 0
		}
		if s.zone {
			beside = min(0, beside) - hairs
		}
		if s.enters(j, in, beside) {
			return s
		}
	}
	return nil
}

// touches tells which two faces run into each other on the way to the target.
func (s *scene) touches() string {
	for i := range s.moments {
		m := &s.moments[i]
		if m.angle > s.target {
			break
		}
		for _, a := range m.shapes {
			if !a.swings || a.core == nil {
				continue
			}
			for _, b := range m.shapes {
				if b.swings || b.core == nil || a.own && b.own && s.hinged(a.face, b.face) {
					continue
				}
				if geom.Separation(a.core, b.core) == 0 {
					return fmt.Sprintf("%s runs into %s at %.1f degrees (rolled %v)", s.blank.Faces[a.face].ID, s.blank.Faces[b.face].ID, m.angle*180/math.Pi, m.rolled)
				}
			}
		}
	}
	return ""
}

// hinged reports whether the bend of the scene joins two faces.
func (s *scene) hinged(a, b int) bool {
	for _, k := range s.joints {
		if f := s.blank.Joints[k].Faces; f == [2]int{a, b} || f == [2]int{b, a} {
			return true
		}
	}
	return false
}
