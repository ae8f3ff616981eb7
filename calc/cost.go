package calc

import "brakeside/calc/order"

// cost works out the minutes of a way that do not depend on the step before.
func (s *shop) cost(w *way) {
	m := s.plan.Brake.Minutes
	bar := s.plan.Brake.Bars[w.bar]
	w.static = m.Bend + m.BarPreference[bar.Name]
	if w.place != Middle {
		w.static += m.PartAtEnd
	}
	if w.slideOut != "" {
		w.static += m.SlideBarOut
	}
	if clamped, _ := w.bench.Across(); clamped < bar.Depth/2 {
		w.packing = true
		w.static += m.PackingStrip
	}
	if s.heavierSwings(w) {
		w.static += m.HeavierSideSwings
	}
}

// heavierSwings reports whether more of the part swings than is clamped.
func (s *shop) heavierSwings(w *way) bool {
	swinging, clamped := 0.0, 0.0
	for i, f := range s.plan.Blank.Faces {
		for _, g := range f.Solid {
			if w.bench.Swings(i) {
				swinging += g.Area()
			} else {
				clamped += g.Area()
			}
		}
	}
	return swinging > clamped+tiny
}

// Effort implements order.Shop.
func (s *shop) Effort(from order.Setup, to order.Action) order.Minutes {
	w := s.ways[to.Detail]
	over, rotate := s.handling(from, to)
	m := s.plan.Brake.Minutes
	piece := w.static + m.RotatePer90*float64(quarters(rotate))
	if over {
		piece += m.TurnOver
	}
	changes := s.changes(from, to)
	if s.plan.Run == ByStep {
		changes /= float64(s.plan.Quantity)
	}
	return order.Minutes(piece + changes)
}

// changes are the minutes of setting the brake from one setup to the next. The
// first set-up puts the bar in and sets the stop; taking the leaf's extension
// off is work of its own even then.
func (s *shop) changes(from order.Setup, to order.Action) float64 {
	m := s.plan.Brake.Minutes
	sum := 0.0
	switch {
	case from.Bar == "":
		sum += m.FirstSetup + m.PerFinger*float64(len(s.ways[to.Detail].segments))
	case to.Segments != "" && (from.Bar != to.Bar || from.Segments != to.Segments):
		sum += m.PerFinger * float64(len(s.ways[to.Detail].segments))
	case from.Bar != to.Bar:
		sum += m.BarChange
	}
	if from.Leaf != to.Leaf {
		sum += m.LeafChange
	}
	if from.Bar != "" && from.Stop != to.Stop {
		sum += m.StopChange
	}
	return sum
}

// quarters is how many quarter turns a rotation takes, the short way round.
func quarters(rotate int) int {
	switch {
	case rotate == 0:
		return 0
	case rotate > 45 && rotate <= 135, rotate > 225 && rotate < 315:
		return 1
	case rotate > 135 && rotate <= 225:
		return 2
	}
	return 0
}

// handling tells how the part is moved from one setup to the next: turned over
// about the new bend line, then rotated, in degrees anticlockwise from above.
//
// With face A up, a direction d of the blank points along d + heading on the
// brake; with face B up the blank is seen from behind and it points along
// heading - d. Turning over about a line that is square to d reverses d.
func (s *shop) handling(from order.Setup, to order.Action) (over bool, rotate int) {
	ahead := across(to)
	points := ahead + from.Heading
	if from.FaceUp == "B" {
		points = from.Heading - ahead
	}
	over = from.FaceUp != to.FaceUp
	if over {
		points += 180
	}
	return over, nearestQuarter(wrap(-90 - points))
}

// across is the direction of the blank, over the bend from the clamped side,
// that an action brings to the front of the brake.
func across(to order.Action) int {
	if to.FaceUp == "B" {
		return wrap(to.Heading + 90)
	}
	return wrap(-90 - to.Heading)
}

// nearestQuarter rounds a rotation to 0, 90, 180 or 270 degrees.
func nearestQuarter(degrees int) int { return wrap((degrees + 45) / 90 * 90) }
