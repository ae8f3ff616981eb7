package calc

import (
	"fmt"
	"math"

	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/unit"
)

// Thresholds of step cautions (common practice, no source).
const (
	longSwing  unit.MM = 200 // a panel that swings farther than this is named
	heavyBar           = 5.0 // kg: a bar of more is lifted with two hands
	steel              = 7.85e-6
	cornerRoom unit.MM = 0.5 // overbend needs more room than this at a corner
)

// stepCautions lists what is true of one step, the worst first.
func (s *shop) stepCautions(step *Step, w *chosen) []Caution {
	var out []Caution
	add := func(level Level, format string, values ...any) {
		out = append(out, Caution{level, fmt.Sprintf(format, values...)})
	}
	_, swinging := w.bench.Across()
	if reach := s.swingReach(w); reach > longSwing {
		add(Warning, "Panel swings up %s mm towards you: stand clear.", reach.Text(0))
	}
	if weight := BarWeight(step.Bar); weight > heavyBar && step.Segments == nil {
		add(Care, "The %s bar weighs about %.0f kg: two hands.", step.Bar.Name, weight)
	}
	if step.Hold = s.hold(step, swinging); step.Hold.Lifts {
		add(Notice, "%s", step.Hold.Words())
	}
	b := s.plan.Bends[step.Joints[0]].Bend
	if rule := s.plan.Brake.NoseSetback.ByRule(b.Radius, b.Thickness); step.Bar.Kind != brake.Round && step.NoseSetback.Text(1) != rule.Text(1) {
		add(Notice, "Nose setback %s mm, not the %s of the brake's rule: at this stop the metal needs the room.", step.NoseSetback.Text(1), rule.Text(1))
	}
	if room := s.overbendRoom(w, step); room > cornerRoom {
		add(Notice, "Overbending moves the top of this wall %s mm past square: corners need that room.", room.Text(1))
	}
	if step.Flatten != "" && !closesFully(s.plan.Brake) {
		add(Notice, "A bar held by a magnet may not press a hem quite shut: finish it with a mallet on a flat block.")
	}
	if step.Tight {
		add(Notice, "Tight: %s mm between %s and %s.", step.Clearance.Text(1), step.Between[0], step.Between[1])
	}
	return out
}

// BarWeight is the weight of a bar in one piece, in kilograms, taken as solid
// steel; 0 for fingers.
func BarWeight(b brake.Bar) float64 {
	return math.Abs(b.Section.Area()) * float64(b.Length) * steel
}

// swingReach is the radius that the outermost point of the swinging side goes
// round with.
func (s *shop) swingReach(w *chosen) unit.MM {
	e := s.edge(w, true)
	return unit.MM(-e.at)
}

// hold estimates whether the magnet holds the bar down.
func (s *shop) hold(step *Step, swinging unit.MM) bend.Hold {
	k := s.plan.Brake
	if k.Magnet.Pressure == 0 {
		return bend.Hold{}
	}
	sheet := s.plan.Blank.Sheet
	return bend.Clamped{
		Strength: sheet.Material.Strength, Thickness: sheet.Thickness,
		Lever: min(swinging, k.Leaf.Face(step.Leaf)), Depth: step.Bar.Depth,
		Pressure: unit.MPa(k.Magnet.Pressure * sheet.Material.HoldShare()), Margin: k.Magnet.Margin,
	}.Hold()
}

// overbendRoom is how far the top of the wall goes past its target when walls
// stand at both sides of it or at one: its height times the sine of the
// overbend.
func (s *shop) overbendRoom(w *chosen, step *Step) unit.MM {
	beside := false
	for i := range s.plan.Blank.Faces {
		if w.bench.Beside(i, w.made) {
			beside = true
		}
	}
	if !beside {
		return 0
	}
	_, height := w.bench.Across()
	return height * unit.MM(math.Sin(step.Springback.Rad()))
}
