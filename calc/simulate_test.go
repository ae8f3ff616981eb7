package calc_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// unsupportedEnd is how much of a bend may stick out past the end of the bar, in
// millimetres (common practice, no source).
const unsupportedEnd = 8

// rehearsal plays a step of a plan through in space, in small steps of angle, from
// nothing but what the step prints: no table, no shadow, no careful advance. The
// bend curls evenly from the clamped tangent on, which is not how the planner
// moves the part, so nothing that both take for free is free by the same mistake.
type rehearsal struct {
	plan  *process.Plan
	step  process.Step
	made  fold.Made
	tree  *fold.Tree
	place geom.Frame // from the blank to the brake
	thick float64
}

func rehearse(p *process.Plan, s process.Step, made fold.Made) *rehearsal {
	r := &rehearsal{plan: p, step: s, made: made, thick: float64(p.Blank.Sheet.Thickness)}
	root := p.Blank.FaceIndex(s.Clamped)
	r.tree = fold.NewTree(p.Blank, root)
	j := p.Blank.Joints[s.Joints[0]]
	ahead := j.Across
	if j.Faces[1] == root {
		ahead = ahead.Times(-1)
	}
	back, up, floor := geom.Point3{X: -ahead.X, Y: -ahead.Y}, geom.Point3{Z: 1}, 0.0
	if !j.Up() {
		up, floor = geom.Point3{Z: -1}, r.thick
	}
	right := back.Cross(up)
	turn := geom.Frame{X: right, Y: back, Z: up}.Inverse()
	low := math.Inf(1)
	for _, k := range s.Joints {
		for _, q := range p.Blank.Joints[k].Line {
			low = min(low, turn.Turn(geom.Point3{X: q.X, Y: q.Y}).X)
		}
	}
	line := turn.Turn(geom.Point3{X: j.Line[0].X, Y: j.Line[0].Y}).Y
	tangent := float64(min(j.Bend.OutsideSetback(), j.Bend.Radius+j.Bend.Thickness))
	turn.Origin = geom.Point3{X: -low, Y: tangent - j.Half() - line, Z: floor}
	r.place = turn
	return r
}

// frames places every face when a share of the bend has been made.
func (r *rehearsal) frames(share float64) []geom.Frame {
	out := make([]geom.Frame, len(r.plan.Blank.Faces))
	out[r.tree.Root] = r.place
	for _, f := range r.tree.Order[1:] {
		hinge := geom.Fixed
		via := r.tree.Via[f]
		switch own := crossed(fold.Made(0).With(via), r.step.Joints) == 1; {
		case own:
			j := r.plan.Blank.Joints[via]
			across := j.Across
			if j.Faces[1] == r.tree.Up[f] {
				across = across.Times(-1)
			}
			hinge = fold.Curl(j, across, share)
		case r.made.Has(via):
			hinge = r.tree.Hinge(f, r.made)
		}
		out[f] = hinge.Then(out[r.tree.Up[f]])
	}
	return out
}

// plate is one body of a face in space.
type plate struct {
	face   int
	body   []geom.Point3
	core   []geom.Point3 // without a skin of what formed corners give, nil when nothing is left
	swings bool
	own    bool // it is bounded by the bend itself
	flush  bool // it lies flat with the clamped or with the swinging face
}

func (r *rehearsal) plates(share float64) []plate {
	frames := r.frames(share)
	var out []plate
	for f, face := range r.plan.Blank.Faces {
		path := r.tree.Path[f]
		folded := path & r.made
		for _, k := range r.step.Joints {
			folded &^= 1 << k
		}
		own := false
		for _, k := range r.step.Joints {
			j := r.plan.Blank.Joints[k]
			own = own || j.Faces[0] == f || j.Faces[1] == f
		}
		for _, g := range face.Solid {
			p := plate{face: f, swings: crossed(path, r.step.Joints)%2 == 1, own: own, flush: folded == 0}
			p.body = geom.Placed(geom.Prism(g, 0, r.thick), frames[f])
			skin := float64(r.plan.Brake.PartContactAllowance)/2 + grain
			if inner := g.Inset(skin); inner != nil {
				p.core = geom.Placed(geom.Prism(inner, min(skin, 0.45*r.thick), r.thick-min(skin, 0.45*r.thick)), frames[f])
			}
			out = append(out, p)
		}
	}
	return out
}

