package lessons

import (
	"context"
	"encoding/json"
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/learn"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// StripKey names what a K-factor is learned for. Bar is empty for strips that
// hold for every bar.
type StripKey struct {
	Material  string
	Thickness unit.Micron
	Radius    unit.Micron // in tenths of a millimetre
	Bar       string
}

// name is the key as it is kept with a decision.
func (k StripKey) name() string {
	text, err := json.Marshal(k)
	if err != nil {
		panic(err) // words and whole numbers
	}
	return string(text)
}

// KProposal is a change of the K-factor that a cell is reckoned with.
type KProposal struct {
	Key  StripKey
	Bend bend.Bend // square, as reckoned now
	learn.KProposal
	From string // what the K comes from now
}

// Calibration is what accepting the proposal adds to the shop's figures.
func (p KProposal) Calibration(by, at string) bend.Calibration {
	const band = unit.MM(0.05) // the radius as it was named
	return bend.Calibration{
		Material: p.Key.Material, Thickness: p.Key.Thickness.MM(), Radius: [2]unit.MM{p.Key.Radius.MM() - band, p.Key.Radius.MM() + band},
		Bar: p.Key.Bar, K: p.Next, By: by, At: at, Source: fmt.Sprintf("learned from %d trial strips", p.N),
	}
}

// KProposals lists the changes that the kept trial strips propose, in the order
// of the strips, the oldest first. One that was refused comes again when it
// differs from the refused one by as much as is worth proposing.
func (b *Book) KProposals(ctx context.Context) ([]KProposal, error) {
	d, err := newDesk(ctx, b.from, b.figures)
	if err != nil {
		return nil, err
	}
	trials, err := b.from.Trials(ctx)
	if err != nil {
		return nil, err
	}
	decided, err := b.from.Settlements(ctx, store.SubjectK)
	if err != nil {
		return nil, err
	}
	past := settledOf(decided)
	strips := map[StripKey][]learn.Strip{}
	var order []StripKey
	for i := len(trials) - 1; i >= 0; i-- {
		k := keyOfTrial(trials[i])
		if strips[k] == nil {
			order = append(order, k)
		}
		strips[k] = append(strips[k], stripOf(trials[i]))
	}
	var out []KProposal
	for _, k := range order {
		if p, is := d.proposeK(k, strips[k]); is && !refusedK(p, past) {
			out = append(out, p)
		}
	}
	return out, nil
}

func keyOfTrial(t store.Trial) StripKey {
	const tenth = 100
	return StripKey{t.Material, t.Thickness, (t.Radius + tenth/2) / tenth * tenth, t.Bar}
}

func stripOf(t store.Trial) learn.Strip {
	return learn.Strip{
		Bend:      bend.Bend{Angle: t.Angle.Deg(), Radius: t.Radius.MM(), Thickness: t.Thickness.MM()},
		Deduction: (t.Legs[0] + t.Legs[1] - t.Strip).MM(),
	}
}

// proposeK compares with what a square bend of the cell is reckoned with now.
// The rule that learning begins from is the shop's, without what it measured.
func (d *desk) proposeK(k StripKey, strips []learn.Strip) (KProposal, bool) {
	m, err := d.shop.Material(k.Material)
	if err != nil {
		return KProposal{}, false
	}
	making := bend.Making{Bend: bend.Bend{Angle: 90, Radius: k.Radius.MM(), Thickness: k.Thickness.MM()}, Tool: bend.Tool{Bar: k.Bar}}
	making.Sheet.Material, making.Sheet.Thickness = m, k.Thickness.MM()
	now, from := d.shop.Reckon(making)
	unmeasured := d.shop.Practice
	unmeasured.Calibrations = nil
	rule, _ := unmeasured.Reckon(making)
	p, is := learn.LearnK(rule.K, strips).Propose(now)
	return KProposal{Key: k, Bend: now, KProposal: p, From: from}, is
}

// refusedK reports whether much the same was refused: the deduction would differ
// by less than is worth proposing.
func refusedK(p KProposal, s settled) bool {
	r, was := s.refused[p.Key.name()]
	perK := float64(p.Bend.Thickness) * p.Bend.Angle.Rad()
	return was && math.Abs(r.Offered-p.Wanted)*perK < float64(learn.LeastDeduction)
}
