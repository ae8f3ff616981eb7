package lessons

import (
	"maps"

	"brakeside/calc/bend"
	"brakeside/calc/learn"
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
