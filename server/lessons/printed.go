package lessons

import (
	"context"

	"brakeside/calc/bend"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// history is what each cell was printed with, one entry for every decision that
// changed it; the last holds. A nil entry is practice.
type history map[store.CellKey][]*store.Decision

// historyOf follows the decisions in their order: a change is put on top, going
// back takes the top off, a refusal does nothing.
func historyOf(all []store.Decision) history {
	h := history{}
	for i := range all {
		d := &all[i]
		switch d.Kind {
		case store.DecisionAccepted, store.DecisionEdited:
			h[d.Cell] = append(h[d.Cell], d)
		case store.DecisionReturned:
			if n := len(h[d.Cell]); n > 0 {
				h[d.Cell] = h[d.Cell][:n-1]
			}
		}
	}
	return h
}

// now gives the decision that a cell is printed by; nil for none.
func (h history) now(k store.CellKey) *store.Decision {
	if all := h[k]; len(all) > 0 {
		return all[len(all)-1]
	}
	return nil
}

// figure is a decision as the arithmetic has it.
func figure(d *store.Decision) learn.Figure {
	return learn.Figure{Zero: d.Printed.Zero.Deg(), At90: d.Printed.At90.Deg(), SD: d.Printed.Spread.Deg(), From: d.Words}
}

// Learned gives what the planner asks for the springback of a bend on one brake:
// the figures the owner accepted.
func Learned(ctx context.Context, from *store.Store, brake string) (func(bend.Making) (bend.Expected, bool), error) {
	all, err := from.Decisions(ctx)
	if err != nil {
		return nil, err
	}
	return learned(historyOf(all), brake), nil
}

func learned(h history, brake string) func(bend.Making) (bend.Expected, bool) {
	return func(m bend.Making) (bend.Expected, bool) {
		d := h.now(keyOf(m, brake))
		if d == nil {
			return bend.Expected{}, false
		}
		return figure(d).Expected(m.Bend.Angle), true
	}
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

// printedNow is the springback that a sheet issued now would be printed with,
// and where it comes from.
func (d *desk) printedNow(h history, k store.CellKey, angle unit.Deg) (learn.Figure, bool) {
	b, known := d.bend(k, angle, "")
	if !known {
		return learn.Figure{}, false
	}
	if now := h.now(k); now != nil {
		return figure(now), true
	}
	e := d.shop.Expect(b.Making)
	return learn.Figure{SD: e.SD(), From: e.From}.Reaching(e.Degrees, angle), true
}
