package clash

import (
	"math"

	"brakeside/calc/brake"
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
	Top    float64
	Depth  float64 // how far it reaches into what it blocks, where that is known
}

// Reach is what one face does to one body of the brake.
type Reach struct {
	Blocked []Span
	Least   float64 // smallest distance of what does not block, in millimetres, where it was measured
}

func newReach() Reach { return Reach{Least: math.Inf(1)} }

// note adds the outcome for one body of the part.
func (r *Reach) note(p pass, s subject) {
	if !p.hit {
		r.Least = min(r.Least, p.least)
		return
	}
	low, high := geom.Span(s.body, alongX)
	_, top := heights(s.shadow)
	r.Blocked = append(r.Blocked, Span{low, high, unit.FromRad(p.angle), !s.swings, top - s.thick, p.depth})
}

// subject is one body of the part.
type subject struct {
	body    []geom.Point3 // when the bend is finished
	begun   []geom.Point3 // before it is begun
	shadow  geom.Polygon  // when the bend is finished
	start   geom.Polygon  // before it is begun
	next    bool          // it touches bed or leaf rightly
	zone    bool          // it is part of a bend zone
	swings  bool
	thick   float64  // of the sheet
	nearest *float64 // see Measure; nil when only what blocks is wanted
}

// nearer keeps the smallest distance met so far.
func (s subject) nearer(r *Reach) {
	if s.nearest != nil {
		*s.nearest = min(*s.nearest, r.Least)
	}
}

// subjects lists the bodies of a face.
func (b *Bench) subjects(face int, made fold.Made) []subject {
	finished, plates := b.bodies(face, b.target(made))
	begun := finished
	if b.swinging[face] {
		begun, _ = b.bodies(face, b.start(made))
	}
	out := make([]subject, len(finished))
	for i, body := range finished {
		out[i] = subject{body: body, shadow: shadow(body), next: b.next(face) && i < plates, zone: i >= plates, swings: b.swinging[face], thick: float64(b.Blank.Sheet.Thickness)}
		out[i].start, out[i].begun = out[i].shadow, begun[i]
		if b.swinging[face] {
			out[i].start = shadow(begun[i])
		}
		if b.swinging[face] && !out[i].next {
			out[i].shadow = b.pushed(out[i].shadow)
		}
	}
	return out
}

// pushed covers where what hangs on the swinging face may come to lie at the
// target. Up to a right angle the outer faces of both legs meet on the hinge.
// Beyond, the bend lies nearer to the hinge than that, and the leaf, which turns
// about the hinge, either pushes the finished side in by what is missing or
// draws the whole bend back.
func (b *Bench) pushed(g geom.Polygon) geom.Polygon {
	first := b.Blank.Joints[b.Joints[0]].Bend
	if b.Target <= 90 {
		return g
	}
	sin, cos := math.Sincos(b.Target.Rad())
	in := float64(first.Radius+first.Thickness) * (1 - sin - cos)
	back := float64(first.OutsideSetback()) - b.tangent
	return cover(g, cover(moved(g, in*sin, in*cos), moved(g, back, 0)))
}

// heights tells how far a shadow reaches down and up.
func heights(g geom.Polygon) (low, high float64) {
	l, h := geom.Bounds(g...)
	return l.Y, h.Y
}

// bed: what stays above the bed's face cannot meet it.
func (b *Bench) bed(r *Answer, s subject) {
	bed := geom.Polygon{{X: 0, Y: -float64(b.Brake.Bed.Height)}, {X: float64(b.Brake.Bed.Depth), Y: -float64(b.Brake.Bed.Height)}, {X: float64(b.Brake.Bed.Depth)}, {}}
	clear := float64(b.Brake.Clearance.BedAndLeaf)
	if s.next {
		b.behind(r, s, bed)
		return
	}
	if s.swings {
		r.Bed.note(b.swing(s, bed, clear), s)
		return
	}
	if low, _ := heights(s.shadow); low < -geom.Near {
		r.Bed.note(s.still(bed, clear), s)
	}
}

// behind tests what of a face at the bend would be driven into the bed: sheet
// beside the bend that reaches back behind the hinge and swings all the same.
func (b *Bench) behind(r *Answer, s subject, bed geom.Polygon) {
	own := max(0, b.tangent-2*b.Blank.Joints[b.Joints[0]].Half())
	if _, high := geom.Bounds(s.start...); s.swings && high.X > own+geom.Near {
		r.Bed.note(turning(s.start, bed, 0, b.Swept.Rad(), 0, s.nearest), s)
	}
}

