package wording

import (
	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/measure"
	"brakeside/calc/process"
)

// flatten notes the second doing of a hem; its width is what there is to check.
func flatten(p *process.Plan, step *process.Step, w *fitting.Chosen) {
	if w.Flatten == nil {
		return
	}
	step.Flatten = &process.Flatten{
		Face: step.Swinging, Onto: step.Clamped, Back: w.Flatten.Back, Strip: w.Flatten.Strip,
		Packing: w.Flatten.Packing, PackingOnBed: w.Flatten.PackingOnBed,
		Width:  measure.HemWidth(p.Blank, p.Blank.FaceIndex(step.Swinging), step.Joints[0]),
		Mallet: !closesFully(p.Brake), Before: w.PressView(false), After: w.PressView(true),
	}
}

// closesFully tells whether a bar that a magnet holds down presses a hem shut.
func closesFully(k *brake.Brake) bool { return k.Magnet.Pressure == 0 }
