package calc

import (
	"math"
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/order"
	"brakeside/calc/part"
	"brakeside/calc/unit"
)

// Options are what a plan depends on beside part and brake.
type Options struct {
	Quantity int      // pieces that set-up minutes are shared over; below 1 counts as 1
	Run      Run      // empty is ByStep
	First    string   // the bend to begin with; empty leaves it free
	Without  []string // bars that are not to be used
	Next     int      // how many better orders to pass over
	Shop     Shop     // what the shop has settled and measured
	// Watch, if set, is told how far planning has come, and says whether to go
	// on.
	Watch func(done, all int) bool
}

// Work plans a part on a brake. An error means that no brake could make the
// part; a plan that is not Feasible means that this one cannot.
func Work(p part.Part, k *brake.Brake, o Options) (*Plan, error) {
	k, err := withoutBars(k, o.Without)
	if err != nil {
		return nil, err
	}
	a, err := o.settle(p, k)
	if err != nil {
		return nil, err
	}
	plan := a.plan
	plan.weigh()
	if !plan.Feasible {
		plan.Blocked = explain(plan, o)
		return plan, nil
	}
	plan.Cautions = wholePart(plan)
	return plan, a.shop.otherRun(o)
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
	for i := range p.Blank.Joints {
		p.Bends = append(p.Bends, reckoned(p.Blank, i))
		if p.Blank.Joints[i].Hem != part.NoHem {
			p.begin(i)
		}
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
