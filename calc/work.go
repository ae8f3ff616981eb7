// Package calc works one part, one sheet and one brake into a plan that a
// person can follow.
//
// Work is the only way in. It develops the blank (calc/figures), asks calc/order
// for the cheapest order in which calc/fitting finds every bend possible, and has
// the result worded (calc/wording), or explained where there is none (calc/why).
// It knows no clock, no disk and no network; equal input gives an equal plan.
package calc

import (
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/why"
	"brakeside/calc/wording"
)

// Work plans a part on a brake. An error means that no brake could make the
// part; a plan that is not Feasible means that this one cannot.
func Work(p part.Part, k *brake.Brake, o Options) (*process.Plan, error) {
	fewer, err := withoutBars(k, o.Without)
	if err != nil {
		return nil, err
	}
	a, err := o.settle(p, fewer)
	if err != nil {
		return nil, err
	}
	plan := a.plan
	plan.Weigh()
	if !plan.Feasible {
		plan.Blocked = why.Explain(plan, why.Asked{Part: p, Brake: k, First: o.First, Begin: o.begin})
		return plan, nil
	}
	plan.Cautions, plan.Office = wording.PartCautions(plan), wording.OverTheHold(plan)
	if a.unsettled {
		plan.Cautions = append(plan.Cautions, wording.Unsettled)
	}
	plan.OtherRun, err = o.otherRun(a.station)
	return plan, err
}

// begin gives the plans that a part is begun with on a brake as its file has it,
// with no order looked for yet. One of them has an order if the part can be bent.
func (o Options) begin(p part.Part, k *brake.Brake) ([]*process.Plan, error) {
	k, err := withoutBars(k, o.Without)
	if err != nil {
		return nil, err
	}
	blanks, err := o.blanks(p, k)
	var out []*process.Plan
	for _, b := range blanks {
		out = append(out, process.New(b, k))
	}
	return out, err
}

// withoutBars takes bars off the brake.
func withoutBars(k *brake.Brake, names []string) (*brake.Brake, error) {
	if len(names) == 0 {
		return k, nil
	}
	fewer := *k
	fewer.Bars = nil
	for _, name := range names {
		if !slices.ContainsFunc(k.Bars, func(b brake.Bar) bool { return b.Name == name }) {
			return nil, fault.New(fault.Invalid, "without", "%s has no bar %q", k.Name, name)
		}
	}
	for _, b := range k.Bars {
		if !slices.Contains(names, b.Name) {
			fewer.Bars = append(fewer.Bars, b)
		}
	}
	return &fewer, nil
}
