package wording

import (
	"math"

	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// tightWithin is how little may be left above the least clearance before a step
// is called tight, in millimetres (common practice, no source).
const tightWithin = 0.5

// clearances notes the least distance of the step.
func clearances(k *brake.Brake, step *process.Step, w *fitting.Chosen) {
	step.Clearance, step.Between = unit.MM(w.Clearance), w.Between
	if math.IsInf(w.Clearance, 1) {
		step.Clearance, step.Between = 0, [2]string{}
		return
	}
	least := k.Clearance.BedAndLeaf
	if w.Between[1] != "bed" && w.Between[1] != fitting.LeafName(w.Leaf) {
		least = k.Clearance.Bar
	}
	step.Tight = step.Clearance < least+tightWithin
}
