// Package process holds the process plan of a part as data: the arithmetic of
// its bends, its weight, the steps in the order they are made, or what stands in
// their way.
//
// It decides nothing about order or tooling; calc fills a plan and its callers
// read it. Lengths are millimetres, angles degrees of bend angle, times minutes.
package process

import (
	"slices"
	"strings"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/part"
)

// Plan is how a part is made on a brake, or why it cannot be.
type Plan struct {
	Blank          *flat.Blank
	Brake          *brake.Brake
	Quantity       int
	Run            Run
	Bends          []Bend
	Feasible       bool
	ProvenCheapest bool
	Undecided      bool    // no order was found, but that there is none is not proven
	Minutes        float64 // of handling a piece, set-up shared over the quantity
	Lifting        int     // steps whose load is over what holds the bar; the cheapest order has the fewest, whatever it takes
	// Of an order that is not proven: none has fewer lifting steps than LiftingAtLeast,
	// and of those that have so few none takes fewer minutes than AtLeast. AtLeast is 0
	// where that says nothing of this order, which lifts more often.
	AtLeast        float64
	LiftingAtLeast int
	// OtherRun is what the same part costs in the other order of the run, in
	// minutes a piece, and the bends in the order that is best for it. It is
	// empty for a single piece, which is made the same way in either.
	OtherRun RunCost
	Steps    []Step
	Blocked  []Blocked
	Cautions []Caution // of the whole part
	Office   []Caution // the same, for who plans and buys: not for the brake
	Weight   Weight
	Searched Searched
	// NotOver tells why a bend is not made over the round bar of its radius, by
	// bend, where such a bar was tried.
	NotOver map[string]string
}

// Not says of a plan that is not Feasible as much as is certain.
func (p *Plan) Not() string {
	if p.Undecided {
		return "no order was found on " + p.Brake.Name + ", and that there is none is not proven"
	}
	return "cannot be bent on " + p.Brake.Name
}

// WhyNot is why it is not Feasible in plain words, as far as that is known.
func (p *Plan) WhyNot() string {
	var reasons []string
	for _, b := range p.Blocked {
		if !slices.Contains(reasons, b.Reason) {
			reasons = append(reasons, b.Reason)
		}
	}
	if reasons == nil {
		return p.Not()
	}
	return strings.Join(reasons, "; ")
}

// Run is the order in which pieces and steps follow each other.
type Run string

// ByStep makes the first piece whole, then step 1 on all pieces, then step 2;
// ByPiece makes one piece after the other.
const (
	ByStep  Run = "by-step"
	ByPiece Run = "by-piece"
)

// RunCost is the cheapest order for one way of running a job.
type RunCost struct {
	Run     Run
	Minutes float64
	Bends   []string
}

// Searched tells how much the search looked at.
type Searched struct {
	States, Checks int
}

// New is the plan of one piece of a blank with the arithmetic of its bends and
// nothing else yet. Without a brake a hem begins as far as any leaf goes.
func New(blank *flat.Blank, k *brake.Brake) *Plan {
	p := &Plan{Blank: blank, Brake: k, Quantity: 1, Run: ByStep}
	p.Reckon()
	return p
}

// Reckon works out the arithmetic of every bend anew, for the blank as it is
// made now.
func (p *Plan) Reckon() {
	p.Bends = nil
	for i, j := range p.Blank.Joints {
		b := reckoned(p.Blank, i)
		if j.Hem != part.NoHem {
			b.begin(p.Blank, i, p.Brake)
		}
		p.Bends = append(p.Bends, b)
	}
}

// Weigh works out what handling a piece needs.
func (p *Plan) Weigh() { p.Weight = weigh(p.Blank) }

// BlankFor is the blank as it is while some joints are bent together: a hem is
// begun and not yet flat.
func (p *Plan) BlankFor(joints []int) *flat.Blank {
	if p.Blank.Joints[joints[0]].Hem == part.NoHem {
		return p.Blank
	}
	if begun, err := p.Blank.Begun(joints, p.Bends[joints[0]].Bend.Angle); err == nil {
		return begun
	}
	return p.Blank // too short to be begun: Shop.Develop refuses such a part
}

// SizesPastSquare tells to where sizes run at bends of more than a right angle;
// it is empty where no size of the part meets such a bend.
func (p *Plan) SizesPastSquare() part.Over90 {
	if p.Blank.Part.Form() == part.FlatForm {
		return ""
	}
	for _, j := range p.Blank.Joints {
		if j.Bend.Angle > 90 && j.Hem == part.NoHem {
			return p.Blank.Part.Over90
		}
	}
	return ""
}

// Tools are the bars that the steps use, by bend.
func (p *Plan) Tools() map[string]bend.Tool {
	out := map[string]bend.Tool{}
	for _, s := range p.Steps {
		for _, j := range s.Joints {
			out[p.Blank.Joints[j].ID] = ToolOf(s.Bar)
		}
	}
	return out
}