func cuboid(low, high geom.Point3) []geom.Point3 {
	return geom.Prism(geom.Polygon{{X: low.X, Y: low.Y}, {X: high.X, Y: low.Y}, {X: high.X, Y: high.Y}, {X: low.X, Y: high.Y}}, low.Z, high.Z)
}

// bars are the bodies of the bar, or of the fingers, moved along by shift.
func (r *rehearsal) bars(span [2]float64) [][]geom.Point3 {
	spans := [][2]float64{span}
	if r.step.Bar.Kind == brake.Segments {
		spans = nil
		for _, g := range r.step.Segments {
			spans = append(spans, [2]float64{float64(g.At), float64(g.At + g.Width)})
		}
	}
	var out [][]geom.Point3
	for _, s := range spans {
		out = append(out, extruded(r.step.Bar.Section, s[0], s[1], float64(r.step.NoseSetback), r.thick))
	}
	return out
}

// grain is how much nearer than their clearance bodies may come in a rehearsal:
// its bend moves a little differently.
const grain = 0.2

// meets tells what of the part runs into the brake when brake and bar reach over
// these stretches, or nothing.
func (r *rehearsal) meets(brakeSpan, barSpan [2]float64) string {
	k := r.plan.Brake
	bed := cuboid(geom.Point3{X: brakeSpan[0], Y: grain, Z: -float64(k.Bed.Height)}, geom.Point3{X: brakeSpan[1], Y: float64(k.Bed.Depth), Z: -grain})
	leaf := cuboid(geom.Point3{X: brakeSpan[0], Y: -float64(k.Leaf.Face(r.step.Leaf)), Z: -float64(k.Leaf.Thickness)}, geom.Point3{X: brakeSpan[1], Y: 0, Z: -1})
	bars := r.bars(barSpan)
	steps := int(math.Ceil(float64(r.step.Target) / 3))
	for i := 0; i <= steps; i++ {
		share := float64(i) / float64(steps)
		turn := geom.Rotation(geom.Point3{}, geom.Point3{X: -1}, r.step.Target.Rad()*share)
		raised := geom.Placed(leaf, turn)
		for _, p := range r.plates(share) {
			if name := r.plan.Blank.Faces[p.face].ID; !p.flush || p.own {
				if !(p.own && p.flush) && geom.Separation(p.body, bed) == 0 {
					return fmt.Sprintf("%s is in the bed at %.0f degrees", name, share*float64(r.step.Target))
				}
				if !(p.own && p.swings) && geom.Separation(p.body, raised) == 0 {
					return fmt.Sprintf("%s is in the leaf at %.0f degrees", name, share*float64(r.step.Target))
				}
			}
			if p.own || p.flush && !p.swings {
				continue
			}
			for _, b := range bars {
				if geom.Separation(p.body, b) == 0 {
					return fmt.Sprintf("%s is in the bar at %.0f degrees", r.plan.Blank.Faces[p.face].ID, share*float64(r.step.Target))
				}
			}
		}
	}
	return ""
}

// inCurve tells in which bend made before a finger stands, or none. The rounded
// corners, which no plate has, are met here as the finished bend has them.
func (r *rehearsal) inCurve() string {
	const set, lifted = 0.03, 0.005 // mm by which fingers are set by hand, and off the sheet they lie on
	if r.step.Bar.Kind != brake.Segments {
		return ""
	}
	frames := r.frames(1)
	for _, f := range r.tree.Order[1:] {
		via := r.tree.Via[f]
		j := r.plan.Blank.Joints[via]
		across := j.Across
		if j.Faces[1] == r.tree.Up[f] {
			across = across.Times(-1)
		}
		if !r.made.Has(via) || crossed(fold.Made(0).With(via), r.step.Joints) == 1 {
			continue
		}
		for _, zone := range fold.Zone(j, across, true) {
			curve := geom.Placed(zone, frames[r.tree.Up[f]])
			for i, g := range r.step.Segments {
				low, high := float64(g.At)+set, float64(g.At+g.Width)-set
				if geom.Separation(curve, extruded(r.step.Bar.Section, low, high, float64(r.step.NoseSetback), r.thick+lifted)) == 0 {
					return fmt.Sprintf("finger %d stands in the curve of bend %s", i, j.ID)
				}
			}
		}
	}
	return ""
}