// swing follows a shadow from flat to the end of the swing. The swinging side
// slides outwards on the leaf while the bend closes; how far it has come in
// between is not certain, so all places from the first to where an even slide
// would have brought it are covered.
func (b *Bench) swing(s subject, obstacle geom.Polygon, clear float64) pass {
	target := b.Target.Rad()
	sin, cos := math.Sincos(target)
	slid := func(angle float64) geom.Polygon { // angle counts from the target
		back := b.slide * max(0, -angle/target)
		return s.shadow.Swept(geom.Point2{X: back * cos, Y: -back * sin})
	}
	whole := slid(-target)
	if s.nearest == nil && tooFar(whole, obstacle, clear) {
		return pass{least: math.Inf(1)}
	}
	return motion{
		at:    func(angle float64) geom.Polygon { return turned(slid(angle), angle) },
		still: obstacle, from: -target, to: (b.Swept - b.Target).Rad(), clearance: clear,
		radius:  farthest(whole) + b.slide/target,
		nearest: s.nearest,
	}.pass().since(b.Target)
}

// since counts the angle from the beginning of a swing that ends at target.
func (p pass) since(target unit.Deg) pass {
	p.angle += target.Rad()
	return p
}

// still compares the shadow of a body with one that it does not move against.
func (s subject) still(b geom.Polygon, clear float64) pass {
	return still(s.shadow, b, clear, s.nearest != nil)
}

func still(a, b geom.Polygon, clear float64, measured bool) pass {
	if !measured && geom.BoxGap(a, b) > clear {
		return pass{least: math.Inf(1)}
	}
	d := geom.Apart(a, b)
	p := pass{least: d, hit: d < clear-geom.Near || d == 0}
	if d == 0 {
		p.depth = geom.Sunk(a, b)
	}
	return p
}

// leaf: the swinging side lies on the leaf and slides on it a little, the
// clamped side must stay out of its way. At a corner the leaf pushes the swinging
// wall between itself and clamped walls, so beyond the target they give: that is
// the caution about corner room, not a collision. Away from the bend it is one,
// up to the stop. A bend that runs off the leaf's edge rests on it with its curve;
// what hangs behind it must be clear.
func (b *Bench) leaf(r *Answer, s subject) {
	clear, down := float64(b.Brake.Clearance.BedAndLeaf), float64(b.Brake.Leaf.Thickness)
	for k, form := range []brake.Slimness{brake.Full, brake.Slim} {
		face := float64(b.Brake.Leaf.Face(form))
		leaf := geom.Polygon{{X: -face, Y: -down}, {X: 0, Y: -down}, {}, {X: -face}}
		if s.swings {
			if low, _ := heights(s.start); low < -geom.Near && !s.zone {
				r.Leaf[k].note(still(b.sliding(s.start), leaf, clear, s.nearest != nil), s)
			}
			continue
		}
		if b.flatBehind(s.shadow) {
			continue
		}
		end := b.Swept
		if b.cornered(s) {
			end = b.Target
		}
		r.Leaf[k].note(turning(leaf, s.shadow, 0, end.Rad(), clear, s.nearest), s)
	}
}

// cornerReach is how far beside the end of a bend a wall still counts as standing
// at its corner, in millimetres: a corner cut and the gap between two walls.
const cornerReach = 25

// cornered reports whether a body lies along the bend or at a corner of it.
func (b *Bench) cornered(s subject) bool {
	low, high := geom.Span(s.body, alongX)
	return high > -cornerReach && low < float64(b.Length)+cornerReach
}

// flatBehind reports whether a body lies flat on the bed behind the hinge.
func (b *Bench) flatBehind(g geom.Polygon) bool {
	low, high := geom.Bounds(g...)
	return low.X > -geom.Near && low.Y > -geom.Near && high.Y < float64(b.Blank.Sheet.Thickness)+geom.Near
}

// sliding covers a shadow and where it slides to on the leaf.
func (b *Bench) sliding(g geom.Polygon) geom.Polygon {
	points := append([]geom.Point2(nil), g...)
	for _, p := range g {
		points = append(points, geom.Point2{X: p.X - b.slide, Y: p.Y})
	}
	return geom.Hull(points)
}

// Pair tells whether a swinging face meets a clamped one on the way to the
// target angle; the angle is where.
func (b *Bench) Pair(swinging, clamped int, made fold.Made) (hit bool, angle unit.Deg) {
	m := b.pairs[swinging][clamped]
	if m == nil {
		m = newMemo[pass](b.route(b.tree.Path[swinging] | b.tree.Path[clamped]))
		b.pairs[swinging][clamped] = m
	}
	p := m.get(made, func() *pass {
		p := b.pair(swinging, clamped, made)
		return &p
	})
	return p.hit, unit.FromRad(p.angle)
}

func (b *Bench) pair(swinging, clamped int, made fold.Made) pass {
	if b.joined(swinging, clamped) {
		return pass{least: math.Inf(1)}
	}
	worst := pass{least: math.Inf(1)}
	for _, m := range b.eroded(swinging, b.target(made)) {
		for _, s := range b.eroded(clamped, b.target(made)) {
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
