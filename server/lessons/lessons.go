// Package lessons turns the log of the shop into what it teaches: where to stop
// the leaf next, which printed stops to change, what each change did, and how
// well past readings would have been foretold.
//
// It brings calc/learn and server/store together and decides nothing by itself:
// readings come from the store, the owner's decisions go there. Angles are bend
// angles.
package lessons

import (
	"context"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/traveler"
	"brakeside/traveler/progress"
)

// Figures gives what the shop has settled: its own materials, and what it goes
// by where nothing is learned.
type Figures func(context.Context) (figures.Shop, error)

// desk finds what a reading was of. It lives for one look at the log.
type desk struct {
	ctx     context.Context
	from    *store.Store
	shop    figures.Shop
	sheets  map[string]*traveler.Traveler
	formers map[string]unit.MM // radius of the round bars, by brake and bar
}

func newDesk(ctx context.Context, from *store.Store, figures Figures) (*desk, error) {
	shop, err := figures(ctx)
	if err != nil {
		return nil, err
	}
	d := &desk{ctx: ctx, from: from, shop: shop, sheets: map[string]*traveler.Traveler{}, formers: map[string]unit.MM{}}
	kept, err := from.Newest(ctx, store.Brakes)
	if err != nil {
		return nil, err
	}
	for _, r := range kept {
		k, err := brake.Read(r.JSON)
		if err != nil {
			continue // a brake that can no longer be read has no round bars to tell of
		}
		for _, bar := range k.Bars {
			if bar.Kind == brake.Round {
				d.formers[k.Name+"|"+bar.Name] = bar.OutsideRadius
			}
		}
	}
	return d, nil
}

// sheet gives the plan a reading was logged against.
func (d *desk) sheet(code string) (*traveler.Traveler, error) {
	if t := d.sheets[code]; t != nil {
		return t, nil
	}
	kept, err := d.from.TravelerByCode(d.ctx, code)
	if err != nil {
		return nil, err
	}
	d.sheets[code] = kept.Traveler
	return kept.Traveler, nil
}

// key names what a reading teaches of: the radius comes from the sheet.
func (d *desk) key(x store.Sample) (store.CellKey, error) {
	t, err := d.sheet(x.Code)
	if err != nil {
		return store.CellKey{}, err
	}
	k := store.CellKey{Material: x.Material, Thickness: x.Thickness, Radius: RadiusOf(t, x.Reading.Step), Brake: x.Brake, Bar: x.Bar}
	if d.formers[k.Brake+"|"+k.Bar] > 0 {
		k.Radius = 0 // it is the bar's
	}
	return k, nil
}

// RadiusOf is the inside radius of the bend that a step makes.
func RadiusOf(t *traveler.Traveler, number int) unit.Micron {
	for _, line := range t.Blank.Lines {
		if line.Step == number {
			return line.Radius
		}
	}
	return t.Part.InsideRadius
}

// bend is what a key and an angle are to the arithmetic; false when the shop no
// longer knows the material.
func (d *desk) bend(k store.CellKey, angle unit.Deg, pack string) (learn.Bend, bool) {
	m, err := d.shop.Material(k.Material)
	if err != nil {
		return learn.Bend{}, false
	}
	b := learn.Bend{Brake: k.Brake, Pack: pack}
	b.Sheet.Material, b.Sheet.Thickness = m, k.Thickness.MM()
	b.Bend = bend.Bend{Angle: angle, Radius: k.Radius.MM(), Thickness: k.Thickness.MM()}
	b.Tool = bend.Tool{Bar: k.Bar, Former: d.formers[k.Brake+"|"+k.Bar]}
	return b, true
}

// packOf is the pack a reading was of: as logged, else the sheet's own, for a
// job is mostly cut from one pack.
func packOf(t *traveler.Traveler, x store.Sample) string {
	if x.Reading.Pack != "" {
		return x.Reading.Pack
	}
	return PackOf(t)
}

// PackOf is the pack a sheet is bent from where no reading names one: that
// which it was issued for, else one of its own.
func PackOf(t *traveler.Traveler) string {
	if t.Pack != "" {
		return t.Pack
	}
	return "sheet " + t.Code
}

// ReaderOf is who logged a reading, and with which protractor.
func ReaderOf(r progress.Reading) learn.Reader { return learn.Reader{Person: r.By, Tool: r.Tool} }

// reading turns a logged reading into one that teaches; false when the shop no
// longer knows the material.
func (d *desk) reading(x store.Sample) (learn.Reading, store.CellKey, bool, error) {
	k, err := d.key(x)
	if err != nil {
		return learn.Reading{}, k, false, err
	}
	sheet, err := d.sheet(x.Code)
	if err != nil {
		return learn.Reading{}, k, false, err
	}
	b, known := d.bend(k, x.Target.Deg(), packOf(sheet, x))
	r := learn.Reading{
		Bend: b, Reader: ReaderOf(x.Reading), Stop: x.StopBend.Deg(), Measured: x.Bend().Deg(),
		Opening: x.Reading.GivenAs == progress.GivenOpening,
	}
	if step, found := progress.StepOf(sheet, x.Reading.Step); found {
		r.Printed = step.StopBend.Deg() - x.Target.Deg()
	}
	if x.Reading.Leg != nil {
		r.Leg = x.Reading.Leg.MM()
	}
	return r, k, known, nil
}