// extruded is a section of a bar between two places along the brake.
func extruded(section geom.Polygon, low, high, back, up float64) []geom.Point3 {
	var out []geom.Point3
	for _, p := range section {
		for _, x := range []float64{low, high} {
			out = append(out, geom.Point3{X: x, Y: p.X + back, Z: p.Y + up})
		}
	}
	return out
}

// touches tells which two faces of the part run into each other while one side
// swings, or nothing.
func (r *rehearsal) touches() string {
	steps := int(math.Ceil(float64(r.step.Target) / 3))
	for i := 0; i <= steps; i++ {
		plates := r.plates(float64(i) / float64(steps))
		for _, p := range plates {
			for _, q := range plates {
				if p.swings && !q.swings && !(p.own && q.own) && p.core != nil && q.core != nil && geom.Separation(p.core, q.core) == 0 {
					return fmt.Sprintf("%s runs into %s", r.plan.Blank.Faces[p.face].ID, r.plan.Blank.Faces[q.face].ID)
				}
			}
		}
	}
	return ""
}

// struck tells what of the clamped side, away from the bend, the leaf strikes
// beyond the target on its way to the stop, or nothing.
func (r *rehearsal) struck(brakeSpan [2]float64) string {
	k := r.plan.Brake
	leaf := cuboid(geom.Point3{X: brakeSpan[0], Y: -float64(k.Leaf.Face(r.step.Leaf)), Z: -float64(k.Leaf.Thickness)}, geom.Point3{X: brakeSpan[1], Y: 0, Z: 0})
	raised := geom.Placed(leaf, geom.Rotation(geom.Point3{}, geom.Point3{X: -1}, r.step.StopBend.Rad()))
	for _, p := range r.plates(1) {
		low, high := geom.Span(p.body, func(q geom.Point3) float64 { return q.X })
		if aside := high < -25 || low > float64(r.step.Length)+25; aside && !p.swings && !p.own && geom.Separation(p.body, raised) == 0 {
			return fmt.Sprintf("%s is struck by the leaf at the stop", r.plan.Blank.Faces[p.face].ID)
		}
	}
	return ""
}

// free looks for a place of the brake and the bar along the bend at which nothing
// meets; it gives what is in the way at the first if there is none.
func (r *rehearsal) free() (barSpan [2]float64, meets string) {
	long, usable, bar := float64(r.step.Length), float64(r.plan.Brake.UsableLength), float64(r.step.Bar.Length)
	first := ""
	for inwards := 0.0; inwards <= unsupportedEnd; inwards += 0.25 {
		var ends, span [2]float64
		switch r.step.Place {
		case process.Middle:
			ends, span = [2]float64{(long - usable) / 2, (long + usable) / 2}, [2]float64{(long - bar) / 2, (long + bar) / 2}
		case process.PastLeft:
			ends, span = [2]float64{inwards, inwards + usable}, [2]float64{inwards, inwards + bar}
		case process.PastRight:
			ends, span = [2]float64{long - inwards - usable, long - inwards}, [2]float64{long - inwards - bar, long - inwards}
		}
		hit := r.meets(ends, span)
		if hit == "" {
			hit = r.struck(ends)
		}
		if hit == "" {
			return span, ""
		}
		if first == "" {
			first = hit
		}
		if r.step.Place == process.Middle {
			break
		}
	}
	return barSpan, first
}

// trapped tells which body of the bar cannot be taken out of the finished bend:
// drawn back and lifted, a finger also slid aside first, or slid out endwise.
func (r *rehearsal) trapped(span [2]float64) int {
	plates := r.plates(1)
	clear := func(body []geom.Point3, by geom.Point3) bool {
		moved := geom.Placed(body, geom.Shift(by))
		for _, p := range plates {
			_, top := geom.Span(p.body, func(q geom.Point3) float64 { return q.Z })
			if under := !p.swings && top < r.thick+1e-6; !under && geom.Separation(p.body, moved) == 0 {
				return false
			}
		}
		return true
	}
	way := func(body []geom.Point3, step geom.Point3, count int) bool {
		for i := range count {
			if !clear(body, step.Times(float64(i))) {
				return false
			}
		}
		return true
	}
	lifts := func(body []geom.Point3) bool { return way(body, geom.Point3{Z: 5}, 60) }
	for i, body := range r.bars(span) {
		out := way(body, geom.Point3{X: 15}, 100) || way(body, geom.Point3{X: -15}, 100)
		for back := 0.0; back <= 190 && !out; back += 5 {
			out = clear(body, geom.Point3{Y: back}) && lifts(geom.Placed(body, geom.Shift(geom.Point3{Y: back})))
		}
		for aside := -150.0; aside <= 150 && r.step.Bar.Kind == brake.Segments && !out; aside++ {
			for back := 0.0; back <= 190 && !out; back += 5 {
				by := geom.Point3{X: aside, Y: back}
				out = clear(body, by) && lifts(geom.Placed(body, geom.Shift(by)))
			}
		}
		if !out {
			return i
		}
	}
	return -1
}

