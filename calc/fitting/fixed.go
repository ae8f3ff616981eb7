package fitting

import (
	"fmt"
	"math"
	"sync"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/clamp"
	"brakeside/calc/clash"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// fixed is what part and brake settle between them, whatever bends are made
// before.
type fixed struct {
	Plan       *process.Plan
	Operations [][]int // the joints that are bent at once
	thickness  unit.MM // of mild steel that bends as hard
	benches    [][2]*clash.Bench
	shelves    []func() *clamp.Shelf // by bar, laid out when first asked for
	stops      []int64               // by operation, in the brake's own scale
	across     [][2]int              // direction of the blank over the bend, by operation and clamped side
	heavier    [][2]bool
	cheapest   []order.Cost             // least of each operation whatever comes before
	up         []string                 // the face that is up for it
	slim       []bend.Fit               // of the leaf without its extension, by operation
	holds      [][2][][2]bend.HoldState // how the magnet holds, by operation, clamped side, bar and form of the leaf
}

func newFixed(p *process.Plan) fixed {
	f := fixed{Plan: p, Operations: Operations(p.Blank), thickness: p.Brake.EquivalentThickness(p.Blank.Sheet)}
	for _, bar := range p.Brake.Bars {
		f.shelves = append(f.shelves, sync.OnceValue(func() *clamp.Shelf { return clamp.NewShelf(bar) }))
	}
	for _, joints := range f.Operations {
		f.addBenches(joints)
	}
	return f
}

// addBenches puts one operation into the brake, clamped on either side.
func (f *fixed) addBenches(joints []int) {
	p := f.Plan
	b := p.Bends[joints[0]]
	across := p.Blank.Joints[joints[0]].Across
	var benches [2]*clash.Bench
	var heavier [2]bool
	var hold [2][][2]bend.HoldState
	for side := range benches {
		benches[side] = f.newBench(joints, side)
		heavier[side] = heavierSwings(p.Blank, benches[side])
		hold[side] = holds(p, benches[side])
	}
	f.benches, f.holds = append(f.benches, benches), append(f.holds, hold)
	f.cheapest = append(f.cheapest, f.leastOwn(benches, hold))
	up := "A"
	if !p.Blank.Joints[joints[0]].Up() {
		up = "B"
	}
	f.up = append(f.up, up)
	f.heavier = append(f.heavier, heavier)
	f.across = append(f.across, [2]int{direction(across.X, across.Y), direction(-across.X, -across.Y)})
	k := p.Brake
	slim := bend.Rating{T: k.Leaf.SlimRating, Length: k.RatingLength, Cap: k.RatingCap}
	f.slim = append(f.slim, bend.FitsSlimLeaf(f.thickness, benches[0].Length, slim))
	f.stops = append(f.stops, int64(p.Brake.Scale.Stop(b.Bend.Angle+b.Springback).CentiDeg()))
}

// newBench puts one operation into the brake with the bars that can make it.
func (f *fixed) newBench(joints []int, side int) *clash.Bench {
	b := f.Plan.Bends[joints[0]]
	setting := clash.Setting{Blank: f.Plan.BlankFor(joints), Brake: f.Plan.Brake, Joints: joints, Side: side, Overbend: b.Springback}
	if b.Hem != part.NoHem {
		setting.Finished = f.Plan.Blank
	}
	length := clash.LineLength(setting)
	for i, bar := range f.Plan.Brake.Bars {
		if _, why := f.weak(bar, joints[0], length); why == "" {
			setting.Bars = append(setting.Bars, i)
		}
	}
	return clash.NewBench(setting)
}

// weak asks the bar's rating, its own limit of angle, and whether the bend is
// made over a round bar; it returns why the bar cannot make the bend, with the cause,
// or nothing.
func (f *fixed) weak(bar brake.Bar, joint int, length unit.MM) (cause, why string) {
	k, b := f.Plan.Brake, f.Plan.Bends[joint]
	stop := b.Bend.Angle + b.Springback
	if bar.MaxAngle > 0 && stop > bar.MaxAngle {
		return TooFar, fmt.Sprintf("the stop at %s degrees is beyond its %s%s", stop.Text(1), bar.MaxAngle.Text(1),
			upTo("enough", bar.MaxAngle, b.Springback))
	}
	switch former := process.ToolOf(bar).Former; {
	case former == b.Former && former > 0 && b.Bend.Angle > brake.MostOverRound:
		return TooFar, fmt.Sprintf("makes bends of up to %s degrees: "+
			"for this one it would stand %s mm behind the hinge, with nothing over the sheet before it",
			brake.MostOverRound.Text(0), bar.LeastNoseSetback(b.Bend.Thickness, stop).Text(1))
	case former == b.Former:
	case b.Former == 0:
		return OtherBend, fmt.Sprintf("is round and makes no inside radius of %s mm", b.Bend.Radius.Text(1))
	default:
		return OtherBend, fmt.Sprintf("the bend is made over a round bar of radius %s mm", b.Former.Text(1))
	}
	if why := clamp.TooShort(bar, length, unsupportedEnd); why != "" {
		return TooLong, why
	}
	rating := bend.Rating{T: bar.Rating, Length: k.RatingLength, Cap: k.RatingCap}
	fit := bend.FitsSegments(f.thickness, rating)
	if bar.Kind != brake.Segments {
		fit = bend.FitsFull(f.thickness, length, rating)
	}
	if fit.OK {
		return "", ""
	}
	return TooWeak, "too weak: " + fit.Why
}

// leastOwn is the least that an operation can cost: under the bar that lifts least,
// and under the bar that is liked most, which need not be the same.
func (f *fixed) leastOwn(benches [2]*clash.Bench, holds [2][][2]bend.HoldState) order.Cost {
	k := f.Plan.Brake
	lifting, liked := 1, math.Inf(1)
	for side, b := range benches {
		for _, bar := range b.Bars {
			liked = min(liked, k.Minutes.BarPreference[k.Bars[bar].Name])
			for _, hold := range holds[side][bar] {
				if hold != bend.TooSmall {
					lifting = 0
				}
			}
		}
	}
	if math.IsInf(liked, 1) {
		return order.Cost{} // no bar can make it, so there will be no order
	}
	return order.Cost{Lifting: lifting, Minutes: order.Minutes(k.Minutes.Bend + liked)}
}

// heavierSwings reports whether more of the part swings than is clamped. Halves
// that differ by no more than a thousandth are alike.
func heavierSwings(blank *flat.Blank, b *clash.Bench) bool {
	swinging, clamped := 0.0, 0.0
	for i, f := range blank.Faces {
		for _, g := range f.Solid {
			if b.Swings(i) {
				swinging += g.Area()
			} else {
				clamped += g.Area()
			}
		}
	}
	return swinging > 1.001*clamped
}

// joints turns a set of operations into the set of joints they bend.
func (f *fixed) joints(made order.Made) fold.Made {
	var out fold.Made
	for i, joints := range f.Operations {
		if made.Has(i) {
			for _, j := range joints {
				out = out.With(j)
			}
		}
	}
	return out
}

// unsupportedEnd is how much of a bend may stick out past the end of the bar,
// in millimetres (common practice, no source).
const unsupportedEnd = 8

// tiny forgives rounding where two sizes are compared, in millimetres.
const tiny = 1e-6

// hair forgives what drawing and shearing leave open where a size of the part is
// compared with one that the brake asks for, in millimetres: a part drawn to just
// that size is meant to have it, and drawings are written to hundredths.
const hair = 0.02

// upTo tells for which bends, in whole degrees, a stop no farther than the most is
// enough; a smaller bend springs back by no more.
func upTo(words string, most, springback unit.Deg) string {
	angle := math.Floor(float64(most-springback) + tiny)
	if angle < 1 {
		return ""
	}
	return fmt.Sprintf("; %s for a bend of up to %.0f degrees", words, angle)
}
