package calc

import (
	"encoding/binary"
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// trial looks for every way to make one bend with one side clamped once other
// bends have been made.
type trial struct {
	shop  *shop
	op    int
	side  int
	bench *clash.Bench
	made  fold.Made
	bend  bend.Bend
	stop  unit.Deg // as a bend angle
	ways  []way

	trying way
	gauged *bool // whether it is gauged from another bend, once known

	desk

	tools   []int // the bars to try
	exact   bool  // the answers are those of this very set of bends
	measure bool  // how near things come is wanted too; for one bar only
	wordy   bool  // reasons are worded; only when somebody asks
	reasons []order.Reason
}

// way is one way to make one bend.
type way struct {
	bar       int
	segments  []clamp.Segment
	leaf      brake.Slimness
	place     Place
	key       string // of the fingers
	slideOut  string
	inside    float64 // how far the brake ends inside the end of the bend that hangs past it
	at        float64 // of the left end of a slotted bar, from that of the bend
	slots     []int   // of a slotted bar that take a wall in, from 1 at its left
	clearance float64
	between   [2]string
}

// desk is where a trial lays out what it finds; the next one clears it and lays
// out its own.
type desk struct {
	faces   []*clash.Answer // by face
	met     []*gathered     // by clash.Element, filled when first asked
	fitted  []fitting       // by bar, filled when first asked
	nearest float64         // to the bed or the bar, of all that was measured so far

	gathered    []gathered   // room for what met points to
	spans, some []clamp.Span // room for what these block, and to gather it in
}

// wipe makes room for a part of so many faces and a brake of so many bars.
func (d *desk) wipe(faces, bars int) {
	if d.faces == nil {
		d.faces, d.met, d.fitted = make([]*clash.Answer, faces), make([]*gathered, clash.OfBar(bars, 0)), make([]fitting, bars)
	}
	clear(d.met)
	clear(d.fitted)
	d.nearest, d.gathered, d.spans = math.Inf(1), d.gathered[:0], d.spans[:0]
}

// newTrial clears the desk for a trial; that of the one before is done with.
func (s *shop) newTrial(made order.Made, op, side int) *trial {
	bench, t := s.benches[op][side], &s.trial
	joint := s.operations[op][0]
	*t = trial{
		shop: s, op: op, side: side, bench: bench, made: s.joints(made), tools: bench.Bars,
		bend: s.plan.Bends[joint].Bend,
		stop: s.plan.Bends[joint].Bend.Angle + s.plan.Bends[joint].Springback,
		desk: t.desk,
	}
	return t
}

// no notes why a way is not possible.
func (t *trial) no(format string, values ...any) {
	if !t.wordy {
		return
	}
	id := t.shop.plan.Blank.Joints[t.bench.Joints[0]].ID
	clamped := t.shop.plan.Blank.Faces[t.bench.Root()].ID
	text := fmt.Sprintf("bend %s, clamping %s: ", id, clamped) + fmt.Sprintf(format, values...)
	t.reasons = append(t.reasons, order.Reason{Bend: t.op, Text: text})
}

// run tries everything that fits between the part and the brake.
func (t *trial) run() {
	if t.sizes() && t.contact() {
		t.tryBars()
	}
}

// tryBars tries every bar with either leaf.
func (t *trial) tryBars() {
	t.wipe(len(t.shop.plan.Blank.Faces), len(t.shop.plan.Brake.Bars))
	for f := range t.faces {
		switch {
		case t.measure:
			t.faces[f] = t.bench.Measure(f, t.made, t.tools[0], &t.nearest)
		case t.exact:
			t.faces[f] = t.bench.Answer(f, t.made)
		default:
			t.faces[f] = t.bench.Kept(f, t.bench.Class(f, t.made))
		}
	}
	if t.wordy {
		t.weakBars()
	}
	for _, leaf := range []brake.Slimness{brake.Full, brake.Slim} {
		if !t.leafHolds(leaf) {
			continue
		}
		for _, bar := range t.tools {
			t.tryBar(leaf, bar)
		}
	}
}

// quick gives the ways without working them out again when another set of
// bends left the same room.
func (t *trial) quick() []way {
	if !t.sizes() || !t.contact() {
		return nil
	}
	key := make([]byte, 0, 64)
	for f := range t.shop.plan.Blank.Faces {
		key = binary.LittleEndian.AppendUint16(key, t.bench.Class(f, t.made))
	}
	known := t.shop.known[t.op][t.side]
	ways, ok := known[string(key)]
	if !ok {
		t.tryBars()
		ways = t.ways
		known[string(key)] = ways
	}
	return ways
}

// tiny forgives rounding where two sizes are compared, in millimetres.
const tiny = 1e-6

// sizes asks what does not depend on bars: the leaf's reach, the flange that
// swings and the strip that is clamped.
func (t *trial) sizes() bool {
	k := t.shop.plan.Brake
	clamped, swinging := t.bench.Across()
	flange := swinging + t.bend.OutsideSetback()
	switch {
	case t.shop.plan.Bends[t.bench.Joints[0]].Hem != part.NoHem && t.bend.Angle < leastHem:
		t.no("the leaf turns the edge up by %s degrees only, a hem needs %s before it can be flattened", t.bend.Angle.Text(1), leastHem.Text(0))
	case t.stop > k.Leaf.MaxAngle:
		t.no("the stop at %s degrees is beyond the %s the leaf reaches%s", t.stop.Text(1), k.Leaf.MaxAngle.Text(1),
			upTo("enough", k.Leaf.MaxAngle, t.stop-t.bend.Angle))
	case t.bench.Length > k.UsableLength:
		t.no("the bend is %s mm long, the brake takes %s", t.bench.Length.Text(1), k.UsableLength.Text(1))
	case flange < t.bend.LeastFlange()-tiny:
		t.no("the flange that swings is %s mm, too short for the leaf to turn; %s or more is needed", flange.Text(1), t.bend.LeastFlange().Text(1))
	case clamped < k.LeastClampedStrip-tiny:
		t.no("only %s mm would lie under the bar, %s or more is needed", clamped.Text(1), k.LeastClampedStrip.Text(1))
	default:
		return true
	}
	return false
}

// contact asks whether the part runs into itself.
func (t *trial) contact() bool {
	faces := t.shop.plan.Blank.Faces
	for i := range faces {
		if !t.bench.Swings(i) {
			continue
		}
		for j := range faces {
			if t.bench.Swings(j) {
				continue
			}
			if hit, angle := t.bench.Pair(i, j, t.made); hit {
				if t.wordy {
					t.no("%s runs into %s at %s degrees", faces[i].ID, faces[j].ID, angle.Text(0))
				}
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
	fit := t.shop.slim[t.op]
	if !fit.OK {
		t.no("the slim leaf is too weak: %s", fit.Why)
	}
	return fit.OK
}

// weakBars words why the other bars are out of the question.
func (t *trial) weakBars() {
	for _, bar := range t.shop.plan.Brake.Bars {
		if why := t.shop.weak(bar, t.bench.Joints[0], t.bench.Length); why != "" {
			t.no("%s: %s", barName(&bar), why)
		}
	}
}

// weak asks the bar's rating, its own limit of angle, and whether the bend is
// made over a round bar; it returns why the bar cannot make the bend, or
// nothing.
func (s *shop) weak(bar brake.Bar, joint int, length unit.MM) string {
	k, b := s.plan.Brake, s.plan.Bends[joint]
	stop := b.Bend.Angle + b.Springback
	if bar.MaxAngle > 0 && stop > bar.MaxAngle {
		return fmt.Sprintf("the stop at %s degrees is beyond its %s%s", stop.Text(1), bar.MaxAngle.Text(1), upTo("enough", bar.MaxAngle, b.Springback))
	}
	switch former := ToolOf(bar).Former; {
	case former == b.Former && former > 0 && b.Bend.Angle > brake.MostOverRound:
		return fmt.Sprintf("makes bends of up to %s degrees: for this one it would stand %s mm behind the hinge, with nothing over the sheet before it",
			brake.MostOverRound.Text(0), bar.LeastNoseSetback(b.Bend.Thickness, stop).Text(1))
	case former == b.Former:
	case b.Former == 0:
		return fmt.Sprintf("is round and makes no inside radius of %s mm", b.Bend.Radius.Text(1))
	default:
		return fmt.Sprintf("the bend is made over a round bar of radius %s mm", b.Former.Text(1))
	}
	if why := clamp.TooShort(bar, length, unsupportedEnd); why != "" {
		return why
	}
	rating := bend.Rating{T: bar.Rating, Length: k.RatingLength, Cap: k.RatingCap}
	fit := bend.FitsSegments(s.thickness, rating)
	if bar.Kind != brake.Segments {
		fit = bend.FitsFull(s.thickness, length, rating)
	}
	if fit.OK {
		return ""
	}
	return "too weak: " + fit.Why
}

// barName names a bar in reasons.
func barName(b *brake.Bar) string {
	if b.Kind == brake.Segments {
		return b.Name
	}
	return b.Name + " bar"
}

// leafName names the leaf in reasons.
func leafName(form brake.Slimness) string {
	if form == brake.Slim {
		return "slim leaf"
	}
	return "full leaf"
}

// tryBar tries a bar at every place along the brake and keeps the first that
// works: the places come in order of preference.
func (t *trial) tryBar(leaf brake.Slimness, index int) {
	bar := &t.shop.plan.Brake.Bars[index]
	if !t.bench.LeafPasses(index, leaf) {
		t.no("%s", t.squeezed(leaf, index))
		return
	}
	for _, place := range Places {
		t.trying = way{bar: index, leaf: leaf, place: place}
		if t.fits(&t.trying, bar) {
			t.ways = append(t.ways, t.trying)
			return
		}
	}
}

// squeezed words that the leaf does not get past a bar, and how far it would.
func (t *trial) squeezed(leaf brake.Slimness, bar int) string {
	if !t.wordy {
		return ""
	}
	return fmt.Sprintf("%s: on the way to the stop at %s degrees the %s and the metal on it run into it%s",
		barName(&t.shop.plan.Brake.Bars[bar]), t.stop.Text(1), leafName(leaf), upTo("there is room", t.bench.MostStop(bar, leaf), t.stop-t.bend.Angle))
}

// upTo tells for which bends, in whole degrees, a stop no farther than the most is
// enough; a smaller bend springs back by no more.
func upTo(words string, most, springback unit.Deg) string {
	angle := math.Floor(float64(most-springback) + tiny)
	if angle < 1 {
		return ""
	}
	return fmt.Sprintf("; %s for a bend of up to %.0f degrees", words, angle)
}

// gathered is what all faces together do to one element of the brake.
type gathered struct {
	element   clash.Element
	faces     []*clash.Answer
	spans     []clamp.Span // what they block, merged
	culprit   int          // the face that reaches in deepest, or is met first, -1 for none
	first     clash.Span   // what it blocks
	least     float64      // smallest distance of what does not block
	leastFace int
}

// onBed, onLeaf and onBar give what all faces do to these bodies.
func (t *trial) onBed() *gathered { return t.on(clash.Bed) }

func (t *trial) onLeaf(form brake.Slimness) *gathered {
	if form == brake.Slim {
		return t.on(clash.SlimLeaf)
	}
	return t.on(clash.FullLeaf)
}

func (t *trial) onBar(bar int, q clash.Question) *gathered { return t.on(clash.OfBar(bar, q)) }

// on gathers what every face does to one element of the brake, once.
func (t *trial) on(e clash.Element) *gathered {
	if t.met[e] == nil {
		t.met[e] = t.gather(e)
	}
	return t.met[e]
}

// gather collects what every face does to one element of the brake.
func (t *trial) gather(e clash.Element) *gathered {
	d := &t.desk
	d.gathered = append(d.gathered, gathered{element: e, faces: d.faces, culprit: -1, least: math.Inf(1)})
	g := &d.gathered[len(d.gathered)-1]
	some, first := d.some[:0], (*clash.Span)(nil)
	for f, a := range d.faces {
		if !t.measure && !a.Blocks(e) {
			continue
		}
		r := a.Of(e)
		if r.Least < g.least {
			g.least, g.leastFace = r.Least, f
		}
		for i := range r.Blocked {
			b := &r.Blocked[i]
			some = clamp.Join(some, clamp.Span{Low: b.Low, High: b.High})
			if first == nil || b.Depth > first.Depth || b.Depth == first.Depth && b.Angle < first.Angle {
				g.culprit, first = f, b
			}
		}
	}
	if d.some = some; first != nil {
		from := len(d.spans)
		d.spans = append(d.spans, clamp.Merge(some)...)
		g.first, g.spans = *first, d.spans[from:len(d.spans):len(d.spans)]
	}
	return g
}

// blocked gives what the faces block as it was found, face by face.
func (g *gathered) blocked(yield func(*clash.Span) bool) {
	for _, a := range g.faces {
		blocked := a.Of(g.element).Blocked
		for i := range blocked {
			if !yield(&blocked[i]) {
				return
			}
		}
	}
}