// play rehearses every step of a plan.
func play(t suite.Failer, p *process.Plan) {
	t.Helper()
	made := fold.Made(0)
	for _, s := range p.Steps {
		r := rehearse(p, s, made)
		for _, k := range s.Joints {
			made = made.With(k)
		}
		if s.Bar.Kind == brake.Slotted {
			continue // where its slots come to stand is not printed
		}
		span, meets := r.free()
		if meets != "" {
			t.Errorf("%s step %d, bend %v, %s bar, %s leaf, %s: %s", p.Blank.Part.Number, s.Number, s.Bends, s.Bar.Name, s.Leaf, s.Place, meets)
			continue
		}
		if in := r.inCurve(); in != "" {
			t.Errorf("%s step %d: %s", p.Blank.Part.Number, s.Number, in)
		}
		if hit := r.touches(); hit != "" {
			t.Errorf("%s step %d, bend %v: %s", p.Blank.Part.Number, s.Number, s.Bends, hit)
		}
		if i := r.trapped(span); i >= 0 {
			t.Errorf("%s step %d, bend %v: the %s bar (body %d of it) is trapped", p.Blank.Part.Number, s.Number, s.Bends, s.Bar.Name, i)
		}
	}
}

func TestRehearseTheSuite(t *testing.T) {
	for _, name := range feasibleNames {
		play(t, suite.Plan(t, name))
	}
}

// The rehearsal finds what is known to be wrong: P2 with the full leaf, P4 with the
// wide bar, P5 with the last wall made like the first.
func TestRehearsalFindsCollisions(t *testing.T) {
	for _, test := range []struct {
		name   string
		change func(*process.Step)
		step   int
	}{
		{"P2", func(s *process.Step) { s.Leaf = brake.Full }, 1},
		{"P4", func(s *process.Step) { s.Bar = suite.Brake(t).Bars[0] }, 3},
		{"P5", func(s *process.Step) { s.Bar, s.Place = suite.Brake(t).Bars[0], process.Middle }, 3},
		{"P5", func(s *process.Step) { s.Segments[0].At -= 6 }, 3},
	} {
		plan := suite.Plan(t, test.name)
		made := fold.Made(0)
		for _, s := range plan.Steps[:test.step] {
			for _, k := range s.Joints {
				made = made.With(k)
			}
		}
		wrong := plan.Steps[test.step]
		wrong.Segments = append([]process.Segment(nil), wrong.Segments...)
		test.change(&wrong)
		if _, meets := rehearse(plan, wrong, made).free(); meets == "" {
			t.Errorf("%s with step %d made wrongly: nothing meets", test.name, test.step+1)
		}
	}
}

// The finger of P5 ends 1.5 from the face of the wall, 0.5 before a curve of 1 mm:
// moved by 0.4 it stands before the curve still, by 0.6 in it.
func TestRehearsalFindsFingersInCurves(t *testing.T) {
	plan := suite.Plan(t, "P5")
	made, last := fold.Made(0), plan.Steps[3]
	for _, s := range plan.Steps[:3] {
		for _, k := range s.Joints {
			made = made.With(k)
		}
	}
	for _, test := range []struct {
		by unit.MM
		in bool
	}{{0, false}, {-0.4, false}, {-0.6, true}, {0.4, false}, {0.6, true}} {
		moved := last
		moved.Segments = slices.Clone(last.Segments)
		for i := range moved.Segments {
			moved.Segments[i].At += test.by
		}
		if in := rehearse(plan, moved, made).inCurve(); (in != "") != test.in {
			t.Errorf("fingers moved by %v: %q", test.by, in)
		}
	}
}

func TestRehearseRandomParts(t *testing.T) {
	k := suite.Brake(t)
	rapid.Check(t, func(t *rapid.T) {
		if plan, _ := quickly(t, anyPart(t), k, calc.Options{}); plan != nil {
			play(t, plan)
		}
	})
}
