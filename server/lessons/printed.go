package lessons

import (
	"context"
	"fmt"
	"maps"

	"brakeside/calc/bend"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// history is what each cell was decided to be printed with: one entry for every
// decision that changed it, the last of which holds.
type history map[store.CellKey]ruling

// ruling is what was decided about one cell.
type ruling struct {
	stack   []*store.Decision
	refused bool // the last word was to leave it as it is
}

// historyOf follows the decisions in their order: a change is put on top, going
// back takes the top off, a refusal keeps what is there.
func historyOf(all []store.Decision) history {
	h := history{}
	for i := range all {
		d := &all[i]
		about := h[d.Cell]
		about.refused = d.Kind == store.DecisionRefused
		switch d.Kind {
		case store.DecisionAccepted, store.DecisionEdited:
			about.stack = append(about.stack, d)
		case store.DecisionReturned:
			about.stack = about.stack[:max(0, len(about.stack)-1)]
		}
		h[d.Cell] = about
	}
	return h
}

// now gives the decision that a cell is printed by; nil for none.
func (h history) now(k store.CellKey) *store.Decision {
	if all := h[k].stack; len(all) > 0 {
		return all[len(all)-1]
	}
	return nil
}

// open reports whether nobody has decided about a cell: its stops follow the log.
func (h history) open(k store.CellKey) bool { return h.now(k) == nil && !h[k].refused }

// without is the history as if the last change of a cell had not been made.
func (h history) without(k store.CellKey) history {
	out := maps.Clone(h)
	out[k] = ruling{stack: h[k].stack[:len(h[k].stack)-1]}
	return out
}

// figure is a decision as the arithmetic has it.
func figure(d *store.Decision) learn.Figure {
	return learn.Figure{Zero: d.Printed.Zero.Deg(), At90: d.Printed.At90.Deg(), SD: d.Printed.Spread.Deg(), From: d.Words}
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

// keyOf names the cell of a bend that is being planned. While its bar is not
// known nothing is. Over a round bar the radius is the bar's and needs no name.
func keyOf(m bend.Making, brake string) store.CellKey {
	k := store.CellKey{
		Material: m.Sheet.Material.ID, Thickness: m.Sheet.Thickness.Micron(), Radius: m.Bend.Radius.Micron(),
		Brake: brake, Bar: m.Tool.Bar,
	}
	if m.Tool.Former > 0 {
		k.Radius = 0
	}
	return k
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
