package calc

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/unit"
)

// shop answers the questions of calc/order for one part on one brake.
type shop struct {
	plan       *Plan
	operations [][]int
	benches    [][2]*clash.Bench
	known      map[question]answer
	ways       []way // by Action.Detail
	shelves    []*clamp.Shelf
}

type question struct {
	made order.Made
	next int
}

type answer struct {
	actions []order.Action
	reasons []order.Reason
}

// way is one way to make one bend, as the step will print it.
type way struct {
	bench     *clash.Bench
	made      fold.Made
	bar       int
	segments  []clamp.Segment
	leaf      brake.Slimness
	place     Place
	slideOut  string
	packing   bool
	clearance float64
	between   [2]string
	static    float64 // minutes a piece that do not depend on the step before
}

func newShop(p *Plan) *shop {
	s := &shop{plan: p, operations: operations(p.Blank), known: map[question]answer{}}
	for _, bar := range p.Brake.Bars {
		s.shelves = append(s.shelves, clamp.NewShelf(bar))
	}
	for _, joints := range s.operations {
		over := p.Bends[joints[0]].Springback
		s.benches = append(s.benches, [2]*clash.Bench{
			clash.NewBench(p.Blank, p.Brake, joints, 0, over),
			clash.NewBench(p.Blank, p.Brake, joints, 1, over),
		})
	}
	return s
}

// joints turns a set of operations into the set of joints they bend.
func (s *shop) joints(made order.Made) fold.Made {
	var out fold.Made
	for i, joints := range s.operations {
		if made.Has(i) {
			for _, j := range joints {
				out = out.With(j)
			}
		}
	}
	return out
}

// Actions implements order.Shop.
func (s *shop) Actions(made order.Made, next int) ([]order.Action, []order.Reason) {
	q := question{made, next}
	a, ok := s.known[q]
	if !ok {
		a = s.ask(q)
		s.known[q] = a
	}
	return a.actions, a.reasons
}

func (s *shop) ask(q question) answer {
	var out answer
	for side := range 2 {
		t := s.newTrial(q, side)
		t.run()
		out.actions = append(out.actions, t.actions...)
		out.reasons = append(out.reasons, t.reasons...)
	}
	return out
}

// trial looks for every way to make one bend with one side clamped.
type trial struct {
	shop    *shop
	q       question
	side    int
	bench   *clash.Bench
	made    fold.Made
	bend    bend.Bend
	stop    unit.Deg // as a bend angle
	actions []order.Action
	reasons []order.Reason
}

func (s *shop) newTrial(q question, side int) *trial {
	bench := s.benches[q.next][side]
	joint := s.operations[q.next][0]
	return &trial{
		shop: s, q: q, side: side, bench: bench, made: s.joints(q.made),
		bend: s.plan.Blank.Joints[joint].Bend,
		stop: s.plan.Bends[joint].Bend.Angle + s.plan.Bends[joint].Springback,
	}
}

// no notes why a way is not possible.
func (t *trial) no(format string, values ...any) {
	id := t.shop.plan.Blank.Joints[t.bench.Joints[0]].ID
	clamped := t.shop.plan.Blank.Faces[t.bench.Root()].ID
	text := fmt.Sprintf("bend %s, clamping %s: ", id, clamped) + fmt.Sprintf(format, values...)
	t.reasons = append(t.reasons, order.Reason{Bend: t.q.next, Text: text})
}

// run tries everything that fits between the part and the brake.
func (t *trial) run() {
	if !t.sizes() || !t.contact() {
		return
	}
	for _, leaf := range []brake.Slimness{brake.Full, brake.Slim} {
		if t.leafHolds(leaf) {
			for bar := range t.shop.plan.Brake.Bars {
				t.tryBar(leaf, bar)
			}
		}
	}
}

// sizes asks what does not depend on bars: the leaf's reach, the flange that
// swings and the strip that is clamped.
func (t *trial) sizes() bool {
	k := t.shop.plan.Brake
	clamped, swinging := t.bench.Across()
	flange := swinging + t.bend.OutsideSetback()
	switch {
	case t.stop > k.Leaf.MaxAngle:
		t.no("the stop at %s degrees is beyond the %s the leaf reaches", t.stop.Text(1), k.Leaf.MaxAngle.Text(1))
	case t.bench.Length > k.UsableLength:
		t.no("the bend is %s mm long, the brake takes %s", t.bench.Length.Text(1), k.UsableLength.Text(1))
	case flange < t.bend.LeastFlange()-unit.MM(tiny):
		t.no("the flange that swings is %s mm, too short for the leaf to turn; %s or more is needed", flange.Text(1), t.bend.LeastFlange().Text(1))
	case clamped < k.LeastClampedStrip-unit.MM(tiny):
		t.no("only %s mm would lie under the bar, %s or more is needed", clamped.Text(1), k.LeastClampedStrip.Text(1))
	default:
		return true
	}
	return false
}

// tiny forgives rounding where two sizes are compared, in millimetres.
const tiny = 1e-6

// contact asks whether the part runs into itself.
func (t *trial) contact() bool {
	faces := t.shop.plan.Blank.Faces
	for i := range faces {
		for j := range faces {
			if !t.bench.Swings(i) || t.bench.Swings(j) {
				continue
			}
			if hit, angle := t.bench.Pair(i, j, t.made); hit {
				t.no("%s runs into %s at %s degrees", faces[i].ID, faces[j].ID, angle.Text(0))
				return false
			}
		}
	}
	return true
}

