package fitting

import (
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
