package lessons

import (
	"context"
	"math"

	"brakeside/calc/fault"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// Proposal is a change of the printed stop of a cell, at the angle that most of
// its readings were of.
type Proposal struct {
	Cell  store.CellKey
	Angle unit.CentiDeg
	learn.Proposal
	// Open: nobody has decided about the cell, so that sheets follow the log and
	// are printed with Next already. Now is what they would be printed with
	// without it.
	Open bool
	From string // where Now comes from
	UpTo int64  // seq of the last reading considered
}

// Proposals lists what is proposed now, in the order the cells were first seen.
// One that was refused comes again when it differs from the refused one by as
// much as is worth proposing.
func (b *Book) Proposals(ctx context.Context) (out []Proposal, err error) {
	all, err := b.from.Decisions(ctx)
	if err != nil {
		return nil, err
	}
	h := historyOf(all)
	refused := refusedOffers(all)
	err = b.with(ctx, func(d *desk) error {
		for _, k := range b.order {
			p, is := b.propose(d, h, k)
			if is && !as(p, refused) {
				out = append(out, p)
			}
		}
		return nil
	})
	return out, err
}

// as reports whether much the same was refused.
func as(p Proposal, refused map[store.CellKey]store.Decision) bool {
	r, was := refused[p.Cell]
	return was && r.Angle == p.Angle && math.Abs(float64(r.Offered.Deg()-p.Wanted)) < float64(learn.LeastChange)
}

// refusedOffers keeps the last offer of each cell when it was refused.
func refusedOffers(all []store.Decision) map[store.CellKey]store.Decision {
	out := map[store.CellKey]store.Decision{}
	for _, d := range all {
		delete(out, d.Cell)
		if d.Kind == store.DecisionRefused {
			out[d.Cell] = d
		}
	}
	return out
}

func (b *Book) propose(d *desk, h history, k store.CellKey) (Proposal, bool) {
	c := b.cells[k]
	if c == nil {
		return Proposal{}, false
	}
	angle := c.usual()
	bend, known := d.bend(k, angle.Deg(), "")
	if !known {
		return Proposal{}, false
	}
	if h.open(k) {
		return b.settle(d, k, bend)
	}
	printed, _ := b.printedNow(d, h, k, angle.Deg())
	p, is := b.model.Propose(bend, printed)
	return Proposal{Cell: k, Angle: angle, Proposal: p, From: printed.From, UpTo: c.last}, is
}

// settle proposes to decide about a cell whose stops follow the log, as soon as
// its readings ask for another stop than without them: to hold what is printed.
func (b *Book) settle(d *desk, k store.CellKey, bend learn.Bend) (Proposal, bool) {
	angle := bend.Bend.Angle
	before, _ := d.unlogged(k, angle)
	p, is := b.model.Propose(bend, before)
	p.Figure = b.model.Figure(bend)
	p.Next = p.Figure.Springback(angle)
	return Proposal{Cell: k, Angle: angle.CentiDeg(), Proposal: p, Open: true, From: before.From, UpTo: b.cells[k].last}, is
}

// Choice is what the owner decides about a proposal.
type Choice struct {
	Cell       store.CellKey
	Kind       string        // store.DecisionAccepted and so on
	Springback unit.CentiDeg // of DecisionEdited: to print, at the proposal's angle
	Wanted     unit.CentiDeg // the springback the owner saw proposed, so that nothing else is accepted
	By         string
}

// Decide keeps the owner's decision. It refuses with fault.Missing what is not
// proposed, with fault.Conflict what has changed since the owner looked, with
// fault.Invalid a springback more than learn.MostChange from the printed one,
// and to go back where nothing was changed.
func (b *Book) Decide(ctx context.Context, c Choice) error {
	all, err := b.from.Decisions(ctx)
	if err != nil {
		return err
	}
	h := historyOf(all)
	var decision store.Decision
	err = b.with(ctx, func(d *desk) error {
		p, is := b.propose(d, h, c.Cell)
		switch {
		case c.Kind == store.DecisionReturned:
			decision, err = b.goBack(d, h, c)
			return err
		case !is:
			return fault.New(fault.Missing, "", "Nothing is proposed for this any more.")
		case p.Next.CentiDeg() != c.Wanted:
			return fault.New(fault.Conflict, "",
				"More was logged since: %s° is proposed now, not %s°. Look again.", p.Next.Text(2), c.Wanted.Text(2))
		}
		decision, err = decided(p, c)
		return err
	})
	if err != nil {
		return err
	}
	return b.from.AddDecision(ctx, decision)
}

// decided words a decision about a proposal.
func decided(p Proposal, c Choice) (store.Decision, error) {
	d := store.Decision{
		Kind: c.Kind, Cell: p.Cell, Angle: p.Angle, Was: p.Now.CentiDeg(), Offered: p.Next.CentiDeg(), N: p.N, UpTo: p.UpTo, By: c.By,
	}
	f := p.Figure
	switch c.Kind {
	case store.DecisionRefused:
		d.Offered = p.Wanted.CentiDeg()
		return d, nil
	case store.DecisionAccepted:
	case store.DecisionEdited:
		if change := c.Springback.Deg() - p.printed(); math.Abs(float64(change)) > float64(learn.MostChange)+1e-9 {
			return d, fault.New(fault.Invalid, "springback",
				"That is %s° from the printed %s°; a stop is moved by at most %s° at once.",
				change.Text(1), p.printed().Text(1), learn.MostChange.Text(0))
		}
		f = f.Reaching(c.Springback.Deg(), p.Angle.Deg())
		f.From = "set by the owner, " + f.From
	default:
		return d, fault.New(fault.Invalid, "kind", "Accept, edit or refuse.")
	}
	d.Printed = &store.Printed{Zero: f.Zero.CentiDeg(), At90: f.At90.CentiDeg(), Spread: f.SD.CentiDeg()}
	d.Words = f.From
	return d, nil
}

// printed is the springback that sheets are printed with now.
func (p Proposal) printed() unit.Deg {
	if p.Open {
		return p.Next
	}
	return p.Now
}

// goBack words the return to what was printed before the last change.
func (b *Book) goBack(d *desk, h history, c Choice) (store.Decision, error) {
	now := h.now(c.Cell)
	if now == nil {
		return store.Decision{}, fault.New(fault.Missing, "", "Nothing was changed here: there is nothing to go back to.")
	}
	angle := now.Angle.Deg()
	was := figure(now).Springback(angle)
	h = h.without(c.Cell)
	before, known := b.printedNow(d, h, c.Cell, angle)
	if !known {
		before = learn.Figure{}
	}
	out := store.Decision{
		Kind: store.DecisionReturned, Cell: c.Cell, Angle: now.Angle,
		Was: was.CentiDeg(), Offered: before.Springback(angle).CentiDeg(),
		Words: before.From, UpTo: b.seen.Last, By: c.By,
	}
	if previous := h.now(c.Cell); previous != nil {
		out.Printed = previous.Printed
	}
	return out, nil
}
