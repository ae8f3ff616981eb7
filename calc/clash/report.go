package clash

import (
	"math"

	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// Span is a stretch along the brake that a body of the part blocks.
type Span struct {
	Low, High float64
	Angle     unit.Deg // of the swing at which it is met
	// Stands tells that the body stands still on the clamped side and Top how
	// far it reaches above the sheet, in millimetres: a slotted bar may take it
	// in.
	Stands bool
	Curve  bool // the body is part of a bend zone, at the foot of what stands
	Top    float64
	Depth  float64 // how far it reaches into what it blocks, where that is known
	// From and To tell of lifting a bar how far, in millimetres, it is drawn back
	// where the body is in its way.
	From, To float64
}

// Reach is what one face does to one body of the brake.
type Reach struct {
	Blocked []Span
	Least   float64 // smallest distance of what does not block, in millimetres, where it was measured
}

// subject is one body of the part.
type subject struct {
	finished pose    // when the bend is finished
	begun    pose    // before it is begun
	swept    section // of one that swings: what it covers at the beginning of the swing, turned on to the end
	next     bool    // it touches bed or leaf rightly
	zone     bool    // it is part of a bend zone
	swings   bool
	shallow  bool     // how deep it reaches into what it blocks is not wanted
	thick    float64  // of the sheet
	nearest  *float64 // see Measure; nil when only what blocks is wanted
}

// nearer keeps the smallest distance met so far.
func (s *subject) nearer(r *Reach) {
	if s.nearest != nil {
		*s.nearest = min(*s.nearest, r.Least)
	}
}

// subjects lists the bodies of a face, until it is asked again.
func (b *Bench) subjects(face int, made fold.Made) []subject {
	bodies, plates, points := b.placed(b.points, face, b.target(made))
	out, next := b.room[:0], b.next(face)
	for i, body := range bodies {
		s := subject{
			finished: newPose(body), next: next && i < plates, zone: i >= plates,
			swings: b.swinging[face], thick: float64(b.Blank.Sheet.Thickness),
		}
		s.begun = s.finished
		out = append(out, s)
	}
	if b.swinging[face] {
		bodies, _, b.begun = b.placed(b.begun, face, b.start(made))
		for i := range out {
			out[i].begun = newPose(bodies[i])
			b.prepare(&out[i])
		}
	}
	b.points, b.room = points, out
	return out
}

// prepare works out what a swinging body covers.
func (b *Bench) prepare(s *subject) {
	if !s.next && b.Target > 90 {
		s.finished.places = b.pushed()
		s.finished.section = newSection(covering(s.finished.outline, s.finished.places))
	}
	if slid := b.slidePerRadian.Times(b.Target.Rad()); b.wrap != nil {
		s.swept = newSection(b.wrap.covers(s.finished.outline, slid, -b.Target.Rad()))
	} else {
		s.swept = newSection(s.finished.outline.Swept(slid))
	}
}

// pushed tells to where what hangs on the swinging face may be moved from where it
// comes to lie at a target past a right angle. Up to there the outer faces of both
// legs meet on the hinge. Beyond, the bend lies nearer to the hinge than that, and the
// leaf, which turns about the hinge, either pushes the finished side in by what is
// missing or draws the whole bend back.
func (b *Bench) pushed() []geom.Point2 {
	first := b.firstBend()
	sin, cos := math.Sincos(b.Target.Rad())
	in := float64(first.Radius+first.Thickness) * (1 - sin - cos)
	back := float64(first.OutsideSetback()) - b.tangent
	return []geom.Point2{{X: in * sin, Y: in * cos}, {X: back}}
}

// onLine is how far from the hinge line, or from the face of bed or sheet, an
// edge may lie and still count as lying on it, in millimetres. Edges are often
// drawn to end on the mould line beside a bend, and drawings are written to
// hundredths: rounded, the edge and the bend line are each off by as much as
// 0.007, and a short bend line turns the edges far from it by several times that.
// No sheet is sheared truer than this, and the leaf, which is laid against the
// metal, keeps more clearance.
const onLine = 0.05

// onBed: what stays above the bed's face cannot meet it.
func (b *Bench) onBed(a *Answer, s *subject) {
	clear := float64(b.Brake.Clearance.BedAndLeaf)
	switch {
	case s.next:
		b.behind(a, s)
	case s.swings:
		a.note(Bed, b.swing(s, &b.bed, clear), s, &s.finished)
	case s.finished.box.Low.Y < -onLine:
		a.note(Bed, s.still(&s.finished, &b.bed, clear), s, &s.finished)
	}
}

// behind tests what of a face at the bend would be driven into the bed: sheet
// beside the bend, as beside a tab that is not cut free, that reaches back behind the
// hinge and swings all the same. It slides out as all that swings does, and what dips
// no deeper than a hair lies on the bed.
func (b *Bench) behind(a *Answer, s *subject) {
	own := max(0, b.tangent-2*b.Blank.Joints[b.Joints[0]].Half())
	if s.swings && s.begun.box.High.X > own+onLine {
		a.note(Bed, b.swing(s, &b.below, 0), s, &s.finished)
	}
}

// swing follows a body from flat to the end of the swing. The swinging side
// slides outwards on the leaf while the bend closes; how far it has come in
// between is not certain, so all places from the first to where an even slide
// would have brought it are covered.
func (b *Bench) swing(s *subject, obstacle *section, clear float64) pass {
	if tooFar(&s.swept, obstacle, clear, s.nearest) {
		return pass{least: math.Inf(1)}
	}
	m := motion{
		moving: s.finished.outline, slide: b.slidePerRadian, wrap: b.wrap,
		still: obstacle, from: -b.Target.Rad(), to: (b.Swept - b.Target).Rad(), clearance: clear,
		radius:  s.swept.far + b.slidePerRadian.Length() + b.wrap.perRadian(),
		nearest: s.nearest,
	}
	p := m.pass()
	if p.hit {
		p.reach = m.reach(&s.finished)
	}
	return p.since(b.Target)
}

// reach is the stretch in which a body comes too near on its way; where it is drawn
// round a round bar, all of it may.
func (m *motion) reach(body *pose) Stretch {
	if m.wrap != nil {
		return body.Stretch
	}
	at := func(angle float64) (geom.Polygon, geom.Point2) {
		return appendTurned(m.turned[:0], m.still.outline, -angle), m.slide.Times(max(0, -angle))
	}
	return body.turning(at, m.from, m.to, m.clearance, min(m.radius, m.still.far+m.clearance)+m.slide.Length())
}

// since counts the angle from the beginning of a swing that ends at target.
func (p pass) since(target unit.Deg) pass {
	p.angle += target.Rad()
	return p
}

// still compares a body with a section that it does not move against.
func (s *subject) still(at *pose, g *section, clear float64) pass {
	p := still(&at.section, g, clear, s.nearest != nil, s.shallow)
	if p.hit {
		p.reach = at.into(g.outline, clear)
	}
	return p
}

func still(a, b *section, clear float64, measured, shallow bool) pass {
	if !measured && a.box.Gap(b.box) > clear {
		return pass{least: math.Inf(1)}
	}
	d := geom.Apart(a.outline, b.outline)
	p := pass{least: d, hit: d < clear-geom.Near || d == 0}
	if d == 0 && !shallow {
		p.depth = geom.Sunk(a.outline, b.outline)
	}
	return p
}

// onLeaf: the swinging side lies on the leaf and slides on it a little, the
// clamped side must stay out of its way. At a corner the leaf pushes the swinging
// wall between itself and clamped walls, so beyond the target they give: that is
// the caution about corner room, not a collision. Away from the bend it is one,
// up to the stop. A bend that runs off the leaf's edge rests on it with its curve;
// what hangs behind it must be clear.
func (b *Bench) onLeaf(a *Answer, s *subject) {
	clear := float64(b.Brake.Clearance.BedAndLeaf)
	if s.swings {
		if s.begun.box.Low.Y < -onLine && !s.zone {
			sliding := newSection(s.begun.outline.Swept(geom.Point2{X: -b.slide}))
			for i := range b.leaf {
				p := still(&sliding, &b.leaf[i], clear, s.nearest != nil, s.shallow)
				if p.hit {
					p.reach = s.begun.into(b.leaf[i].outline.Swept(geom.Point2{X: b.slide}), clear)
				}
				a.note(FullLeaf+Element(i), p, s, &s.finished)
			}
		}
		return
	}
	if b.flatBehind(&s.finished) {
		return
	}
	end := b.Swept
	if b.cornered(&s.finished) {
		end = b.Target
	}
	for i := range b.leaf {
		leaf := &b.leaf[i]
		p := turning(leaf, &s.finished.section, 0, end.Rad(), clear, s.nearest)
		if p.hit {
			at := func(angle float64) (geom.Polygon, geom.Point2) { return turned(leaf.outline, angle), geom.Point2{} }
			p.reach = s.finished.turning(at, 0, end.Rad(), clear, min(leaf.far+clear, s.finished.far))
		}
		a.note(FullLeaf+Element(i), p, s, &s.finished)
	}
}

// cornerReach is how far beside the end of a bend a wall still counts as standing
// at its corner, in millimetres: a corner cut and the gap between two walls.
const cornerReach = 25

// cornered reports whether a body lies along the bend or at a corner of it.
func (b *Bench) cornered(p *pose) bool {
	return p.High > -cornerReach && p.Low < float64(b.Length)+cornerReach
}

// flatBehind reports whether a body lies flat on the bed behind the hinge.
func (b *Bench) flatBehind(p *pose) bool {
	return p.box.Low.X > -onLine && p.box.Low.Y > -onLine && p.box.High.Y < float64(b.Blank.Sheet.Thickness)+onLine
}

// Meet reports whether a swinging face meets a clamped one on the way to the
// target angle.
func (b *Bench) Meet(swinging, clamped int, made fold.Made) bool {
	v := b.pairs[swinging][clamped]
	if v == nil {
		v = newVerdicts(b.route(b.tree.Path[swinging] | b.tree.Path[clamped]))
		b.pairs[swinging][clamped] = v
	}
	return v.get(made, func() bool { return b.pair(swinging, clamped, made).hit })
}

// MeetAt is the angle at which two faces that meet do so.
func (b *Bench) MeetAt(swinging, clamped int, made fold.Made) unit.Deg {
	return unit.FromRad(b.pair(swinging, clamped, made).angle)
}

func (b *Bench) pair(swinging, clamped int, made fold.Made) pass {
	if b.joined(swinging, clamped) {
		return pass{least: math.Inf(1)}
	}
	worst := pass{least: math.Inf(1)}
	moving, still := b.eroded(swinging, made), b.eroded(clamped, made)
	for i, m := range moving.cores {
		for k, s := range still.cores {
			if moving.boxes[i].misses(&still.boxes[k]) {
				continue
			}
			p := turningSolids(m, s, -b.Target.Rad(), 0).since(b.Target)
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

// joined reports whether one of the bends made now lies between two faces.
func (b *Bench) joined(a, c int) bool {
	for _, j := range b.Joints {
		f := b.Blank.Joints[j].Faces
		if (f[0] == a && f[1] == c) || (f[0] == c && f[1] == a) {
			return true
		}
	}
	return false
}
