// Package wording writes the order that was found as steps a person can follow:
// how the part is turned, where it is gauged from, what to check, what can no
// longer be done, with the cautions of each step and of the whole part.
package wording

import (
	"brakeside/calc/fitting"
	"brakeside/calc/measure"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Steps words the actions of an order.
func Steps(s *fitting.Station, actions []order.Action) []process.Step {
	var out []process.Step
	var near [][]measure.Reference
	from, made := fitting.Start, order.Made(0)
	for i, a := range actions {
		w := s.Chosen(made, a)
		var before *process.Step
		if i > 0 {
			before = &out[i-1]
		}
		step := step(s.Plan, s.Operations[a.Bend], before, w)
		near = append(near, references(w, &step))
		step.Number, step.FaceUp = i+1, a.FaceUp
		step.TurnOver, step.Rotate = fitting.Handling(from, a.Setup)
		step.Over, step.RotateBy = fitting.Turned(from, a.Setup)
		if before != nil {
			step.Tip = w.Stands(step.Clamped, before.Clamped)
		}
		from, made = a.Setup, made|1<<a.Bend
		step.Closes = closes(s, made, a.Bend)
		out = append(out, step)
	}
	gauge(s.Plan, out, near)
	check(s.Plan.Blank, out)
	return out
}

// step words one bend made in the way that was chosen for it.
func step(p *process.Plan, joints []int, before *process.Step, w *fitting.Chosen) process.Step {
	b := p.Bends[joints[0]]
	step := process.Step{
		Joints:   joints,
		Clamped:  p.Blank.Faces[w.Bench.Root()].ID,
		Swinging: p.Blank.Faces[w.Bench.SwingingFace()].ID,
		Bar:      w.Bar, Leaf: w.Leaf, Place: w.Place, Length: w.Bench.Length,
		NoseSetback: p.Brake.NoseSetbackFor(w.Bar, b.Bend.Radius, b.Bend.Thickness, b.Bend.Angle+b.Springback),
		Target:      b.Bend.Angle, Springback: b.Springback, StopFrom: b.SpringbackFrom,
		StopBend: b.Bend.Angle + b.Springback,
		SlideOut: w.SlideOut, PackingStrip: w.PackingStrip, BarPlace: barPlace(w), Gaps: gaps(w),
		Before: w.View(0), After: w.View(w.Bench.Target),
	}
	for _, j := range joints {
		step.Bends = append(step.Bends, p.Blank.Joints[j].ID)
	}
	for _, g := range w.Segments {
		step.Segments = append(step.Segments, process.Segment{Width: g.Width, At: unit.MM(g.At)})
	}
	step.Stop = p.Brake.Scale.Stop(step.StopBend)
	step.NoseLine = w.Bench.NoseLine(step.LineSetback())
	step.Pose, step.ToolsAt = w.Pose(), w.ToolsAt()
	flatten(p, &step, w)
	clearances(p.Brake, &step, w)
	step.Cautions = stepCautions(p, before, &step, w)
	return step
}
