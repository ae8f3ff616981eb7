package calc

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// tightRoom is how little may be left above the least clearance before a step
// is called tight, in millimetres (common practice, no source).
const tightRoom = 0.5

// steps words the actions of the cheapest order.
func (s *shop) steps(actions []order.Action) []Step {
	var out []Step
	from, made := start, order.Made(0)
	for i, a := range actions {
		step := s.step(i+1, from, s.chosen(made, a), a)
		from, made = a.Setup, made|1<<a.Bend
		step.Closes = s.closes(made, a.Bend)
		out = append(out, step)
	}
	return out
}

// closes tells with which bars a bend that is left can no longer be made
// because of the one made last, and which can no longer be made as things
// stand.
func (s *shop) closes(made order.Made, last int) []string {
	var out []string
	for next, joints := range s.operations {
		if made.Has(next) {
			continue
		}
		id := s.plan.Blank.Joints[joints[0]].ID
		before, after := s.bars(made&^(1<<last), next), s.bars(made, next)
		if len(before) > 0 && len(after) == 0 {
			out = append(out, fmt.Sprintf("bend %s must wait for another bend", id))
			continue
		}
		var lost []string
		for _, bar := range before {
			if !slices.Contains(after, bar) {
				lost = append(lost, barName(&s.plan.Brake.Bars[bar]))
			}
		}
		if lost != nil {
			out = append(out, fmt.Sprintf("bend %s can no longer be made with %s", id, listed(lost, "or")))
		}
	}
	return out
}

// listed joins words as one says them: a, b or c.
func listed(words []string, last string) string {
	n := len(words) - 1
	if n < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}

// bars lists the bars that can make a bend once others are made.
func (s *shop) bars(made order.Made, next int) []int {
	var out []int
	for side := range 2 {
		for _, w := range s.newTrial(made, next, side).quick() {
			if !slices.Contains(out, w.bar) {
				out = append(out, w.bar)
			}
		}
	}
	slices.Sort(out)
	return out
}

// chosen is the way that an action stands for, with what it was found from.
type chosen struct {
	way
	bench   *clash.Bench
	made    fold.Made
	packing bool
}

// chosen finds the way of an action again.
func (s *shop) chosen(made order.Made, a order.Action) *chosen {
	t := s.newTrial(made, a.Bend, a.Side)
	t.tools, t.measure = []int{s.barNamed(a.Bar)}, true
	t.run()
	for i := range t.ways {
		w := t.ways[i]
		if found := s.action(t, &w); found == a {
			return &chosen{way: w, bench: t.bench, made: t.made, packing: s.packing[a.Bend][a.Side][w.bar]}
		}
	}
	panic("calc: an action of the order is no way to make its bend") // Actions gave it
}

// barPlace words where along the bend things go when that is particular.
func barPlace(bar brake.Bar, w *way) string {
	var words []string
	if w.place != Middle {
		lies := "flush with"
		if w.inside > 0.05 {
			lies = unit.MM(w.inside).Text(1) + " mm inside"
		}
		words = append(words, fmt.Sprintf("the brake ends %s the bend's %s end", lies, strings.TrimPrefix(string(w.place), "past-")))
	}
	if bar.Kind == brake.Slotted {
		where := "left"
		if w.at > 0 {
			where = "right"
		}
		words = append(words, fmt.Sprintf("the bar's left end is %s mm %s of the bend's", unit.MM(math.Abs(w.at)).Text(1), where))
		var slots []string
		for _, n := range w.slots {
			slots = append(slots, fmt.Sprint(n))
		}
		if slots != nil {
			words = append(words, fmt.Sprintf("counted from there, walls stand in slot %s", listed(slots, "and")))
		}
	}
	return strings.Join(words, "; ")
}

func (s *shop) barNamed(name string) int {
	return slices.IndexFunc(s.plan.Brake.Bars, func(b brake.Bar) bool { return b.Name == name })
}

