// Package why finds out why a part cannot be made on a brake: which bends stand
// in each other's way, with the picture of the first collision, and which changes
// would free them.
//
// Every change it names was made to the file of the part or the brake and planned;
// an unproven one is not offered.
package why

import (
	"slices"

	"brakeside/calc/fitting"
	"brakeside/calc/notation"
	"brakeside/calc/process"
)

// Explain finds sets of bends that stand in each other's way, one after the other:
// each is broken up before the next is looked for, so the sets have no bend in
// common.
//
// Where there is an order after all, none begins with the bend that was to be the
// first.
//
// Where nothing is proven nothing is explained.
func Explain(p *process.Plan, asked Asked) []process.Blocked {
	if p.Undecided {
		return nil
	}
	conflicts := conflictsOf(p.Blank, p.Brake)
	if conflicts == nil {
		return []process.Blocked{{
			Bends: []string{asked.First}, Reason: "no order begins with this bend",
			Why: []string{"no order begins with bend " + p.Blank.Word(asked.First)},
			Cures: []process.Cure{{
				Change: "begin with another bend", Kind: process.SetupCure, Of: process.OfPart, Patch: notation.Patch{}, Frees: process.FreesPart,
			}},
		}}
	}
	h := &healer{Asked: asked, blank: p.Blank, now: p.Brake, left: mostQuestions}
	h.healAll(conflicts)
	var out []process.Blocked
	for _, c := range conflicts {
		b := c.told
		b.Cures = c.cures
		out = append(out, b)
	}
	return out
}

// healAll looks for cures of all conflicts, and for pairs of changes where no single
// one frees the part.
func (h *healer) healAll(conflicts []*conflict) {
	share := h.left / (len(conflicts) + 1)
	for _, c := range conflicts {
		h.left = share
		h.heal(c)
	}
	h.left = share
	for _, c := range conflicts {
		if len(c.cures) == 0 {
			h.pairs(c)
		}
		h.freesOnly(c)
	}
}

// pairs looks for a second change where a first one frees a conflict and not the
// part.
func (h *healer) pairs(c *conflict) {
	for _, first := range c.freed {
		p, k, err := h.changed(first)
		if err != nil || c.full(first.kind) {
			continue
		}
		plans, err := h.Begin(p, k)
		if err != nil {
			continue
		}
		next := &healer{Asked: Asked{Part: p, Brake: k, Begin: h.Begin}, blank: plans[0].Blank, now: plans[0].Brake, left: h.left}
		others := conflictsOf(plans[0].Blank, plans[0].Brake)
		if len(others) == 0 {
			continue
		}
		next.heal(others[0])
		h.left = next.left
		for _, cure := range others[0].cures {
			if cure.Of == first.of && !c.full(first.kind) {
				c.cures = append(c.cures, process.Cure{
					Change: first.words + ", and " + cure.Change, Kind: harder(first.kind, cure.Kind), Of: first.of,
					Patch: slices.Concat(first.patch, cure.Patch), Frees: process.FreesPart,
				})
			}
		}
	}
}

// freesOnly names the changes that free a conflict and leave others in the way.
func (h *healer) freesOnly(c *conflict) {
	for _, by := range c.freed {
		if c.full(by.kind) || !h.try(by).clear(c) {
			continue
		}
		c.cures = append(c.cures, process.Cure{
			Change: by.words + "; that frees these bends only", Kind: by.kind, Of: by.of, Patch: by.patch, Frees: process.FreesBends,
		})
	}
}

// heal looks for cures of a conflict. The easiest to make come first then: what can be set, what could
// lie on the shelf, what the drawing could say, making it in two pieces.
func (h *healer) heal(c *conflict) {
	limited := c.only(fitting.TooLong, fitting.TooWeak, fitting.TooFar) // whatever stands about the bend
	for _, look := range []struct {
		worth bool
		at    func(*conflict)
	}{
		{true, h.apart},
		{!c.only(fitting.TooLong, fitting.TooWeak), h.lessAngle},
		{!c.only(fitting.TooLong, fitting.TooFar), h.thinner},
		{c.causes[fitting.AtBar], h.otherBars},
		{c.causes[fitting.AtLeaf], h.slimmerLeaf},
		{c.causes[fitting.Walls], h.missingFinger},
		{!limited, h.cutBack},
		{!limited, h.otherSizes},
		{!limited, h.otherWay},
		{c.causes[fitting.TooLong] || c.causes[fitting.TooWeak], h.shorter},
	} {
		if look.worth {
			look.at(c)
		}
	}
	slices.SortStableFunc(c.cures, func(a, b process.Cure) int { return slices.Index(kinds, a.Kind) - slices.Index(kinds, b.Kind) })
}

// kinds are the kinds of cure, the easiest to make first.
var kinds = []process.CureKind{process.SetupCure, process.StockCure, process.DrawingCure, process.SplitCure}

// harder is the kind of two changes together.
func harder(a, b process.CureKind) process.CureKind {
	return kinds[max(slices.Index(kinds, a), slices.Index(kinds, b))]
}
