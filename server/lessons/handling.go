package lessons

import (
	"context"
	"math"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/server/store"
)

// Handling is what the paces of a brake say of its handling minutes. Only sheets
// that were planned by the minutes of now count.
type Handling struct {
	Brake    string
	Sheets   int
	Ratio    float64 // the middle one of its paces
	Factor   float64 // to take the minutes of now by: Ratio, within mostTimes
	Now      brake.Minutes
	Known    bool // the brake is kept, so that Now is known
	Proposed bool // the change is worth making, and was not refused
}

// Handlings sums the paces up brake by brake, for brakes with enough of them, in
// the order of first mention.
func (b *Book) Handlings(ctx context.Context, paces []Pace) ([]Handling, error) {
	kept, err := b.keptBrakes(ctx)
	if err != nil {
		return nil, err
	}
	decided, err := b.from.Settlements(ctx, store.SubjectMinutes)
	if err != nil {
		return nil, err
	}
	past := settledOf(decided)
	ratios := map[string][]float64{}
	var order []string
	for _, p := range paces {
		if ratios[p.Brake] == nil {
			order = append(order, p.Brake)
			ratios[p.Brake] = []float64{}
		}
		if !p.Issued.Before(kept[p.Brake].since) {
			ratios[p.Brake] = append(ratios[p.Brake], p.Ratio())
		}
	}
	var out []Handling
	for _, name := range order {
		if len(ratios[name]) < leastSheets {
			continue
		}
		k, known := kept[name]
		h := Handling{Brake: name, Sheets: len(ratios[name]), Ratio: middle(ratios[name]), Now: k.Minutes, Known: known}
		h.Factor = min(max(h.Ratio, 1/mostTimes), mostTimes)
		refused, was := past.refused[name]
		h.Proposed = known && math.Abs(h.Ratio-1) >= leastOff && !(was && math.Abs(h.Ratio-refused.Offered) < leastOff)
		out = append(out, h)
	}
	return out, nil
}

// PaceOf gives, for each brake whose log tells it, how many times as long as planned
// the jobs take that are planned by its minutes of now.
func (b *Book) PaceOf(ctx context.Context) (map[string]float64, error) {
	paces, err := b.Paces(ctx, store.Choice{})
	if err != nil {
		return nil, err
	}
	handlings, err := b.Handlings(ctx, paces)
	of := make(map[string]float64, len(handlings))
	for _, h := range handlings {
		of[h.Brake] = h.Factor
	}
	return of, err
}

// middle gives the median and sorts the values.
func middle(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}

// MinutesChoice is what the owner decides about the handling minutes of a brake.
type MinutesChoice struct {
	Brake  string
	Kind   string  // store.DecisionAccepted and so on
	Seen   float64 // the factor that the owner saw proposed
	Factor float64 // of DecisionEdited
	By     string
}

// MinutesSettled is a decision about handling minutes: what the minutes of the
// brake as kept now are taken by, or which version they go back to.
type MinutesSettled struct {
	store.Settlement
	Newest store.Revision
	Back   *store.Revision // nil: take by Becomes
}

// sameFactor is how far a factor may differ from the one shown, with two
// decimals, for it to be the same.
const sameFactor = 0.0051

// DecideMinutes works out a decision about handling minutes; the caller keeps
// it. It refuses with fault.Missing what is not proposed, with fault.Conflict
// what has changed since the owner looked, with fault.Invalid a factor beyond
// half or double, and to go back where nothing was changed.
func (b *Book) DecideMinutes(ctx context.Context, c MinutesChoice) (MinutesSettled, error) {
	kept, err := b.keptBrakes(ctx)
	if err != nil {
		return MinutesSettled{}, err
	}
	k, known := kept[c.Brake]
	if !known {
		return MinutesSettled{}, fault.New(fault.Missing, "", "There is no brake of that name.")
	}
	if c.Kind == store.DecisionReturned {
		return b.goBackMinutes(ctx, c, k)
	}
	paces, err := b.Paces(ctx, store.Choice{Brake: c.Brake})
	if err != nil {
		return MinutesSettled{}, err
	}
	handlings, err := b.Handlings(ctx, paces)
	if err != nil {
		return MinutesSettled{}, err
	}
	switch {
	case len(handlings) == 0 || !handlings[0].Proposed:
		return MinutesSettled{}, fault.New(fault.Missing, "", "Nothing is proposed for this any more.")
	case math.Abs(handlings[0].Factor-c.Seen) > sameFactor:
		return MinutesSettled{}, fault.New(fault.Conflict, "",
			"More was logged since: %.2f is proposed now, not %.2f. Look again.", handlings[0].Factor, c.Seen)
	}
	return decidedMinutes(handlings[0], c, k)
}

