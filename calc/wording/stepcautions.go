package wording

import (
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// Thresholds of step cautions (common practice, no source).
const (
	longSwing  unit.MM = 200 // a panel that swings farther than this is named
	heavyBar           = 5.0 // kg: a bar of more is lifted with two hands
	cornerRoom unit.MM = 0.5 // overbend needs more room than this at a corner
)

// stepCautions lists what is true of one step, the worst first.
func stepCautions(p *process.Plan, step *process.Step, w *fitting.Chosen) []process.Caution {
	var out []process.Caution
	add := func(level process.Level, format string, values ...any) {
		out = append(out, process.Caution{Level: level, Text: fmt.Sprintf(format, values...)})
	}
	_, swinging := w.Bench.Across()
	if reach := swingReach(w); reach > longSwing {
		add(process.Warning, "Panel swings up %s mm towards you: stand clear.", reach.Text(0))
	}
	if weight := step.Bar.Weight(); weight > heavyBar && step.Segments == nil {
		add(process.Care, "The %s bar weighs about %.0f kg: two hands.", step.Bar.Name, weight)
	}
	if step.Hold = hold(p, step, swinging); step.Hold.Lifts {
		add(process.Notice, "%s", step.Hold.Words())
	}
	b := p.Bends[step.Joints[0]].Bend
	rule := p.Brake.NoseSetback.ByRule(b.Radius, b.Thickness)
	if step.Bar.Kind != brake.Round && step.NoseSetback.Text(1) != rule.Text(1) {
		add(process.Notice, "Nose setback %s mm, not the %s of the brake's rule: at this stop the metal needs the room.",
			step.NoseSetback.Text(1), rule.Text(1))
	}
	if room := overbendRoom(p, step, w); room > cornerRoom {
		add(process.Notice, "Overbending moves the top of this wall %s mm past square: corners need that room.", room.Text(1))
	}
	if step.Flatten != nil && step.Flatten.Mallet {
		add(process.Notice, "A bar held by a magnet may not press a hem quite shut: finish it with a mallet on a flat block.")
	}
	if step.Tight {
		add(process.Notice, "Tight: %s mm between %s and %s.", step.Clearance.Text(1), step.Between[0], step.Between[1])
	}
	return out
}

// swingReach is the radius that the outermost point of the swinging side goes
// round with.
func swingReach(w *fitting.Chosen) unit.MM {
	_, e := w.Bench.Edge(true, w.Made)
	return unit.MM(-e.Low)
}

// hold estimates whether the magnet holds the bar down.
func hold(p *process.Plan, step *process.Step, swinging unit.MM) bend.Hold {
	k := p.Brake
	if k.Magnet.Pressure == 0 {
		return bend.Hold{}
	}
	sheet := p.Blank.Sheet
	return bend.Clamped{
		Strength: sheet.Material.Strength, Thickness: sheet.Thickness,
		Lever: min(swinging, k.Leaf.Face(step.Leaf)), Depth: step.Bar.Depth,
		Pressure: unit.MPa(k.Magnet.Pressure * sheet.Material.HoldShare()), Margin: k.Magnet.Margin,
	}.Hold()
}

// overbendRoom is how far the top of the wall goes past its target when walls
// stand at both sides of it or at one: its height times the sine of the
// overbend.
func overbendRoom(p *process.Plan, step *process.Step, w *fitting.Chosen) unit.MM {
	beside := false
	for i := range p.Blank.Faces {
		if w.Bench.Beside(i, w.Made) {
			beside = true
		}
	}
	if !beside {
		return 0
	}
	_, height := w.Bench.Across()
	return height * unit.MM(math.Sin(step.Springback.Rad()))
}
