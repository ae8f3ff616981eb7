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

// stepCautions lists all that is true of one step, the gravest first. Before is
// the step before it, nil for none.
func stepCautions(p *process.Plan, before, step *process.Step, w *fitting.Chosen) []process.Caution {
	var out []process.Caution
	add := func(c process.Caution, hazard string, values ...any) {
		c.Hazard = fmt.Sprintf(hazard, values...)
		out = append(out, c)
	}
	if reach := w.Bench.Reach(w.Made); reach > longSwing {
		add(process.Caution{Level: process.Warning, Harm: "It strikes whoever stands there.", Do: "Stand at the leaf's end."},
			"The part swings out %s mm from the hinge.", reach.Text(0))
	}
	step.Hold, step.WouldHold = w.Grip.Hold, wouldHold(step, w.Grip)
	switch step.Hold.State {
	case bend.TooSmall:
		add(process.Caution{Level: process.Warning, Harm: "It can spring up.",
			Do: holdDown(step, w.Grip), Needs: process.AMagnet}, "%s", step.Hold.Words())
	case bend.Marginal:
		add(process.Caution{Level: process.Notice, Harm: "Lifting spoils the bend.", Do: "If it lifts, stop.",
			Needs: process.AMagnet}, "%s", step.Hold.Words())
	}
	lifted := before == nil || before.Bar.Name != step.Bar.Name
	if weight := step.Bar.Weight(); weight > heavyBar && step.Segments == nil && lifted {
		add(process.Caution{Level: process.Care, Harm: "It crushes what it falls on.", Do: "Two hands.", Needs: process.ALongBar},
			"The %s bar weighs about %.0f kg.", step.Bar.Name, weight)
	}
	if w.Grip.PackEnds {
		add(process.Caution{Level: process.Notice, Harm: "A bar that rests on one short part tilts.", Do: packEnds(step),
			Needs: process.ALongBar},
			"The bend is %s mm long under a bar of %s.", step.Length.Text(0), step.Bar.Length.Text(0))
	}
	b := p.Bends[step.Joints[0]].Bend
	rule := p.Brake.NoseSetback.ByRule(b.Radius, b.Thickness)
	if step.Bar.Kind != brake.Round && step.NoseSetback.Text(1) != rule.Text(1) {
		add(process.Caution{Level: process.Notice, Do: "The metal needs the room."},
			"Set the nose back %s mm at this stop, not the %s of the brake's rule.", step.NoseSetback.Text(1), rule.Text(1))
	}
	if room := overbendRoom(p, step, w); room > cornerRoom {
		add(process.Caution{Level: process.Notice, Do: "Its corners need that room."},
			"Overbending moves the top of %s %s mm too far.", p.Blank.Word(step.Swinging), room.Text(1))
	}
	if step.Flatten != nil && step.Flatten.Mallet {
		add(process.Caution{Level: process.Notice, Do: "Finish it with a mallet on a flat block.", Needs: process.AMagnet},
			"A bar held by a magnet may not press a hem quite shut.")
	}
	if step.Tight {
		do := "Set nose setback and line with care."
		between := p.Blank.Word(step.Between[0])
		if w.Endwise {
			do = "Set the part with care along the bend."
		}
		if w.Endwise && w.ToCurve {
			between = "the curve of " + between
		}
		add(process.Caution{Level: process.Notice, Do: do},
			"Tight: %s mm between %s and %s.", step.Clearance.Text(1), between, step.Between[1])
	}
	return process.ByHarm(out)
}

// packEnds tells where a long bar is packed: where no metal of the part lies.
func packEnds(step *process.Step) string {
	if step.Place == process.Middle {
		return "Pack both ends with scrap of the same gauge."
	}
	return "Pack its other end with scrap of the same gauge."
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
