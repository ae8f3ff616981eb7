package wording

import (
	"fmt"
	"math"
	"strings"

	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/calc/unit"
)

// holdDown tells what to do where the bar lifts.
func holdDown(step *process.Step, g fitting.Grip) string {
	if packedHolds(step, g) {
		return "Pack both its ends with scrap of the same gauge, then it holds; try on scrap."
	}
	return "Clamp its ends; try on scrap."
}

// packedHolds reports whether the bar no longer lifts once its ends are packed and all
// of it pulls.
func packedHolds(step *process.Step, g fitting.Grip) bool {
	return !g.PackEnds && g.Length >= step.Length
}

// wouldHold tells what else would hold a bar that lifts: another bar, or a shorter
// bend. It is empty where the bar holds, or nothing is known that would.
func wouldHold(step *process.Step, g fitting.Grip) string {
	if !g.Lifts() || packedHolds(step, g) {
		return ""
	}
	var would []string
	if g.Depth > 0 {
		would = append(would, fmt.Sprintf("a bar %s mm deep where one fits", unit.MM(math.Ceil(float64(g.Depth))).Text(0)))
	}
	if g.Length > 0 && !g.PackEnds {
		most := unit.MM(math.Floor(float64(g.Length)))
		would = append(would, fmt.Sprintf("no more than %s mm of bend with the bar's ends packed", most.Text(0)))
	}
	return listed(would, "or")
}

// OverTheHold warns of the steps whose bar lifts, and says what would hold. It is for
// who plans, buys and divides work: at the brake the step itself says what to do.
func OverTheHold(p *process.Plan) []process.Caution {
	var out []process.Caution
	steps := map[string][]string{}
	var texts []string
	for _, s := range p.Steps {
		if s.WouldHold == "" {
			continue
		}
		if steps[s.WouldHold] == nil {
			texts = append(texts, s.WouldHold)
		}
		steps[s.WouldHold] = append(steps[s.WouldHold], fmt.Sprint(s.Number))
	}
	for _, would := range texts {
		word := "Step "
		if len(steps[would]) > 1 {
			word = "Steps "
		}
		hazard := word + strings.Join(steps[would], ", ") + ": the magnet does not hold the bar"
		if p.ProvenCheapest {
			hazard += ", and no order has fewer such steps"
		}
		out = append(out, process.Caution{
			Level: process.Warning, Hazard: hazard + ".",
			Do: "What would hold: " + would + ".", Needs: process.AMagnet,
		})
	}
	return out
}
