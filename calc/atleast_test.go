package calc_test

import (
	"fmt"
	"math"
	"testing"

	"brakeside/calc"
	"brakeside/calc/fitting"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// node is a place in a search: what has been made, and how the brake stands.
type node struct {
	made order.Made
	now  order.Setup
}

// never is the cost of what cannot be finished.
var never = order.Cost{Lifting: math.MaxInt32, Minutes: order.Minutes(math.Inf(1))}

// costToGo is what finishing the part truly costs from a node, never where it cannot
// be finished; every node that is come to is kept.
func costToGo(s *fitting.Station, at node, known map[node]order.Cost) order.Cost {
	if cost, ok := known[at]; ok {
		return cost
	}
	least := never
	if at.made == 1<<len(s.Operations)-1 {
		least = order.Cost{}
	}
	for next := range s.Operations {
		if at.made.Has(next) {
			continue
		}
		for _, a := range s.Actions(at.made, next) {
			rest := costToGo(s, node{at.made | 1<<next, a.Setup}, known)
			if whole := s.Change(at.now, a.Setup).Add(a.Own).Add(rest); rest != never && whole.Under(least) {
				least = whole
			}
		}
	}
	known[at] = least
	return least
}

// What no order can cost less than is nowhere more than what the cheapest does: from
// every place that a search of a real part can come to, in either run of the job. And
// it is worth something: from the flat blank on it is more than a third of that.
func TestNoOrderIsUnderTheBound(t *testing.T) {
	suite.Unraced(t)
	plans := map[string]*process.Plan{"a Z": zed(t)}
	for _, name := range feasibleNames {
		plans[name] = suite.Plan(t, name)
	}
	for name, of := range plans {
		for _, run := range []struct {
			run      process.Run
			quantity int
		}{{process.ByStep, 1}, {process.ByStep, 25}, {process.ByPiece, 25}} {
			plan := *of
			plan.Run, plan.Quantity = run.run, run.quantity
			s, known := fitting.New(&plan), map[node]order.Cost{}
			truth := costToGo(s, node{0, fitting.Start}, known)
			what := fmt.Sprintf("%s, %d pieces %s", name, plan.Quantity, plan.Run)
			for at, cost := range known {
				bound := s.AtLeast(at.made, at.now)
				if bound.Lifting > cost.Lifting || bound.Lifting == cost.Lifting && bound.Minutes > cost.Minutes+1e-9 {
					t.Fatalf("%s: once %b is made, %+v, no order is said to cost less than %v; one costs %v", what, at.made, at.now, bound, cost)
				}
			}
			if bound := s.AtLeast(0, fitting.Start); bound.Minutes < truth.Minutes/3 {
				t.Errorf("%s: no order is said to cost less than %v, the cheapest costs %v", what, bound, truth)
			}
		}
	}
}

// zed is bent once to either side at one stop under one bar: nothing but turning it over
// comes between its bends, so that the bound has nothing to give away.
func zed(t *testing.T) *process.Plan {
	t.Helper()
	text := `{"number":"Z","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":300,"legs":[40,120,40],"bends":[90,-90]}}`
	return suite.Work(t, suite.Read(t, []byte(text)), suite.Brake(t), calc.Options{})
}