func (t *trial) leafHolds(leaf brake.Slimness) bool {
	k := t.shop.plan.Brake
	if leaf == brake.Full {
		return true
	}
	if k.Leaf.SlimFace == 0 || k.Leaf.SlimRating == 0 {
		return false
	}
	fit := bend.FitsSlimLeaf(k.EquivalentThickness(t.shop.plan.Blank.Sheet), t.bench.Length, bend.Rating{T: k.Leaf.SlimRating, Length: k.RatingLength, Cap: k.RatingCap})
	if !fit.OK {
		t.no("the slim leaf is too weak: %s", fit.Why)
	}
	return fit.OK
}

// blocked collects what every face blocks of one body of the brake.
func (t *trial) blocked(of func(face int) *clash.Reach) (spans []clamp.Span, culprit string, angle unit.Deg) {
	for f := range t.shop.plan.Blank.Faces {
		for _, b := range of(f).Blocked {
			spans = append(spans, clamp.Span{Low: b.Low, High: b.High})
			if culprit == "" {
				culprit, angle = t.shop.plan.Blank.Faces[f].ID, b.Angle
			}
		}
	}
	return clamp.Merge(spans), culprit, angle
}

// strong asks the bar's rating and its own limit of angle.
func (t *trial) strong(bar brake.Bar) bool {
	k := t.shop.plan.Brake
	if bar.MaxAngle > 0 && t.stop > bar.MaxAngle {
		t.no("%s: the stop at %s degrees is beyond its %s", barName(bar), t.stop.Text(1), bar.MaxAngle.Text(1))
		return false
	}
	if bar.Kind == brake.Round && math.Abs(float64(bar.OutsideRadius-t.bend.Radius)) > 0.05*float64(t.bend.Radius) {
		return false
	}
	rating := bend.Rating{T: bar.Rating, Length: k.RatingLength, Cap: k.RatingCap}
	thickness := k.EquivalentThickness(t.shop.plan.Blank.Sheet)
	fit := bend.FitsSegments(thickness, rating)
	if bar.Kind != brake.Segments {
		fit = bend.FitsFull(thickness, t.bench.Length, rating)
	}
	if !fit.OK {
		t.no("%s: too weak: %s", barName(bar), fit.Why)
	}
	return fit.OK
}

// barName names a bar in reasons.
func barName(b brake.Bar) string {
	if b.Kind == brake.Segments {
		return b.Name
	}
	return b.Name + " bar"
}

// tryBar tries a bar at every place along the brake and keeps the first that
// works: the places come in order of preference.
func (t *trial) tryBar(leaf brake.Slimness, index int) {
	bar := t.shop.plan.Brake.Bars[index]
	if !t.strong(bar) {
		return
	}
	for _, place := range Places {
		w := way{bench: t.bench, made: t.made, bar: index, leaf: leaf, place: place}
		if t.fits(&w, bar) {
			t.keep(w)
			return
		}
	}
}

// keep adds a way as an action.
func (t *trial) keep(w way) {
	s := t.shop
	s.cost(&w)
	joint := s.plan.Blank.Joints[t.bench.Joints[0]]
	across := joint.Across
	if t.side == 1 {
		across = across.Times(-1)
	}
	up, heading := "A", wrap(-90-direction(across.X, across.Y))
	if !joint.Up() {
		up, heading = "B", wrap(direction(across.X, across.Y)-90)
	}
	t.actions = append(t.actions, order.Action{
		Setup: order.Setup{
			Bar: s.plan.Brake.Bars[w.bar].Name, Segments: segmentKey(w.segments), Leaf: string(w.leaf),
			FaceUp: up, Heading: heading, Stop: int64(s.plan.Brake.Scale.Stop(t.stop).CentiDeg()),
		},
		Bend: t.q.next, Side: t.side, Place: string(w.place), Detail: len(s.ways),
	})
	s.ways = append(s.ways, w)
}

// segmentKey tells finger sets apart.
func segmentKey(segments []clamp.Segment) string {
	var b strings.Builder
	for i, s := range segments {
		if i > 0 {
			b.WriteByte('+')
		}
		b.WriteString(s.Width.Text(2))
	}
	return b.String()
}

// blocked words why no order was found.
func (s *shop) blocked(stuck []order.Stuck) []Blocked {
	var out []Blocked
	for _, st := range stuck {
		b := Blocked{}
		seen := map[string]bool{}
		left := map[string]bool{}
		for _, r := range st.Reasons {
			id := s.plan.Blank.Joints[s.operations[r.Bend][0]].ID
			if !left[id] {
				left[id] = true
				b.Bends = append(b.Bends, id)
			}
			if !seen[r.Text] {
				seen[r.Text] = true
				b.Why = append(b.Why, s.after(st.Made)+r.Text)
			}
		}
		out = append(out, b)
	}
	return out
}

// after names the bends already made.
func (s *shop) after(made order.Made) string {
	var ids []string
	for i, joints := range s.operations {
		if made.Has(i) {
			ids = append(ids, s.plan.Blank.Joints[joints[0]].ID)
		}
	}
	if ids == nil {
		return ""
	}
	return "after " + strings.Join(ids, ", ") + ": "
}
