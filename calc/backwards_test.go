package calc_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// Of the sets of bends that can be reached on a strip bent to and fro nearly all
// lead nowhere. Asked from the flat blank on, the strip of 12 took 24,552 questions
// and that of 14 took 114,462.
func TestToAndFroAsksLittle(t *testing.T) {
	for bends, most := range map[int]int{12: 400, 14: 620, 20: 1_700} {
		plan := suite.Work(t, suite.Read(t, []byte(stairs(bends))), suite.Brake(t), calc.Options{})
		if !plan.ProvenCheapest || plan.Searched.Checks > most {
			t.Errorf("%d bends: proven %v with %d questions, want it proven with at most %d", bends, plan.ProvenCheapest, plan.Searched.Checks, most)
		}
	}
}

// Two strips for which a search from the flat blank found no order: each has one,
// it is proven the cheapest, and every step of it can be made.
func TestLongStripsHaveAnOrder(t *testing.T) {
	suite.Unraced(t)
	for _, name := range []string{"long-16", "long-20"} {
		data, err := os.ReadFile("../testdata/cases/" + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		plan := suite.Work(t, suite.Read(t, data), suite.Brake(t), calc.Options{})
		if !plan.ProvenCheapest || plan.AtLeast != 0 {
			t.Fatalf("%s: feasible %v, proven %v, none takes less than %v", name, plan.Feasible, plan.ProvenCheapest, plan.AtLeast)
		}
		var ids []string
		for _, s := range plan.Steps {
			ids = append(ids, s.Bends[0])
		}
		sameCost(t, name, costOf(plan), alongSetups(fitting.New(plan), ids))
	}
}

// alongSetups is the least cost of one order of many bends, infinite where one of
// them cannot be made.
func alongSetups(s *fitting.Station, ids []string) cost {
	ends, made := setups{fitting.Start: cost{}}, order.Made(0)
	for _, id := range ids {
		next := slices.IndexFunc(s.Operations, func(joints []int) bool { return s.Plan.Blank.Joints[joints[0]].ID == id })
		after := setups{}
		after.reach(s, ends, made, next)
		ends, made = after, made|1<<next
	}
	return ends.least()
}

// setups are the least costs at which some bends end in each setup.
type setups map[order.Setup]cost

// reach goes on from the setups of a set of bends by one bend more.
func (to setups) reach(s *fitting.Station, ends setups, made order.Made, next int) {
	for _, a := range s.Actions(made, next) {
		for from, c := range ends {
			c = c.on(s, from, a)
			if old, known := to[a.Setup]; !known || c.below(old) {
				to[a.Setup] = c
			}
		}
	}
}

func (to setups) least() cost {
	least := noOrder
	for _, c := range to {
		if c.below(least) {
			least = c
		}
	}
	return least
}

// anyStrip draws a strip of many bends.
func anyStrip(t *rapid.T, least, most int) []byte {
	n := rapid.IntRange(least, most).Draw(t, "bends")
	legs, angles := []string{"30"}, []string{}
	for range n {
		legs = append(legs, fmt.Sprint(rapid.SampledFrom([]int{20, 25, 30, 40}).Draw(t, "leg")))
		angles = append(angles, fmt.Sprint(rapid.SampledFrom([]int{20, 30, 60, 90, -20, -30, -45, -60}).Draw(t, "angle")))
	}
	return fmt.Appendf(nil, `{"number":"L","material":"mild-steel","thickness":0.8,"inside_radius":1,"profile":{"length":300,"legs":[%s],"bends":[%s]}}`,
		strings.Join(legs, ","), strings.Join(angles, ","))
}

// forwards is the least cost of all orders from the flat blank on: every set that
// can be reached is asked about, each with every setup it can end in.
func forwards(s *fitting.Station) cost {
	n := len(s.Operations)
	ends := make([]setups, 1<<n)
	ends[0] = setups{fitting.Start: cost{}}
	for made := range order.Made(1) << n {
		for next := range n {
			if len(ends[made]) == 0 || made.Has(next) {
				continue
			}
			to := made | 1<<next
			if ends[to] == nil {
				ends[to] = setups{}
			}
			ends[to].reach(s, ends[made], made, next)
		}
	}
	return ends[1<<n-1].least()
}

func TestRandomStripsAgainstForwards(t *testing.T) {
	suite.Unraced(t)
	most := 0
	rapid.Check(t, func(t *rapid.T) {
		if most++; most > 12 {
			return // a dozen strips are enough
		}
		blank, err := figures.Shop{}.Develop(suite.Read(t, anyStrip(t, 9, 10)))
		if err != nil {
			t.Skip("no part")
		}
		s := fitting.New(process.New(blank, suite.Brake(t)))
		found, err := order.Find(len(s.Operations), fitting.Start, s, nil)
		if err != nil || !found.Proven {
			t.Fatalf("proven %v, %v", found.Proven, err)
		}
		want := forwards(s)
		if (found.Actions != nil) != (want != noOrder) {
			t.Fatalf("an order found: %v, but the cheapest takes %v", found.Actions != nil, want)
		}
		if found.Actions != nil {
			sameCost(t, "a strip", cost{found.Cost.Lifting, float64(found.Cost.Minutes)}, want)
		}
		if got := fitting.Impossible(blank, suite.Brake(t)); got != (want == noOrder) {
			t.Errorf("Impossible = %v, but the cheapest order takes %v", got, want)
		}
	})
}
