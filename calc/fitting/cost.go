package fitting

import (
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/measure"
	"brakeside/calc/order"
	"brakeside/calc/process"
)

// gaugedFromBend is a preference that no brake file holds, in minutes (common
// practice, no source): a bend gauged from another bend carries that bend's
// error.
const gaugedFromBend = 0.25

// own is what a way costs a piece whatever came before.
func (t *trial) own(w *way) order.Cost {
	m := t.Plan.Brake.Minutes
	sum := m.Bend + m.BarPreference[t.Plan.Brake.Bars[w.bar].Name] + t.placing(w)
	if t.isHem() {
		sum += m.Bend // flattening is opening the bar, placing the part and closing it, as for a bend, with no stop to set
	}
	if t.packed(w) {
		sum += m.PackingStrip
	}
	if t.heavier[t.op][t.side] {
		sum += m.HeavierSideSwings
	}
	if t.gaugedFromBend(w) {
		sum += gaugedFromBend
	}
	lifting, pieced := 0, 0.0
	if w.segments != nil {
		pieced = float64(t.bench.Length)
	}
	switch t.held(w) {
	case bend.TooSmall:
		lifting = 1
	case bend.Marginal:
		sum += m.HoldWithinMargin
	}
	return order.Cost{Lifting: lifting, Minutes: order.Minutes(sum), Besides: pieced}
}

// placing is the minutes that the place of a way along the brake costs, and the way
// out for the bar there. Room that lacks is paid for once: who must hit a place by eye
// looks at the wall beside it.
func (t *trial) placing(w *way) float64 {
	m := t.Plan.Brake.Minutes
	sum := 0.0
	if w.place != process.Middle {
		sum += m.PartAtEnd
		if w.inside > -float64(brake.InsideEnd)+hair {
			sum += m.BendEndAtBrakeEnd
		}
	}
	switch room := float64(brake.RoomByEye) - hair; {
	case w.play < room:
		sum += m.PlacedByEye
	case w.gap < room:
		sum += m.BarEndAtWall
	}
	if w.slideOut != "" {
		sum += m.SlideBarOut
	}
	return sum
}

// gaugedFromBend reports whether what the nose line is best measured from is the
// outside of a bend.
func (t *trial) gaugedFromBend(w *way) bool {
	if t.gauged == nil {
		bar := t.Plan.Brake.Bars[w.bar]
		nose := t.Plan.Brake.NoseSetbackFor(bar, t.bend.Radius, t.bend.Thickness, t.stop)
		from := measure.FromBend(t.bench, t.made, nose+bar.Gauged().Behind)
		t.gauged = &from
	}
	return *t.gauged
}
