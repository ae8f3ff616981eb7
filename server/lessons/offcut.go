package lessons

import (
	"brakeside/calc/learn"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// keyOf names what a step of a sheet teaches of.
func (d *desk) keyOf(t *traveler.Traveler, step traveler.Step) store.CellKey {
	k := store.CellKey{
		Material: t.Part.MaterialID, Thickness: t.Part.Thickness, Radius: RadiusOf(t, step.Number),
		Brake: t.Brake.Name, Bar: step.Bar,
	}
	if d.formers[k.Brake+"|"+k.Bar] > 0 {
		k.Radius = 0 // it is the bar's
	}
	return k
}

// offcut is what an offcut of a new pack teaches: a reading of a step of the sheet
// it was tried for. False where the shop knows the sheet or its material no more.
func (d *desk) offcut(x store.Statement) (r learn.Reading, known bool) {
	t, err := d.sheet(x.Code)
	if err != nil {
		return r, false
	}
	step, found := progress.StepOf(t, x.Step)
	if !found {
		return r, false
	}
	r = learn.Reading{Reader: learn.Reader{Person: x.Person, Tool: x.Tool}, Stop: x.Stop.Deg(), Measured: x.Shown.Deg()}
	r.Bend, known = d.bend(d.keyOf(t, step), step.Target.Deg(), PackOf(t))
	return r, known
}
