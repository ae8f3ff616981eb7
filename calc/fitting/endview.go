package fitting

import (
	"slices"

	"brakeside/calc/brake"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
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
	return shapes(v, b.Bar(bar), leaf)
}

func shapes(v clash.View, bar geom.Polygon, leaf brake.Slimness) []process.Shape {
	out := []process.Shape{
		{Role: process.BedShape, Outline: v.Bed},
		{Role: process.LeafShape, Outline: v.Leaf(leaf)},
		{Role: process.BarShape, Outline: bar},
	}
	for _, g := range v.Clamped {
		out = append(out, process.Shape{Role: process.ClampedShape, Outline: g})
	}
	for _, g := range v.Swinging {
		out = append(out, process.Shape{Role: process.SwingingShape, Outline: g})
	}
	return out
}

// PressView is the end view of the chosen way of a hem, cut in the middle of the
// bend, while it is pressed: begun, with the bar above it, or flat.
func (c *Chosen) PressView(flat bool) []process.Shape {
	return c.pressViewAt(float64(c.Bench.Length)/2, flat)
}

func (c *Chosen) pressViewAt(x float64, flat bool) []process.Shape {
	v := c.Bench.PressView(c.Made, x, c.bar, flat)
	out := shapes(v.View, v.Bar, c.Leaf)
	if v.Strip != nil {
		out = append(out, process.Shape{Role: process.StripShape, Outline: v.Strip})
	}
	if f := c.Flatten; f.Packing > 0 {
		out = append(out, process.Shape{Role: process.StripShape, Outline: c.packingUnder(v.Bar)})
	}
	return out
}

// packingUnder is the strip under the back of a bar that lies on a hem.
func (c *Chosen) packingUnder(bar geom.Polygon) geom.Polygon {
	low, high := geom.Bounds(bar...)
	front := max(low.X+float64(c.Flatten.Covered), high.X-float64(c.Bar.Depth)/4)
	return clash.Block(front, high.X, float64(c.Flatten.Pile-c.Flatten.Packing), float64(c.Flatten.Pile))
}
