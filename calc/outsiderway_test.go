package calc_test

import (
	"fmt"
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/geom"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// chosenSetting is how the planner says that a bend is made.
func chosenSetting(s *scene, c *fitting.Chosen) *setting {
	j := s.blank.Joints[s.joints[0]].Bend
	stop := j.Angle + c.Bench.Overbend
	t := &setting{
		scene: s, bar: c.Bar, leaf: c.Leaf, nose: float64(s.brake.NoseSetbackFor(c.Bar, j.Radius, j.Thickness, stop)),
		bed: [2]float64{c.Bed, c.Bed + float64(s.brake.UsableLength)}, slideOut: c.SlideOut,
	}
	var fingers []process.Segment
	for _, g := range c.Segments {
		fingers = append(fingers, process.Segment{Width: g.Width, At: unit.MM(g.At)})
	}
	t.set([2]float64{c.Lies.Low, c.Lies.High}, fingers)
	if c.Flatten != nil {
		t.flatten = float64(c.Flatten.Back)
	}
	return t
}

// offBed tells that a block lies off the bed, or that the bend sticks out past blocks or
// bed by more than it may, or nothing.
func (t *setting) offBed() string {
	first, last := math.Inf(1), math.Inf(-1)
	for _, j := range t.blocks {
		first, last = min(first, j.low), max(last, j.high)
	}
	switch {
	case first < t.bed[0]-hairs || last > t.bed[1]+hairs:
		return fmt.Sprintf("the %s bar lies from %.2f to %.2f, the bed from %.2f to %.2f", t.bar.Name, first, last, t.bed[0], t.bed[1])
	case max(first, t.bed[0]) > unsupportedEnd+hairs || min(last, t.bed[1]) < t.length-unsupportedEnd-hairs:
		return fmt.Sprintf("the %s bar lies from %.2f to %.2f, the bend from 0 to %.2f", t.bar.Name, first, last, t.length)
	}
	return ""
}

// squeezed tells that the leaf strikes the bar on its way to the stop, or nothing.
func (t *setting) squeezed() string {
	for _, m := range t.moments {
		sin, cos := math.Sincos(m.angle)
		for _, j := range t.blocks {
			for _, p := range j.section {
				// Out on the leaf, and off its face.
				if out, off := -p.X*cos+p.Y*sin, p.X*sin+p.Y*cos; off < -hairs && off > -float64(t.brake.Leaf.Thickness) && out > 0 && out < float64(t.brake.Leaf.Face(t.leaf)) {
					return fmt.Sprintf("the leaf strikes the %s bar at %.1f degrees", t.bar.Name, m.angle*180/math.Pi)
				}
			}
		}
	}
	return ""
}

// exits are the places that a bar is tried to be drawn back to, in millimetres.
const (
	exitStep  = 0.5
	exitMost  = 180
	exitAside = 320 // beyond, fingers are tried at fewer places
)

// trapped tells which block can neither be lifted, drawn back first, nor slid out along
// the brake, or -1. A finger may be pushed aside before.
func (t *setting) trapped(shapes []shape, slides string) int {
	var over []shape // what is not flat under the bar
	for _, s := range shapes {
		if high := s.high.Z; s.swings || high > t.thick+hairs {
			over = append(over, s)
		}
	}
	groups := t.groups()
	for i, group := range groups {
		if !t.getsOut(over, group, slides) {
			return i
		}
	}
	return -1
}

// groups are the blocks that are moved as one: all of a bar, each finger for itself.
func (t *setting) groups() [][]block {
	if t.bar.Kind != brake.Segments {
		return [][]block{t.blocks}
	}
	byPlace := map[float64]int{}
	var out [][]block
	for _, j := range t.blocks {
		at, known := byPlace[j.low]
		if !known {
			at = len(out)
			byPlace[j.low], out = at, append(out, nil)
		}
		out[at] = append(out[at], j)
	}
	return out
}

func (t *setting) getsOut(over []shape, group []block, slides string) bool {
	if slides != "" && slidesOut(over, group, slides) {
		return true
	}
	asides := []float64{0}
	if t.bar.Kind == brake.Segments {
		for by := 1.0; by <= t.length+exitAside; by += max(1, (by-exitAside)/4) {
			asides = append(asides, by, -by)
		}
	}
	for _, aside := range asides {
		if t.lifts(over, moved(group, aside, 0)) {
			return true
		}
	}
	return false
}

// lifts reports whether blocks can be drawn back by some distance and then lifted.
func (t *setting) lifts(over []shape, group []block) bool {
	for back := 0.0; back <= exitMost; back += exitStep {
		switch drawn := moved(group, 0, back); {
		case back > 0 && hitsAny(over, sweep(drawn, -exitStep, 0)), back == 0 && hitsAny(over, drawn):
			return false
		case !hitsAny(over, sweep(drawn, 0, t.high())):
			return true
		}
	}
	return false
}

// high is higher than anything stands.
func (t *setting) high() float64 {
	return float64(t.blank.Width+t.blank.Height+t.bar.Height) + 10
}

// moved are blocks moved along the brake and back.
func moved(group []block, along, back float64) []block {
	out := make([]block, len(group))
	for i, j := range group {
		out[i] = block{section: shifted(j.section, back, 0), low: j.low + along, high: j.high + along}
	}
	return out
}

// sweep are the spaces that blocks cover when they are moved by y and z.
func sweep(group []block, y, z float64) []block {
	out := make([]block, len(group))
	for i, j := range group {
		j.section = geom.Hull(append(append([]geom.Point2(nil), j.section...), shifted(j.section, y, z)...))
		out[i] = j
	}
	return out
}

func slidesOut(over []shape, group []block, way string) bool {
	slid := make([]block, len(group))
	for i, j := range group {
		if way == "left" {
			j.low = math.Inf(-1)
		} else {
			j.high = math.Inf(1)
		}
		slid[i] = j
	}
	return !hitsAny(over, slid)
}

// hitsAny reports whether a shape reaches into a block, by more than a hair.
func hitsAny(over []shape, blocks []block) bool {
	for i := range blocks {
		section := grown(blocks[i].section, -hairs)
		for n := range over {
			if over[n].enters(&blocks[i], section, -hairs) {
				return true
			}
		}
	}
	return false
}

// pressed tells what meets the brake while a hem is pressed flat, or nothing: the part
// is pushed back, and the bar comes straight down on all of its thicknesses.
func (t *setting) pressed() string {
	if t.finished == nil {
		return ""
	}
	j := t.finished.Joints[t.joints[0]].Bend
	pile := 2*t.thick + 2*float64(j.Radius)
	bed := rectangle(0, -float64(t.brake.Bed.Height), float64(t.brake.Bed.Depth), 0)
	leaf := rectangle(-float64(t.brake.Leaf.Face(t.leaf)), -float64(t.brake.Leaf.Thickness), 0, 0)
	under := []block{{section: bed, low: t.bed[0], high: t.bed[1]}, {section: leaf, low: t.bed[0], high: t.bed[1]}}
	down := sweep(heightened(t.blocks, pile-t.thick), 0, t.high())
	for _, s := range t.with(t.finished, math.Abs(t.finished.Joints[t.joints[0]].Angle.Rad())) {
		s = s.put(geom.Shift(geom.Point3{Y: t.flatten}))
		low, high := s.low.Z, s.high.Z
		switch name := t.blank.Faces[s.face].ID; {
		case s.swings:
		case low < -hairs && hitsAny([]shape{s}, under):
			return name + " meets the bed or the leaf while the hem is pressed"
		case high > pile+hairs && hitsAny([]shape{s}, down):
			return name + " is under the bar while the hem is pressed"
		}
	}
	return ""
}

func heightened(group []block, by float64) []block {
	out := make([]block, len(group))
	for i, j := range group {
		j.section = shifted(j.section, 0, by)
		out[i] = j
	}
	return out
}

// wrong tells what is wrong with making a bend in this way, or nothing; by so much
// more than asked everything must stay clear.
func (t *setting) wrong(more float64) string {
	for _, ask := range []func() string{t.offBed, t.squeezed, func() string { return t.meets(more) }, t.touches, t.pressed, t.inAndOut} {
		if words := ask(); words != "" {
			return words
		}
	}
	return ""
}

// inAndOut tells that a bar cannot be put in or taken out, or nothing.
func (t *setting) inAndOut() string {
	return t.once("in and out", func() string {
		if i := t.trapped(t.after, t.slideOut); i >= 0 {
			return fmt.Sprintf("body %d of the %s bar is trapped", i, t.bar.Name)
		}
		slides := ""
		if t.bar.Kind != brake.Segments {
			slides = "left"
		}
		if i := t.trapped(t.before, slides); i >= 0 && (slides == "" || t.trapped(t.before, "right") >= 0) {
			return fmt.Sprintf("body %d of the %s bar cannot be put in", i, t.bar.Name)
		}
		return ""
	})
}

// everyWay gives every way of the planner to make any bend after any set of bends that
// the part can come to, with its scene; or those of one question in so many.
func everyWay(p *process.Plan, s *fitting.Station, share int, yield func(made order.Made, a order.Action, t *setting)) {
	reached, asked := map[order.Made]bool{0: true}, 0
	for made := order.Made(0); made < 1<<len(s.Operations); made++ {
		for next := range s.Operations {
			if made.Has(next) || !reached[made] {
				continue
			}
			var scenes [2]*scene
			asked++
			for _, a := range s.Actions(made, next) {
				if reached[made|1<<next] = true; asked%share > 0 {
					continue
				}
				c := s.Chosen(made, a)
				if scenes[a.Side] == nil {
					scenes[a.Side] = newScene(p, s.Operations[next], c.Made, c.Bench.Root())
				}
				yield(made, a, chosenSetting(scenes[a.Side], c))
			}
		}
	}
}
