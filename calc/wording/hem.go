package wording

import (
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// flatten words the second operation of a hem.
func flatten(p *process.Plan, step *process.Step) {
	hem := p.Bends[step.Joints[0]].Hem
	if hem == part.NoHem {
		return
	}
	over := "and press it shut"
	if hem == part.OpenHem {
		over = "over a strip of the same sheet, and press it down on that"
	}
	step.Flatten = "Flatten the hem: open the bar, draw the part forward until the fold lies under the nose, lay the edge back " + over + "."
}

// closesFully tells whether a bar that a magnet holds down presses a hem shut.
func closesFully(k *brake.Brake) bool { return k.Magnet.Pressure == 0 }
