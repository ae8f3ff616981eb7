package fitting

import (
	"brakeside/calc/measure"
	"brakeside/calc/order"
	"brakeside/calc/part"
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
	if t.Plan.Bends[t.Operations[t.op][0]].Hem != part.NoHem {
		sum += m.Bend // flattening takes about as long as another bend
	}
	if w.place != process.Middle {
		sum += m.PartAtEnd
	}
	if w.slideOut != "" {
		sum += m.SlideBarOut
	}
	if t.packing[t.op][t.side][w.bar] {
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
		nose := t.Plan.Brake.NoseSetbackFor(t.Plan.Brake.Bars[w.bar], t.bend.Radius, t.bend.Thickness)
		near := measure.References(t.bench, t.made, nose)
		from := len(near) > 0 && near[0].Kind == process.OutsideOfBend
		t.gauged = &from
	}
	return *t.gauged
}
