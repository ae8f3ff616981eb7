package parts

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"brakeside/calc/process"
	"brakeside/calc/spc"
	"brakeside/calc/tolerance"
	"brakeside/calc/unit"
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

// likelyKind is what is told in one line: all angles, or all sizes, that come out alike.
type likelyKind struct {
	angle   bool
	verdict tolerance.Verdict
}

// likelyWords words the sizes and angles of a plan that may not hold what the drawing
// asks, a line a kind, with
// the steps they are of and the worst of them.
func likelyWords(plan *process.Plan, c tolerance.Capability) []string {
	var kinds []likelyKind
	worst, steps := map[likelyKind]process.Likely{}, map[likelyKind][]string{}
	for _, l := range plan.Likely(c) {
		if l.Verdict == tolerance.Holds || !l.Asked { // nobody asked for a usual tolerance
			continue
		}
		kind := likelyKind{l.Angle, l.Verdict}
		if steps[kind] == nil {
			kinds = append(kinds, kind)
		}
		if step := strconv.Itoa(l.Step); !slices.Contains(steps[kind], step) {
			steps[kind] = append(steps[kind], step)
		}
		if l.Outside > worst[kind].Outside {
			worst[kind] = l
		}
	}
	var out []string
	for _, kind := range kinds {
		l := worst[kind]
		what, measure, spread := "sizes", "mm", unit.MM(l.Spread).Text(2)
		if l.Angle {
			what, measure, spread = "angles", "°", unit.Deg(l.Spread).Text(2)
		}
		at := "step"
		if len(steps[kind]) > 1 {
			at = "steps"
		}
		out = append(out, fmt.Sprintf("%s within ± %.2f %s (%s %s): %s. Spread up to %s, up to %.0f in 100 outside",
			what, l.Tolerance, measure, at, strings.Join(steps[kind], ", "), kind.verdict.Words(), spread, 100*l.Outside))
	}
	return out
}
