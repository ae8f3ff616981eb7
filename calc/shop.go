package calc

import (
	"slices"
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/unit"
)

// shop answers the questions of calc/order for one part on one brake.
type shop struct {
	plan       *Plan
	thickness  unit.MM // of mild steel that bends as hard
	operations [][]int
	benches    [][2]*clash.Bench
	shelves    []*clamp.Shelf
	stops      []int64  // by operation, in the brake's own scale
	across     [][2]int // direction of the blank over the bend, by operation and clamped side
	heavier    [][2]bool
	packing    [][2][]bool // by operation, clamped side and bar
	known      [][2]map[string][]way
	cheapest   []float64  // least minutes of each operation whatever comes before
	up         []string   // the face that is up for it
	slim       []bend.Fit // of the leaf without its extension, by operation
	trial      trial      // the one under way
	pictured   Picture    // of the first thing found in the way, when somebody asks why
}

func newShop(p *Plan) *shop {
	s := &shop{plan: p, operations: operations(p.Blank), thickness: p.Brake.EquivalentThickness(p.Blank.Sheet)}
	for _, bar := range p.Brake.Bars {
		s.shelves = append(s.shelves, clamp.NewShelf(bar))
	}
	for _, joints := range s.operations {
		s.addBenches(joints)
	}
	return s
}

// addBenches puts one operation into the brake, clamped on either side.
func (s *shop) addBenches(joints []int) {
	p := s.plan
	b := p.Bends[joints[0]]
	across := p.Blank.Joints[joints[0]].Across
	var benches [2]*clash.Bench
	var heavier [2]bool
	var packing [2][]bool
	for side := range benches {
		benches[side] = s.newBench(joints, side)
		heavier[side] = s.heavierSwings(benches[side])
		clamped, _ := benches[side].Across()
		for _, bar := range p.Brake.Bars {
			packing[side] = append(packing[side], clamped < bar.Depth/2-tiny)
		}
	}
	s.benches = append(s.benches, benches)
	s.cheapest = append(s.cheapest, s.leastOwn(benches))
	up := "A"
	if !p.Blank.Joints[joints[0]].Up() {
		up = "B"
	}
	s.up = append(s.up, up)
	s.known = append(s.known, [2]map[string][]way{{}, {}})
	s.heavier = append(s.heavier, heavier)
	s.packing = append(s.packing, packing)
	s.across = append(s.across, [2]int{direction(across.X, across.Y), direction(-across.X, -across.Y)})
	k := p.Brake
	s.slim = append(s.slim, bend.FitsSlimLeaf(s.thickness, benches[0].Length, bend.Rating{T: k.Leaf.SlimRating, Length: k.RatingLength, Cap: k.RatingCap}))
	s.stops = append(s.stops, int64(p.Brake.Scale.Stop(b.Bend.Angle+b.Springback).CentiDeg()))
}

// newBench puts one operation into the brake with the bars that can make it.
func (s *shop) newBench(joints []int, side int) *clash.Bench {
	b := s.plan.Bends[joints[0]]
	setting := clash.Setting{Blank: s.plan.blankFor(joints), Brake: s.plan.Brake, Joints: joints, Side: side, Overbend: b.Springback}
	length := clash.LineLength(setting)
	for i, bar := range s.plan.Brake.Bars {
		if s.weak(bar, joints[0], length) == "" {
			setting.Bars = append(setting.Bars, i)
		}
	}
	return clash.NewBench(setting)
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
func (s *shop) Actions(made order.Made, next int) []order.Action {
	var out []order.Action
	for side := range 2 {
		t := s.newTrial(made, next, side)
		ways := t.quick()
		out = slices.Grow(out, len(ways))
		for i := range ways {
			out = append(out, s.action(t, &ways[i]))
		}
	}
	return out
}

// Why implements order.Shop.
func (s *shop) Why(made order.Made, next int) []order.Reason {
	var out []order.Reason
	for side := range 2 {
		t := s.newTrial(made, next, side)
		t.exact, t.wordy = true, true
		t.run()
		out = append(out, t.reasons...)
	}
	return out
}

// action turns a way into what calc/order sees of it.
func (s *shop) action(t *trial, w *way) order.Action {
	up, heading := s.up[t.op], wrap(-90-s.across[t.op][t.side])
	if up == "B" {
		heading = wrap(s.across[t.op][t.side] - 90)
	}
	return order.Action{
		Setup: order.Setup{
			Bar: s.plan.Brake.Bars[w.bar].Name, Segments: w.key, Leaf: string(w.leaf),
			FaceUp: up, Heading: heading, Stop: s.stops[t.op],
		},
		Bend: t.op, Side: t.side, Place: string(w.place), Own: s.own(t, w),
	}
}

// segmentKey tells finger sets apart.
func segmentKey(segments []clamp.Segment) string {
	if segments == nil {
		return ""
	}
	var b strings.Builder
	for i, s := range segments {
		if i > 0 {
			b.WriteByte('+')
		}
		b.WriteString(s.Width.Text(2))
	}
	return b.String()
}

// segmentCount counts the fingers of a key.
func segmentCount(key string) int {
	if key == "" {
		return 0
	}
	return strings.Count(key, "+") + 1
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
