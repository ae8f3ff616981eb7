package fitting

import (
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// ViewAt draws the end view of a step while the leaf stands at an angle: 0 is
// before the bend, the step's StopBend is where the leaf is stopped. Steps
// count from 1; an unknown step has no view.
func ViewAt(p *process.Plan, step int, angle unit.Deg) []process.Shape {
	if step < 1 || step > len(p.Steps) {
		return nil
	}
	s := p.Steps[step-1]
	first := p.Blank.Joints[s.Joints[0]]
	side := 0
	if clamped := p.Blank.Faces[first.Faces[1]]; clamped.ID == s.Clamped || slices.Contains(clamped.Aliases, s.Clamped) {
		side = 1
	}
	bench := clash.NewBench(clash.Setting{Blank: p.Blank, Brake: p.Brake, Joints: s.Joints, Side: side, Overbend: s.Springback})
	var made fold.Made
	for _, earlier := range p.Steps[:step-1] {
		for _, j := range earlier.Joints {
			made = made.With(j)
		}
	}
	return endView(bench, s.Bar, bench.View(made, float64(bench.Length)/2, max(0, min(angle, s.StopBend))), s.Leaf)
}

// endView lists the bodies of an end view.
func endView(b *clash.Bench, bar brake.Bar, v clash.View, leaf brake.Slimness) []process.Shape {
	return shapes(v, process.Shape{Role: process.BarShape, Outline: b.Bar(bar)}, leaf)
}

func shapes(v clash.View, bar process.Shape, leaf brake.Slimness) []process.Shape {
	out := []process.Shape{
		{Role: process.BedShape, Outline: v.Bed},
		{Role: process.LeafShape, Outline: v.Leaf(leaf)},
		bar,
	}
	for _, g := range v.Clamped {
		out = append(out, process.Shape{Role: process.ClampedShape, Outline: g})
	}
	for _, g := range v.Swinging {
		out = append(out, process.Shape{Role: process.SwingingShape, Outline: g})
	}
	return out
}

// pressView lists the bodies of an end view while a hem is pressed flat.
func pressView(v clash.PressedView, leaf brake.Slimness) []process.Shape {
	out := shapes(v.View, process.Shape{Role: process.BarShape, Outline: v.Bar}, leaf)
	for _, strip := range v.Strips {
		out = append(out, process.Shape{Role: process.StripShape, Outline: strip})
	}
	return out
}