func (s *shop) step(number int, from order.Setup, w *chosen, a order.Action) Step {
	joints := s.operations[a.Bend]
	b := s.plan.Bends[joints[0]]
	bar := s.plan.Brake.Bars[w.bar]
	step := Step{
		Number: number, Joints: joints, FaceUp: a.FaceUp,
		Clamped:  s.plan.Blank.Faces[w.bench.Root()].ID,
		Swinging: s.plan.Blank.Faces[w.bench.SwingingFace()].ID,
		Bar:      bar, Leaf: w.leaf, Place: w.place, Length: w.bench.Length,
		NoseSetback: s.plan.Brake.NoseSetbackFor(bar, b.Bend.Radius, b.Bend.Thickness, b.Bend.Angle+b.Springback),
		Target:      b.Bend.Angle, Springback: b.Springback, StopFrom: b.SpringbackFrom,
		StopBend: b.Bend.Angle + b.Springback,
		SlideOut: w.slideOut, PackingStrip: w.packing, BarPlace: barPlace(bar, &w.way),
	}
	for _, j := range joints {
		step.Bends = append(step.Bends, s.plan.Blank.Joints[j].ID)
	}
	for _, g := range w.segments {
		step.Segments = append(step.Segments, Segment{Width: g.Width, At: unit.MM(g.At)})
	}
	step.Stop = s.plan.Brake.Scale.Stop(step.StopBend)
	step.TurnOver, step.Rotate = handling(from, a.Setup)
	step.NoseLine = w.bench.NoseLine(step.LineSetback())
	s.measure(&step, w)
	s.flatten(&step)
	s.clearances(&step, w)
	step.Before, step.After = s.views(w, step)
	step.Cautions = s.stepCautions(&step, w)
	return step
}

// clearances notes the least distance of the step.
func (s *shop) clearances(step *Step, w *chosen) {
	step.Clearance, step.Between = unit.MM(w.clearance), w.between
	if math.IsInf(w.clearance, 1) {
		step.Clearance, step.Between = 0, [2]string{}
		return
	}
	k := s.plan.Brake.Clearance
	least := k.BedAndLeaf
	if w.between[1] != "bed" && w.between[1] != leafName(w.leaf) {
		least = k.Bar
	}
	step.Tight = step.Clearance < least+tightRoom
}

// measure finds what the blank is gauged from and the one size to check.
func (s *shop) measure(step *Step, w *chosen) {
	nose := float64(step.LineSetback())
	swing := s.edge(w, true)
	back := s.edge(w, false)
	front, rear := nose-swing.at, back.at-nose
	joint := s.plan.Blank.Joints[step.Joints[0]]
	reach, from := checkFrom(joint.Bend, s.plan.Blank.Part.Over90)
	step.Check = unit.MM(w.bench.FlangeReach(swing.at)) + reach
	step.CheckSize = fmt.Sprintf("outside of %s, from %s to %s", step.Swinging, from, swing.words())
	fromSwing := swing.sheared || !back.sheared
	step.Chain = s.chain(w, swing, fromSwing)
	if fromSwing {
		step.GaugeEdge, step.Gauge = swing.gauge(), unit.MM(front)
		return
	}
	step.GaugeEdge, step.Gauge = back.gauge(), unit.MM(rear)
}

// checkFrom tells where at the bend a size to check begins: how far beyond the
// tangent, and in words.
func checkFrom(b bend.Bend, over90 part.Over90) (reach unit.MM, words string) {
	switch {
	case b.Angle <= 90:
		return b.OutsideSetback(), "the bend"
	case over90 == part.Tangent:
		return b.TangentReach(), "the outside tangent"
	}
	return b.OutsideSetback(), "the apex"
}

// farEdge is the outermost thing on one side of the bend.
type farEdge struct {
	at      float64 // y on the brake before the swing
	face    string
	sheared bool
	bend    string // the bend it belongs to when it is not a sheared edge
}

func (e farEdge) words() string {
	if e.sheared {
		return "the sheared edge"
	}
	return "the outside of bend " + e.bend
}

// gauge names the edge as something to measure from: a sheared edge by its face,
// of which it may have several; a bend has a name of its own.
func (e farEdge) gauge() string {
	if e.sheared {
		return e.words() + " of " + e.face
	}
	return e.words()
}

func (s *shop) edge(w *chosen, swinging bool) farEdge {
	face, e := w.bench.Edge(swinging, w.made)
	out := farEdge{at: e.High, face: s.plan.Blank.Faces[face].ID, sheared: e.Bend < 0}
	if swinging {
		out.at = e.Low
	}
	if e.Bend >= 0 {
		out.bend = s.plan.Blank.Joints[e.Bend].ID
	}
	return out
}

// views draws the end views before and after the bend.
func (s *shop) views(w *chosen, step Step) (before, after []Shape) {
	middle := float64(w.bench.Length) / 2
	return endView(w.bench, step.Bar, w.bench.View(w.made, middle, 0), w.leaf),
		endView(w.bench, step.Bar, w.bench.View(w.made, middle, w.bench.Target), w.leaf)
}

// endView lists the bodies of an end view.
func endView(b *clash.Bench, bar brake.Bar, v clash.View, leaf brake.Slimness) []Shape {
	out := []Shape{{BedShape, v.Bed}, {LeafShape, v.Leaf(leaf)}, {BarShape, b.Bar(bar)}}
	for _, g := range v.Clamped {
		out = append(out, Shape{ClampedShape, g})
	}
	for _, g := range v.Swinging {
		out = append(out, Shape{SwingingShape, g})
	}
	return out
}
