package fitting

import (
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/order"
	"brakeside/calc/process"
)

// Start is how the blank arrives and how the brake stands between jobs: face A
// up, the blank's x axis along the brake, the leaf with its extension on.
var Start = order.Setup{FaceUp: "A", Leaf: string(brake.Full)}

// Change implements order.Shop: moving the part, and setting the brake. The blank is
// laid down for its first bend however that asks: which way up and round it comes off
// the shear is nobody's choice, and that it was drawn so only decides between equals.
func (s *Station) Change(from, to order.Setup) order.Cost {
	m := s.Plan.Brake.Minutes
	over, rotate := Handling(from, to)
	piece := m.RotatePer90 * float64(quarters(rotate))
	if over {
		piece += m.TurnOver
	}
	out := order.Cost{}
	if from.Bar == "" {
		out.Besides, piece = asDrawn*piece, 0
	}
	setting := s.setting(from, to)
	if s.Plan.Run == process.ByStep {
		setting /= float64(s.Plan.Quantity)
	}
	out.Minutes = order.Minutes(piece + setting)
	return out
}

// asDrawn is what a minute of laying the blank down otherwise than it is drawn weighs
// against a millimetre bent under fingers, where orders cost the same: the sheet that
// is as drawn is read more easily.
const asDrawn = 1e-3

// begunWithShorts is a preference that no brake file holds, in minutes (common
// practice, no source): a first bend made with fingers comes less square than
// one made with a long bar.
const begunWithShorts = 0.1

// setting is the minutes of setting the brake from one setup to the next. The
// first set-up puts the bar in, sets its nose and the stop; taking the leaf's extension
// off is work of its own even then.
func (s *Station) setting(from, to order.Setup) float64 {
	m := s.Plan.Brake.Minutes
	fingers := m.PerFinger * float64(segmentCount(to.Segments))
	sum := 0.0
	switch {
	case from.Bar == "":
		sum += m.FirstSetup + fingers
		if to.Segments != "" {
			sum += begunWithShorts
		}
	case to.Segments != "" && (from.Bar != to.Bar || from.Segments != to.Segments):
		sum += fingers + m.SetNose
	case from.Bar != to.Bar:
		sum += m.BarChange + m.SetNose
	}
	if from.Leaf != to.Leaf {
		sum += m.LeafChange
	}
	if from.Bar != "" && from.Stop != to.Stop {
		sum += m.StopChange
	}
	return sum
}

// AtLeast implements order.Bounded: every bend that is left costs its own least,
// a side not now up has to be turned up, and every angle not now set has to be
// set. Before the first bend no side is up.
func (s *Station) AtLeast(made order.Made, now order.Setup) order.Cost {
	m := s.Plan.Brake.Minutes
	sum, up, over := order.Cost{}, now.FaceUp, false
	if now.Bar == "" {
		up = ""
	}
	stops := make([]int64, 0, 8)
	for i := range s.Operations {
		if made.Has(i) {
			continue
		}
		sum = sum.Add(s.cheapest[i])
		over = over || up != "" && s.up[i] != up
		up = s.up[i]
		if s.stops[i] != now.Stop && !slices.Contains(stops, s.stops[i]) {
			stops = append(stops, s.stops[i])
		}
	}
	if over {
		sum.Minutes += order.Minutes(m.TurnOver)
	}
	setting := m.StopChange * float64(len(stops))
	if now.Bar == "" && len(stops) > 0 {
		setting = m.FirstSetup + m.StopChange*float64(len(stops)-1)
	}
	if s.Plan.Run == process.ByStep {
		setting /= float64(s.Plan.Quantity)
	}
	return sum.Add(order.Cost{Minutes: order.Minutes(setting)})
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

// Handling tells how the part is moved from one setup to the next: turned over
// about the new bend line, then rotated, in degrees anticlockwise from above.
//
// With face A up, a direction d of the blank points along d + heading on the
// brake; with face B up the blank is seen from behind and it points along
// heading - d. Turning over about a line that is square to d reverses d.
func Handling(from, to order.Setup) (over bool, rotate int) {
	points := points(from, to)
	over = from.FaceUp != to.FaceUp
	if over {
		points += 180
	}
	return over, nearestQuarter(wrap(-90 - points))
}

// Turned tells the same as a person at the brake does it: about which of the two
// lines along and across the brake the part is turned over, the one nearer to
// the new bend line, and by how many degrees it is then rotated, anticlockwise
// from above, more than -180 to 180: the true angle where a bend lies askew.
func Turned(from, to order.Setup) (over process.Over, by int) {
	points := points(from, to)
	switch across := wrap(points+45)/90%2 == 0; {
	case from.FaceUp == to.FaceUp:
	case across: // the line runs away from the operator
		over, points = process.LeftToRight, 180-points
	default:
		over, points = process.FrontToBack, -points
	}
	if by = wrap(-90 - points); by > 180 {
		by -= 360
	}
	return over, by
}

// points is where on the brake, anticlockwise from its right end, the direction
// over the bend points before the part is moved.
func points(from, to order.Setup) int {
	if from.FaceUp == "B" {
		return from.Heading - across(to)
	}
	return across(to) + from.Heading
}

// across is the direction of the blank, over the bend from the clamped side,
// that a setup brings to the front of the brake.
func across(to order.Setup) int {
	if to.FaceUp == "B" {
		return wrap(to.Heading + 90)
	}
	return wrap(-90 - to.Heading)
}

// nearestQuarter rounds a rotation to 0, 90, 180 or 270 degrees, either way round
// alike.
func nearestQuarter(degrees int) int {
	if degrees > 180 {
		return wrap(-nearestQuarter(360 - degrees))
	}
	return (degrees + 45) / 90 * 90
}
