package calc

import (
	"math"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/order"
	"brakeside/calc/part"
	"brakeside/calc/stock"
	"brakeside/calc/unit"
)

// Options are what a plan depends on beside part and brake.
type Options struct {
	Quantity int      // pieces that set-up minutes are shared over; below 1 counts as 1
	Run      Run      // empty is ByStep
	First    string   // the bend to begin with; empty leaves it free
	Without  []string // bars that are not to be used
	Next     int      // how many better orders to pass over
	// Watch, if set, is told how far planning has come, and says whether to go
	// on.
	Watch func(done, all int) bool
}

// SheetOf finds the sheet a part is made from: its material, and its thickness
// or its gauge in the series that belongs to the material.
func SheetOf(p part.Part) (stock.Sheet, error) {
	m, err := stock.Find(p.Material)
	if err != nil {
		return stock.Sheet{}, inFile(p, "/material", err)
	}
	s := stock.Sheet{Material: m, Thickness: p.Thickness}
	if p.Gauge != "" {
		if s.Thickness, err = m.Thickness(p.Gauge); err != nil {
			return s, inFile(p, "/gauge", err)
		}
	}
	return s, nil
}

// inFile gives a refusal its place in the part's file.
func inFile(p part.Part, pointer string, err error) error {
	if r, ok := err.(*fault.Refusal); ok {
		placed := p.Refuse(pointer, "%s", r.Message)
		return placed
	}
	return err
}

// Develop works out the blank of a part from its own sheet.
func Develop(p part.Part) (*flat.Blank, error) {
	sheet, err := SheetOf(p)
	if err != nil {
		return nil, err
	}
	return flat.Develop(p, sheet)
}

// Draft works out the blank and the arithmetic of every bend, before any brake
// is chosen.
func Draft(p part.Part) (*Plan, error) {
	blank, err := Develop(p)
	if err != nil {
		return nil, err
	}
	plan := &Plan{Blank: blank}
	plan.listBends()
	return plan, nil
}

// Work plans a part on a brake. An error means that no brake could make the
// part; a plan that is not Feasible means that this one cannot.
func Work(p part.Part, k *brake.Brake, o Options) (*Plan, error) {
	plan, err := Draft(p)
	if err != nil {
		return nil, err
	}
	plan.Brake, plan.Quantity, plan.Run = k, max(o.Quantity, 1), o.Run
	if plan.Run == "" {
		plan.Run = ByStep
	}
	if plan.Brake, err = withoutBars(k, o.Without); err != nil {
		return nil, err
	}
	s := newShop(plan)
	found, err := s.search(o)
	if err != nil {
		return nil, err
	}
	plan.Searched = Searched{States: found.States, Checks: found.Checks}
	plan.Feasible, plan.ProvenCheapest = found.Actions != nil, found.Actions != nil && found.Proven
	if !plan.Feasible {
		plan.Undecided = !found.Proven
		plan.Blocked = explain(plan, o)
		return plan, nil
	}
	plan.Minutes = float64(found.Minutes)
	plan.Steps = s.steps(found.Actions)
	plan.Cautions = wholePart(plan)
	return plan, s.otherRun(o)
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

// listBends works out the arithmetic of every bend.
func (p *Plan) listBends() {
	for _, j := range p.Blank.Joints {
		p.Bends = append(p.Bends, reckoned(j, p.Blank))
	}
}

// operations groups bends that are made at once: on one line, of one sign and
// angle, joining one common face on the same side, or twins between the same
// two faces.
func operations(b *flat.Blank) [][]int {
	var out [][]int
	taken := make([]bool, len(b.Joints))
	for i := range b.Joints {
		if taken[i] {
			continue
		}
		group := []int{i}
		for k := i + 1; k < len(b.Joints); k++ {
			if !taken[k] && together(b.Joints[i], b.Joints[k]) {
				group, taken[k] = append(group, k), true
			}
		}
		out = append(out, group)
	}
	return out
}

func together(a, b flat.Joint) bool {
	if a.Angle != b.Angle || a.Bend.Radius != b.Bend.Radius || !shareFace(a, b) {
		return false
	}
	along := a.Line[1].Sub(a.Line[0]).Unit()
	return math.Abs(along.Cross(b.Line[0].Sub(a.Line[0]))) < flat.Snap && math.Abs(along.Cross(b.Line[1].Sub(a.Line[0]))) < flat.Snap
}

// shareFace reports whether two bends have a face in common, on the same side
// of their line.
func shareFace(a, b flat.Joint) bool {
	for i, f := range a.Faces {
		for k, g := range b.Faces {
			if f == g && (a.Across.Dot(b.Across) > 0) == (i == k) {
				return true
			}
		}
	}
	return false
}

// start is how the blank arrives and how the brake stands between jobs: face A
// up, the blank's x axis along the brake, the leaf with its extension on.
var start = order.Setup{FaceUp: "A", Leaf: string(brake.Full)}

// direction is the heading of a vector of the blank, whole degrees 0..359.
func direction(x, y float64) int {
	return wrap(int(math.Round(float64(unit.FromRad(math.Atan2(y, x))))))
}

func wrap(degrees int) int { return ((degrees % 360) + 360) % 360 }
