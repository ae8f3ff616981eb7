package lessons

import (
	"context"
	"fmt"

	"brakeside/calc/bend"
	"brakeside/calc/figures"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// FiguresFor gives the shop's figures with what a traveler for one brake is
// printed with, cut from a named pack or from any, see Printed.
func (b *Book) FiguresFor(ctx context.Context, brake, pack string) (figures.Shop, error) {
	shop, err := b.figures(ctx)
	if err != nil {
		return shop, err
	}
	shop.Learned, err = b.Printed(ctx, brake, pack)
	return shop, err
}

// Printed gives what the planner asks for the springback of a bend on one brake,
// of sheets cut from a named pack or from any: the figure the owner accepted for
// the cell, and else, unless the owner refused it, what the model knows, with how
// surely. It may be used while the log goes on.
func (b *Book) Printed(ctx context.Context, brake, pack string) (out func(bend.Making) (bend.Expected, bool), err error) {
	err = b.with(ctx, func(d *desk) error {
		model, shop, h := b.model.Clone(), *d, b.kept.past
		out = func(m bend.Making) (bend.Expected, bool) {
			k := keyOf(m, brake)
			if now := h.now(k); now != nil {
				return figure(now).Expected(m.Bend.Angle), true
			}
			if m.Tool.Bar == "" || !h.open(k) {
				return bend.Expected{}, false
			}
			return shop.learned(model, learn.Bend{Making: m, Brake: brake, Pack: pack})
		}
		return nil
	})
	return out, err
}

// learned gives what a model knows of a bend, with how surely in its words; false
// when it knows no more than practice.
func (d *desk) learned(model *learn.Model, b learn.Bend) (bend.Expected, bool) {
	small := model.For(b)
	if model.Readings(b) == 0 {
		d.strip(small, b)
	}
	e, known := small.Expected(b)
	e.From += fmt.Sprintf(", give or take %s°", e.SD().Text(1))
	return e, known
}

// unlogged is the springback that a cell would be printed with if nothing had been
// logged: of a trial strip, or of practice.
func (d *desk) unlogged(k store.CellKey, angle unit.Deg) (learn.Figure, bool) {
	b, known := d.bend(k, angle, "")
	if !known {
		return learn.Figure{}, false
	}
	e := d.shop.Expect(b.Making)
	return learn.Figure{SD: e.SD(), From: e.From}.Reaching(e.Degrees, angle), true
}

// printedNow is the springback that a sheet issued now would be printed with, and
// where it comes from.
func (b *Book) printedNow(d *desk, h history, k store.CellKey, angle unit.Deg) (learn.Figure, bool) {
	if now := h.now(k); now != nil {
		_, known := d.bend(k, angle, "")
		return figure(now), known
	}
	if bend, known := d.bend(k, angle, ""); known && h.open(k) {
		if e, more := d.learned(b.model, bend); more {
			return learn.Figure{SD: e.SD(), From: e.From}.Reaching(e.Degrees, angle), true
		}
	}
	return d.unlogged(k, angle)
}