func decidedMinutes(h Handling, c MinutesChoice, k keptBrake) (MinutesSettled, error) {
	x := MinutesSettled{Newest: k.Revision, Settlement: store.Settlement{
		Subject: store.SubjectMinutes, Name: h.Brake, Kind: c.Kind,
		Was: 1, Offered: h.Ratio, Becomes: h.Factor, Upon: k.Seq, N: h.Sheets, By: c.By,
	}}
	switch c.Kind {
	case store.DecisionRefused:
		x.Becomes = 1
	case store.DecisionAccepted:
	case store.DecisionEdited:
		if !(c.Factor >= 1/mostTimes && c.Factor <= mostTimes) {
			return x, fault.New(fault.Invalid, "factor", "Handling minutes are at most halved or doubled at once: give 0.5 to 2.")
		}
		x.Becomes = c.Factor
	default:
		return x, fault.New(fault.Invalid, "kind", "Accept, edit or refuse.")
	}
	return x, nil
}

// goBackMinutes finds the version whose minutes held before the last change.
func (b *Book) goBackMinutes(ctx context.Context, c MinutesChoice, k keptBrake) (MinutesSettled, error) {
	all, err := b.from.Settlements(ctx, store.SubjectMinutes)
	if err != nil {
		return MinutesSettled{}, err
	}
	last, is := settledOf(all).now(c.Brake)
	if !is {
		return MinutesSettled{}, fault.New(fault.Missing, "", "Nothing was changed here: there is nothing to go back to.")
	}
	history, err := b.from.History(ctx, store.Brakes, k.Name)
	if err != nil {
		return MinutesSettled{}, err
	}
	i := slices.IndexFunc(history, func(r store.Revision) bool { return r.Seq == last.Upon })
	if i < 0 {
		return MinutesSettled{}, fault.New(fault.Missing, "", "The version before the change is not kept.")
	}
	x := store.Settlement{
		Subject: store.SubjectMinutes, Name: c.Brake, Kind: c.Kind,
		Was: last.Becomes, Offered: 1, Becomes: 1, Upon: k.Seq, By: c.By,
	}
	return MinutesSettled{x, k.Revision, &history[i]}, nil
}

// MinutesChange is a decision that changed handling minutes, with how long the
// jobs planned before it and since took, over what was planned.
type MinutesChange struct {
	store.Settlement
	Before, After   float64 // the middle ratio
	NBefore, NAfter int
	Current         bool
}

// MinutesChanges lists the changes of handling minutes, the newest first.
func (b *Book) MinutesChanges(ctx context.Context) ([]MinutesChange, error) {
	all, err := b.from.Settlements(ctx, store.SubjectMinutes)
	if err != nil || len(all) == 0 {
		return nil, err
	}
	paces, err := b.Paces(ctx, store.Choice{})
	if err != nil {
		return nil, err
	}
	now := settledOf(all)
	var out []MinutesChange
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Kind == store.DecisionRefused {
			continue
		}
		last, is := now.now(all[i].Name)
		c := MinutesChange{Settlement: all[i], Current: is && last.Seq == all[i].Seq}
		c.beside(paces, all)
		out = append(out, c)
	}
	return out, nil
}

// beside sums up the paces on either side of a change, as far as the changes of
// the same brake before and after it.
func (c *MinutesChange) beside(paces []Pace, all []store.Settlement) {
	from, to := span(all, c.Settlement)
	var before, after []float64
	for _, p := range paces {
		switch {
		case p.Brake != c.Name:
		case !p.Issued.Before(c.At) && (to.IsZero() || p.Issued.Before(to)):
			after = append(after, p.Ratio())
		case p.Issued.Before(c.At) && !p.Issued.Before(from):
			before = append(before, p.Ratio())
		}
	}
	if c.NBefore = len(before); c.NBefore > 0 {
		c.Before = middle(before)
	}
	if c.NAfter = len(after); c.NAfter > 0 {
		c.After = middle(after)
	}
}
