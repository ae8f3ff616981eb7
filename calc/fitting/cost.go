package fitting

import (
	"brakeside/calc/measure"
	"brakeside/calc/order"
	"brakeside/calc/process"
)

// gaugedFromBend is a preference that no brake file holds, in minutes (common
// practice, no source): a bend gauged from another bend carries that bend's
// error.
const gaugedFromBend = 0.25

// own is the minutes a piece that a way costs whatever came before.
func (t *trial) own(w *way) order.Minutes {
	m := t.Plan.Brake.Minutes
	sum := m.Bend + m.BarPreference[t.Plan.Brake.Bars[w.bar].Name]
	if t.isHem() {
		sum += m.Bend // flattening is opening the bar, placing the part and closing it, as for a bend, with no stop to set
	}
	if w.place != process.Middle {
		sum += m.PartAtEnd
	}
	if w.slideOut != "" {
		sum += m.SlideBarOut
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
	return order.Minutes(sum)
}

// gaugedFromBend reports whether what the nose line is best measured from is the
// outside of a bend.
func (t *trial) gaugedFromBend(w *way) bool {
	if t.gauged == nil {
		bar := t.Plan.Brake.Bars[w.bar]
		nose := t.Plan.Brake.NoseSetbackFor(bar, t.bend.Radius, t.bend.Thickness, t.stop)
		near := measure.References(t.bench, t.made, nose+bar.Gauged().Behind)
		from := len(near) > 0 && near[0].Kind == process.OutsideOfBend
		t.gauged = &from
	}
	return *t.gauged
}
