// Package fitting fits one bend of a part into a brake: which bars make it once
// others are made, where along the brake, and at what cost.
//
// Station answers the questions of calc/order by trying, with calc/clash and
// calc/clamp: doubt is a hit.
package fitting

import (
	"encoding/binary"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/order"
	"brakeside/calc/process"
)

// Station is one part brought to one brake. It answers the questions of
// calc/order about it, on one goroutine at a time; to many at once it gives All.
type Station struct {
	fixed
	known   [][2]map[string][]way // by operation and clamped side
	trial   trial                 // the one under way
	picture process.Picture       // of the first thing found in the way, when somebody asks why
	others  []*Station            // for the other processors; see All
}

// New brings the part of a plan to its brake.
func New(p *process.Plan) *Station {
	s := &Station{fixed: newFixed(p)}
	for range s.Operations {
		s.known = append(s.known, [2]map[string][]way{{}, {}})
	}
	return s
}

// InRun is the station with the pieces made in another order of the run.
func (s *Station) InRun(run process.Run) *Station {
	plan, other := *s.Plan, *s
	plan.Run = run
	other.Plan, other.others = &plan, nil
	return &other
}

// Picture is the end view of the first thing that Why found in the way.
func (s *Station) Picture() process.Picture { return s.picture }

// Possible reports whether an order is found for a blank on a brake.
func Possible(b *flat.Blank, k *brake.Brake) bool {
	s := New(process.New(b, k))
	return order.Possible(len(s.Operations), s)
}

// Impossible reports whether it is certain that there is none.
func Impossible(b *flat.Blank, k *brake.Brake) bool {
	s := New(process.New(b, k))
	return order.Impossible(len(s.Operations), s)
}

// Within is Possible for a plan with so many questions at the most, and tells how
// many were asked.
func Within(p *process.Plan, most int) (possible bool, asked int) {
	s := New(p)
	return order.Within(len(s.Operations), s, most)
}

// Actions implements order.Shop.
func (s *Station) Actions(made order.Made, next int) []order.Action {
	var out []order.Action
	for side := range 2 {
		t := s.newTrial(made, next, side)
		ways := s.quick(t)
		out = slices.Grow(out, len(ways))
		for i := range ways {
			out = append(out, s.action(t, &ways[i]))
		}
	}
	return out
}

// Clamped is the face that is clamped for an operation.
func (s *Station) Clamped(op, side int) int { return s.benches[op][side].Root() }

// Why implements order.Shop.
func (s *Station) Why(made order.Made, next int) []order.Reason {
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
func (s *Station) action(t *trial, w *way) order.Action {
	up, heading := s.up[t.op], wrap(-90-s.across[t.op][t.side])
	if up == "B" {
		heading = wrap(s.across[t.op][t.side] - 90)
	}
	return order.Action{
		Setup: order.Setup{
			Bar: s.Plan.Brake.Bars[w.bar].Name, Segments: w.key, Leaf: string(w.leaf),
			FaceUp: up, Heading: heading, Stop: s.stops[t.op],
		},
		Bend: t.op, Side: t.side, Place: string(w.place), Own: t.own(w),
	}
}

// newTrial clears the desk for a trial; that of the one before is done with.
func (s *Station) newTrial(made order.Made, op, side int) *trial {
	bench, t := s.benches[op][side], &s.trial
	joint := s.Operations[op][0]
	*t = trial{
		fixed: &s.fixed, op: op, side: side, bench: bench, made: s.joints(made), tools: bench.Bars,
		bend: s.Plan.Bends[joint].Bend,
		stop: s.Plan.Bends[joint].Bend.Angle + s.Plan.Bends[joint].Springback,
		desk: t.desk, picture: &s.picture,
	}
	return t
}

// quick gives the ways without working them out again when another set of
// bends left the same room.
func (s *Station) quick(t *trial) []way {
	if !t.sizes() || !t.contact() {
		return nil
	}
	key := make([]byte, 0, 64)
	for f := range t.Plan.Blank.Faces {
		key = binary.LittleEndian.AppendUint16(key, t.bench.Class(f, t.made))
	}
	known := s.known[t.op][t.side]
	ways, ok := known[string(key)]
	if !ok {
		t.tryBars()
		ways = t.ways
		known[string(key)] = ways
	}
	return ways
}
