package fitting

import (
	"math"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Chosen is the way that an action stands for, measured, with what it was found
// from. Lengths are millimetres.
type Chosen struct {
	Bench        *clash.Bench
	Made         fold.Made // the joints bent before
	Bar          brake.Bar
	Segments     []clamp.Segment // of a set of fingers
	Leaf         brake.Slimness
	Place        process.Place
	Bed          float64    // where the brake's usable length begins, from the left end of the bend
	Lies         clamp.Span // a bar in one piece, from the left end of the bend
	Inside       float64    // how far the brake ends inside the end of the bend that hangs past it, or below 0 outside
	At           float64    // of the left end of a slotted bar, from that of the bend
	Slots        []int      // of a slotted bar that take a wall in, from 1 at its left
	SlideOut     string     // left or right: the bar can only be slid out endwise; empty if it lifts out
	PackingStrip bool
	Clearance    float64   // least distance of the whole swing, infinite when nothing comes near
	Between      [2]string // what it is between
	Endwise      bool      // it lies along the bend
	ToCurve      bool      // and it is to the curve of a bend, not to the face beyond
	Beyond       Beyond    // past the end of the brake that the part hangs past
	Beside       [2]Beyond // past the left and the right end of a set of fingers
	Flatten      *Flatten  // of a hem, how it is pressed flat; nil for other bends
	Grip         Grip      // of the magnet on the bar

	bar int // its place on the shelf
}

// Chosen finds the way of an action of the order again.
func (s *Station) Chosen(made order.Made, a order.Action) *Chosen {
	t, w := s.wayOf(made, a, nil)
	lying := t.lying(w)
	t, w = s.wayOf(made, a, &lying)
	return t.chosen(w)
}

// wayOf tries the bar of an action again, and gives the way that it stands for.
func (s *Station) wayOf(made order.Made, a order.Action, measured *clash.Lying) (*trial, *way) {
	t := s.newTrial(made, a.Bend, a.Side)
	t.tools, t.exact, t.measured = []int{s.barNamed(a.Bar)}, true, measured
	t.run()
	for i := range t.ways {
		if s.action(t, &t.ways[i]) == a {
			return t, &t.ways[i]
		}
	}
	panic("calc: an action of the order is no way to make its bend") // Actions gave it
}

// lying is where along the brake bed and bar of a way lie.
func (t *trial) lying(w *way) clash.Lying {
	l := clash.Lying{Bed: clash.Stretch{Low: w.bed, High: w.bed + float64(t.Plan.Brake.UsableLength)}}
	if w.segments == nil {
		l.Bars = []clash.Stretch{{Low: w.lies.Low, High: w.lies.High}}
	}
	for _, g := range w.segments {
		l.Bars = append(l.Bars, clash.Stretch{Low: g.At, High: g.At + float64(g.Width)})
	}
	return l
}

func (t *trial) chosen(w *way) *Chosen {
	return &Chosen{
		Bench: t.bench, Made: t.made, Bar: t.Plan.Brake.Bars[w.bar], Segments: w.segments, Leaf: w.leaf,
		Place: w.place, Bed: w.bed, Lies: w.lies, Inside: w.inside, At: w.at, Slots: w.slots, SlideOut: w.slideOut,
		PackingStrip: t.packed(w), Clearance: w.clearance, Between: w.between,
		Endwise: w.endwise, ToCurve: w.curve, Beyond: t.beyond(w), Beside: t.beside(w),
		Flatten: t.flatten(w), Grip: t.grip(w), bar: w.bar,
	}
}

// Beyond is the face that stands nearest past an end of the brake or of a set of
// fingers, and how far from that end along the bend, in millimetres; Word is empty where
// none stands.
type Beyond struct {
	Word string
	Off  float64
}

// beyond finds what stands past the end of the brake that the part hangs past.
func (t *trial) beyond(w *way) Beyond {
	out := Beyond{Off: math.Inf(1)}
	if w.place == process.Middle {
		return out
	}
	for _, met := range []*gathered{t.onBed(), t.onLeaf(w.leaf), t.onBar(w.bar, clash.Swing)} {
		for face, s := range met.blocked {
			off := w.bed - s.High
			if w.place == process.PastRight {
				off = s.Low - (w.bed + float64(t.Plan.Brake.UsableLength))
			}
			if !s.Curve && off > -hair && off < out.Off {
				out = Beyond{t.Plan.Blank.Faces[face].Word, off}
			}
		}
	}
	return out
}

// beside finds what stands past both ends of a set of fingers.
func (t *trial) beside(w *way) [2]Beyond {
	out := [2]Beyond{{Off: math.Inf(1)}, {Off: math.Inf(1)}}
	if len(w.segments) == 0 {
		return out
	}
	last := w.segments[len(w.segments)-1]
	for face, s := range t.onBar(w.bar, clash.Swing).blocked {
		for i, off := range [2]float64{w.segments[0].At - s.High, s.Low - last.At - float64(last.Width)} {
			if !s.Curve && off > -hair && off < out[i].Off {
				out[i] = Beyond{t.Plan.Blank.Faces[face].Word, off}
			}
		}
	}
	return out
}

func (s *Station) barNamed(name string) int {
	return slices.IndexFunc(s.Plan.Brake.Bars, func(b brake.Bar) bool { return b.Name == name })
}

// View is the end view of the chosen way, cut in the middle of the bend, while
// the leaf stands at an angle.
func (c *Chosen) View(angle unit.Deg) []process.Shape {
	return endView(c.Bench, c.Bar, c.Bench.View(c.Made, float64(c.Bench.Length)/2, angle), c.Leaf)
}

// PressView is the end view of the chosen way of a hem, cut in the middle of the
// bend, while it is pressed: begun, with the bar above it, or flat.
func (c *Chosen) PressView(flat bool) []process.Shape {
	v := c.Bench.PressView(c.Made, float64(c.Bench.Length)/2, c.bar, flat)
	v.Pack(float64(c.Flatten.Packing))
	return pressView(v, c.Leaf)
}

// Bars lists the bars, by their place on the shelf, that can make a bend once
// others are made.
func (s *Station) Bars(made order.Made, next int) []int {
	var out []int
	for side := range 2 {
		for _, w := range s.quick(s.newTrial(made, next, side)) {
			if !slices.Contains(out, w.bar) {
				out = append(out, w.bar)
			}
		}
	}
	slices.Sort(out)
	return out
}
