package calc

import (
	"slices"

	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/unit"
)

// ViewAt draws the end view of a step while the leaf stands at an angle: 0 is
// before the bend, the step's StopBend is where the leaf is stopped. Steps
// count from 1; an unknown step has no view.
func (p *Plan) ViewAt(step int, angle unit.Deg) []Shape {
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
