package lessons

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"time"

	"brakeside/calc/bend"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// KChoice is what the owner decides about a K-factor.
type KChoice struct {
	Key  StripKey
	Kind string  // store.DecisionAccepted and so on
	Seen float64 // the K that the owner saw proposed, so that nothing else is accepted
	K    float64 // of DecisionEdited
	By   string
	At   time.Time
}

// KSettled is a decision about a K-factor and the shop that comes of it.
type KSettled struct {
	store.Settlement
	Shop    figures.Shop
	Changes bool // the shop is another one
}

// sameK is how far a K may differ from the one shown for it to be the same.
const sameK = 5e-7

// DecideK works out a decision about a K-factor; the caller keeps it. It refuses
// with fault.Missing what is not proposed, with fault.Conflict what has changed
// since the owner looked, with fault.Invalid a K that moves the deduction by
// more than learn.MostDeduction, and to go back where nothing was changed.
func (b *Book) DecideK(ctx context.Context, c KChoice) (KSettled, error) {
	shop, err := b.figures(ctx)
	if err != nil {
		return KSettled{}, err
	}
	if c.Kind == store.DecisionReturned {
		return b.goBackK(ctx, c, shop)
	}
	proposals, err := b.KProposals(ctx)
	if err != nil {
		return KSettled{}, err
	}
	i := slices.IndexFunc(proposals, func(p KProposal) bool { return p.Key == c.Key })
	switch {
	case i < 0:
		return KSettled{}, fault.New(fault.Missing, "", "Nothing is proposed for this any more.")
	case math.Abs(proposals[i].Next-c.Seen) > sameK:
		return KSettled{}, fault.New(fault.Conflict, "",
			"Another strip was measured: K %.3f is proposed now, not %.3f. Look again.", proposals[i].Next, c.Seen)
	}
	return decidedK(proposals[i], c, shop)
}

func decidedK(p KProposal, c KChoice, shop figures.Shop) (KSettled, error) {
	x := KSettled{Shop: shop, Settlement: store.Settlement{
		Subject: store.SubjectK, Name: p.Key.name(), Kind: c.Kind,
		Was: p.Now, Offered: p.Next, Becomes: p.Next, N: p.N, By: c.By,
	}}
	made := p.Calibration(c.By, c.At.UTC().Format(time.RFC3339))
	switch c.Kind {
	case store.DecisionRefused:
		x.Offered, x.Becomes = p.Wanted, p.Now
		return x, nil
	case store.DecisionAccepted:
	case store.DecisionEdited:
		perK := float64(p.Bend.Thickness) * p.Bend.Angle.Rad()
		if span := float64(learn.MostDeduction) / perK; !(math.Abs(c.K-p.Now) <= span+sameK) {
			return x, fault.New(fault.Invalid, "k",
				"K is moved by at most %.3f at once here, which is %s mm of deduction: give %.3f to %.3f.",
				span, learn.MostDeduction.Text(1), max(0, p.Now-span), p.Now+span)
		}
		x.Becomes, made.K, made.Source = c.K, c.K, "set by the owner, "+made.Source
	default:
		return x, fault.New(fault.Invalid, "kind", "Accept, edit or refuse.")
	}
	x.Shop, x.Changes = shop.Adopt(made), true
	return x, nil
}

// goBackK takes the last learned K-factor of a cell away again.
func (b *Book) goBackK(ctx context.Context, c KChoice, shop figures.Shop) (KSettled, error) {
	all, err := b.from.Settlements(ctx, store.SubjectK)
	if err != nil {
		return KSettled{}, err
	}
	last, is := settledOf(all).now(c.Key.name())
	if !is {
		return KSettled{}, fault.New(fault.Missing, "", "Nothing was changed here: there is nothing to go back to.")
	}
	like := KProposal{Key: c.Key}.Calibration("", "")
	for i := len(shop.Calibrations) - 1; i >= 0; i-- {
		k := shop.Calibrations[i]
		if k.Material == like.Material && k.Thickness == like.Thickness && k.Radius == like.Radius && k.Bar == like.Bar && k.K == last.Becomes {
			shop.Calibrations = slices.Delete(slices.Clone(shop.Calibrations), i, i+1)
			x := store.Settlement{
				Subject: store.SubjectK, Name: last.Name, Kind: c.Kind,
				Was: last.Becomes, Offered: last.Was, Becomes: last.Was, By: c.By,
			}
			return KSettled{x, shop, true}, nil
		}
	}
	return KSettled{}, fault.New(fault.Conflict, "",
		"The shop's figures no longer hold this K-factor: they were changed by hand since. Change them there.")
}

// Deviations are by how much some strips used up less or more than reckoned.
type Deviations struct {
	N              int
	Mean, MeanSize unit.MM // of measured less reckoned deduction; of its size
}

func (d *Deviations) add(off unit.MM) {
	n := float64(d.N)
	d.N++
	d.Mean = unit.MM((float64(d.Mean)*n + float64(off)) / (n + 1))
	d.MeanSize = unit.MM((float64(d.MeanSize)*n + math.Abs(float64(off))) / (n + 1))
}

// KChange is a decision that changed a K-factor, and how far the deductions of
// strips were off: of those measured before it by the K of then, of those
// measured since by the new one.
type KChange struct {
	store.Settlement
	Key           StripKey
	Before, After Deviations
	Current       bool // it is what blanks are reckoned with now
}

// KChanges lists the changes of K-factors, the newest first.
func (b *Book) KChanges(ctx context.Context) ([]KChange, error) {
	all, err := b.from.Settlements(ctx, store.SubjectK)
	if err != nil {
		return nil, err
	}
	trials, err := b.from.Trials(ctx)
	if err != nil {
		return nil, err
	}
	now := settledOf(all)
	var out []KChange
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Kind == store.DecisionRefused {
			continue
		}
		c := KChange{Settlement: all[i]}
		if err := json.Unmarshal([]byte(c.Name), &c.Key); err != nil {
			return nil, err
		}
		last, is := now.now(c.Name)
		c.Current = is && last.Seq == c.Seq
		c.beside(trials, all)
		out = append(out, c)
	}
	return out, nil
}

// beside adds up the strips on either side of a change, as far as the changes of
// the same cell before and after it.
func (c *KChange) beside(trials []store.Trial, all []store.Settlement) {
	from, to := span(all, c.Settlement)
	for _, t := range trials {
		if keyOfTrial(t) != c.Key {
			continue
		}
		strip := stripOf(t)
		off := func(k float64) unit.MM {
			b := strip.Bend
			return strip.Deduction - bend.Bend{Angle: b.Angle, Radius: b.Radius, Thickness: b.Thickness, K: k}.Deduction()
		}
		switch {
		case !t.At.Before(c.At) && (to.IsZero() || t.At.Before(to)):
			c.After.add(off(c.Becomes))
		case t.At.Before(c.At) && !t.At.Before(from):
			c.Before.add(off(c.Was))
		}
	}
}

// span gives the times of the changes before and after one of the same name.
func span(all []store.Settlement, of store.Settlement) (from, to time.Time) {
	for _, x := range all {
		switch {
		case x.Name != of.Name || x.Kind == store.DecisionRefused || x.Seq == of.Seq:
		case x.Seq < of.Seq:
			from = x.At
		case to.IsZero():
			to = x.At
		}
	}
	return from, to
}
