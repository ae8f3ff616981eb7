package parts

import (
	"context"
	"fmt"

	"brakeside/calc/process"
	"brakeside/calc/spc"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
	"brakeside/server/say"
	"brakeside/server/store"
)

// capability is what a brake holds: the spread of its angles as logged, group by
// group, once there are enough readings; else what a leaf brake usually holds.
// Lines and edges are not logged and stay the usual ones.
func (s *Section) capability(ctx context.Context, brake string) (tolerance.Capability, string, error) {
	c := tolerance.Usual
	cells, err := s.Store.Cells(ctx, store.Choice{Brake: brake})
	if err != nil {
		return c, "", err
	}
	var spreads []spc.Spread
	n := 0
	for _, cell := range cells {
		if cell.N > 1 {
			spreads = append(spreads, spc.Spread{Value: float64(cell.Spread), Freedom: float64(cell.N - 1)})
			n += cell.N
		}
	}
	if n < spc.LeastForJudgement {
		return c, "by what a leaf brake usually holds", nil
	}
	c.Angle = unit.Deg(spc.PooledSpread(spreads).Value)
	return c, fmt.Sprintf("angles by n = %d readings on this brake, lines by what a leaf brake usually holds", n), nil
}

// likelyWords words the sizes and angles of a plan that may not hold.
func likelyWords(plan *process.Plan, c tolerance.Capability) []string {
	var out []string
	for _, l := range plan.Likely(c) {
		if l.Verdict == tolerance.Holds {
			continue
		}
		measure, nominal, spread := "mm", unit.MM(l.Nominal).Text(1), unit.MM(l.Spread).Text(2)
		if l.Angle {
			measure, nominal, spread = "°", unit.Deg(l.Nominal).Text(0), unit.Deg(l.Spread).Text(2)
		}
		words := fmt.Sprintf("step %d, %s, %s %s ± %.2f: %s. Spread %s, about %.0f in 100 outside",
			l.Step, l.What, nominal, measure, l.Tolerance, l.Verdict.Words(), spread, 100*l.Outside)
		if l.Bends > 0 {
			words += ", over " + say.Counted(l.Bends, "more bend")
		}
		out = append(out, words)
	}
	return out
}
