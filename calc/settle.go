package calc

import (
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/fitting"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/wording"
)

// mostRounds is how often a blank is worked out anew for the bars that were
// chosen for it.
const mostRounds = 4

// attempt is one search for an order, on one blank.
type attempt struct {
	plan      *process.Plan
	station   *fitting.Station
	unsettled bool // the blank was worked out for other bars than the steps use
}

// settle plans a part until the blank and the bars agree. What a bend uses may
// depend on the bar, see bend.Calibration, and which bar is chosen may depend
// on the blank: so the blank is worked out without bars, or with the round bars
// that its radii ask for, then for the bars chosen, and so on until they stay
// the same. Few blanks change a bar by a tenth of a millimetre; one that has
// not settled after a few rounds is left with the bars of the last round and
// says so in a caution.
func (o Options) settle(p part.Part, k *brake.Brake) (attempt, error) {
	a, err := o.start(p, k)
	for range mostRounds {
		if err != nil || !a.plan.Feasible {
			return a, err
		}
		again, err := o.Shop.DevelopFor(p, a.plan.Tools())
		if err != nil {
			return a, err
		}
		if a.plan.Blank.BendsLike(again) {
			a.plan.Blank.Making = again.Making
			for i, j := range again.Joints {
				a.plan.Blank.Joints[i].Rule = j.Rule
			}
			a.plan.Reckon()
			return a, nil
		}
		next, err := o.attempt(again, k)
		if err != nil {
			return a, err
		}
		if !next.plan.Feasible {
			break
		}
		next.plan.NotOver = a.plan.NotOver
		a = next
	}
	a.unsettled = true
	return a, nil
}

// start plans a part before its bars are known. A bend of a radius that a round
// bar makes is made over it; when the round bar cannot stand where it would
// have to, the bars with an edge are tried.
func (o Options) start(p part.Part, k *brake.Brake) (attempt, error) {
	blanks, err := o.blanks(p, k)
	if err != nil {
		return attempt{}, err
	}
	a, err := o.attempt(blanks[0], k)
	if err != nil || a.plan.Feasible || len(blanks) == 1 {
		return a, err
	}
	edged, err := o.attempt(blanks[1], k)
	if err != nil || !edged.plan.Feasible {
		return a, err
	}
	edged.plan.NotOver = a.station.NotOver()
	return edged, nil
}

// blanks are those that a part is begun with, in the order in which they are tried:
// over the round bars of the brake that its radii ask for, if any, then without.
func (o Options) blanks(p part.Part, k *brake.Brake) ([]*flat.Blank, error) {
	blank, err := o.Shop.Develop(p)
	if err != nil {
		return nil, err
	}
	if n := len(blank.Joints); n > fold.MostJoints {
		return nil, fault.New(fault.TooLarge, "", "the part has %d bends, counted piece by piece; at most %d are planned",
			n, fold.MostJoints)
	}
	tools := fitting.Formers(blank, k)
	if len(tools) == 0 {
		return []*flat.Blank{blank}, nil
	}
	over, err := o.Shop.DevelopFor(p, tools)
	return []*flat.Blank{over, blank}, err
}

// attempt searches for an order on one blank.
func (o Options) attempt(blank *flat.Blank, k *brake.Brake) (attempt, error) {
	plan := process.New(blank, k)
	plan.Quantity = max(o.Quantity, 1)
	if o.Run != "" {
		plan.Run = o.Run
	}
	s := fitting.New(plan)
	found, err := o.search(s)
	if err != nil {
		return attempt{}, err
	}
	plan.Searched = process.Searched{States: found.States, Checks: found.Checks}
	plan.Feasible, plan.ProvenCheapest = found.Actions != nil, found.Actions != nil && found.Proven
	plan.Undecided = !plan.Feasible && !found.Proven
	if plan.Feasible {
		plan.Minutes, plan.Lifting = float64(found.Cost.Minutes), found.Cost.Lifting
		if plan.LiftingAtLeast = found.AtLeast.Lifting; plan.LiftingAtLeast == plan.Lifting {
			plan.AtLeast = float64(found.AtLeast.Minutes)
		}
		plan.Steps = wording.Steps(s, found.Actions)
	}
	return attempt{plan: plan, station: s}, nil
}
