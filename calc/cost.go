package calc

import (
	"math"

	"brakeside/calc/clash"
	"brakeside/calc/order"
	"brakeside/calc/part"
)

// Preferences that no brake file holds, in minutes (common practice, no
// source): a bend gauged from another bend carries that bend's error, and a
// first bend made with fingers comes less square than one made with a long bar.
const (
	gaugedFromBend  = 0.25
	begunWithShorts = 0.1
)

// own is the minutes a piece that a way costs whatever came before.
func (s *shop) own(t *trial, w *way) order.Minutes {
	m := s.plan.Brake.Minutes
	sum := m.Bend + m.BarPreference[s.plan.Brake.Bars[w.bar].Name]
	if s.plan.Bends[s.operations[t.op][0]].Hem != part.NoHem {
		sum += m.Bend // flattening takes about as long as another bend
	}
	if w.place != Middle {
		sum += m.PartAtEnd
	}
	if w.slideOut != "" {
		sum += m.SlideBarOut
	}
	if s.packing[t.op][t.side][w.bar] {
		sum += m.PackingStrip
	}
	if s.heavier[t.op][t.side] {
		sum += m.HeavierSideSwings
	}
	if t.gaugedFromBend() {
		sum += gaugedFromBend
	}
	return order.Minutes(sum)
}

// gaugedFromBend reports whether neither side of the bend ends in a sheared
// edge that lies flat with the sheet.
func (t *trial) gaugedFromBend() bool {
	if t.gauged == nil {
		from := !t.bench.Sheared(true, t.made) && !t.bench.Sheared(false, t.made)
		t.gauged = &from
	}
	return *t.gauged
}

// leastOwn is the least that an operation can cost.
func (s *shop) leastOwn(benches [2]*clash.Bench) float64 {
	least := math.Inf(1)
	for _, b := range benches {
		for _, bar := range b.Bars {
			least = min(least, s.plan.Brake.Minutes.BarPreference[s.plan.Brake.Bars[bar].Name])
		}
	}
	if math.IsInf(least, 1) {
		least = 0 // no bar can make it, so there will be no order
	}
	return s.plan.Brake.Minutes.Bend + least
}

// heavierSwings reports whether more of the part swings than is clamped. Halves
// that differ by no more than a thousandth are alike.
func (s *shop) heavierSwings(b *clash.Bench) bool {
	swinging, clamped := 0.0, 0.0
	for i, f := range s.plan.Blank.Faces {
		for _, g := range f.Solid {
			if b.Swings(i) {
				swinging += g.Area()
			} else {
				clamped += g.Area()
			}
		}
	}
	return swinging > 1.001*clamped
}

// Change implements order.Shop: moving the part, and setting the brake.
func (s *shop) Change(from, to order.Setup) order.Minutes {
	over, rotate := handling(from, to)
	m := s.plan.Brake.Minutes
	piece := m.RotatePer90 * float64(quarters(rotate))
	if over {
		piece += m.TurnOver
	}
	setting := s.setting(from, to)
	if s.plan.Run == ByStep {
		setting /= float64(s.plan.Quantity)
	}
	return order.Minutes(piece + setting)
}

// setting is the minutes of setting the brake from one setup to the next. The
// first set-up puts the bar in and sets the stop; taking the leaf's extension
// off is work of its own even then.
func (s *shop) setting(from, to order.Setup) float64 {
	m := s.plan.Brake.Minutes
	fingers := m.PerFinger * float64(segmentCount(to.Segments))
	sum := 0.0
	switch {
	case from.Bar == "":
		sum += m.FirstSetup + fingers
		if to.Segments != "" {
			sum += begunWithShorts
		}
	case to.Segments != "" && (from.Bar != to.Bar || from.Segments != to.Segments):
		sum += fingers
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
	switch rotate {
	case 90, 270:
		return 1
	case 180:
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
func handling(from, to order.Setup) (over bool, rotate int) {
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
// that a setup brings to the front of the brake.
func across(to order.Setup) int {
	if to.FaceUp == "B" {
		return wrap(to.Heading + 90)
	}
	return wrap(-90 - to.Heading)
}

// nearestQuarter rounds a rotation to 0, 90, 180 or 270 degrees.
func nearestQuarter(degrees int) int { return wrap((degrees + 45) / 90 * 90) }
