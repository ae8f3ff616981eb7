package calc_test

import (
	"errors"
	"fmt"
	"os"
	"path"
	"slices"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/fold"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// sequence is the order of the bends of a plan.
func sequence(p *process.Plan) string {
	var ids []string
	for _, s := range p.Steps {
		ids = append(ids, s.Bends[0])
	}
	return strings.Join(ids, " ")
}

func TestBeginWithABend(t *testing.T) {
	for _, first := range []string{"b1", "b2", "b3", "b4"} {
		plan := suite.Work(t, suite.Part(t, "P4"), suite.Brake(t), calc.Options{First: first})
		if !plan.Feasible || !strings.HasPrefix(sequence(plan), first) {
			t.Errorf("asked to begin with %s: %s", first, sequence(plan))
		}
		if plan.Minutes < suite.Plan(t, "P4").Minutes-1e-9 {
			t.Errorf("beginning with %s takes %v minutes, less than the cheapest", first, plan.Minutes)
		}
	}
	if _, err := calc.Work(suite.Part(t, "P4"), suite.Brake(t), calc.Options{First: "b9"}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("asked to begin with a bend that is not there: %v", err)
	}
}

// Passing over better orders gives every order once, each as cheap as that order
// can be, from the cheapest on; then there are no more.
func TestNextBestOrders(t *testing.T) {
	p, k := suite.Part(t, "P3"), suite.Brake(t)
	blank, err := figures.Shop{}.Develop(p)
	if err != nil {
		t.Fatal(err)
	}
	s := fitting.New(process.New(blank, k))
	want := map[string]cost{}
	for _, o := range orders(t, p, k) {
		want[strings.Join(o, " ")] = alongOrder(s, o, 0, fitting.Start)
	}
	last := cost{}
	for next := range len(want) {
		plan := suite.Work(t, p, k, calc.Options{Next: next})
		paid, known := want[sequence(plan)]
		if !known {
			t.Errorf("order %d, %s, is none or has been given before", next, sequence(plan))
		}
		delete(want, sequence(plan))
		sameCost(t, fmt.Sprintf("order %d, %s", next, sequence(plan)), costOf(plan), paid)
		if c := costOf(plan); c.lifting < last.lifting || c.lifting == last.lifting && c.minutes < last.minutes-1e-9 {
			t.Errorf("order %d costs %+v, the one before %+v", next, c, last)
		}
		if plan.ProvenCheapest != (next == 0) {
			t.Errorf("order %d: proven cheapest %v", next, plan.ProvenCheapest)
		}
		last = costOf(plan)
	}
	if _, err := calc.Work(p, k, calc.Options{Next: 8}); fault.KindOf(err) != fault.Missing {
		t.Errorf("asked for a ninth order of eight: %v", err)
	}
}

// alongOrder is the least cost of one order of the bends.
func alongOrder(s *fitting.Station, ids []string, made order.Made, at order.Setup) cost {
	if len(ids) == 0 {
		return cost{}
	}
	least := noOrder
	for next, joints := range s.Operations {
		if s.Plan.Blank.Joints[joints[0]].ID != ids[0] {
			continue
		}
		for _, a := range s.Actions(made, next) {
			if c := alongOrder(s, ids[1:], made|1<<next, a.Setup).on(s, at, a); c.below(least) {
				least = c
			}
		}
	}
	return least
}

func TestWithoutBars(t *testing.T) {
	plan := suite.Work(t, suite.Part(t, "P7"), suite.Brake(t), calc.Options{Without: []string{"wide", "slotted"}})
	if !plan.Feasible || plan.Steps[0].Bar.Name == "wide" || len(plan.Brake.Bars) != 2 {
		t.Errorf("without wide and slotted: feasible %v, %+v", plan.Feasible, plan.Brake.Bars)
	}
	k := suite.Brake(t)
	if _, err := calc.Work(suite.Part(t, "P7"), k, calc.Options{Without: []string{"long"}}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("without a bar that is not there: %v", err)
	}
	if len(k.Bars) != 4 {
		t.Error("leaving bars out changed the brake itself")
	}
}

func TestWatchStopsPlanning(t *testing.T) {
	_, err := calc.Work(suite.Part(t, "P5"), suite.Brake(t), calc.Options{Watch: func(done, all int) bool { return false }})
	if !errors.Is(err, order.Cancelled) || fault.KindOf(err) != fault.Busy {
		t.Errorf("stopped by its watcher: %v", err)
	}
}

// tabs is a plate with tabs of 5 mm along one edge.
func tabs(count int) string {
	long := 7*count + 10
	faces := []string{fmt.Sprintf(`{"id":"plate","outline":[[0,0],[%d,0],[%d,50],[0,50]]}`, long, long)}
	var bends []string
	for i := range count {
		x := 5 + 7*i
		faces = append(faces, fmt.Sprintf(`{"id":"t%d","outline":[[%d,50],[%d,50],[%d,80],[%d,80]]}`, i, x, x+5, x+5, x))
		bends = append(bends, fmt.Sprintf(`{"id":"b%d","between":["plate","t%d"],"line":[[%d,50],[%d,50]],"angle":90}`, i, i, x, x+5))
	}
	return `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{"faces":[` + strings.Join(faces, ",") + `],"bends":[` + strings.Join(bends, ",") + `]}}`
}

// Tabs on one line are bent in one step; of more than can be kept apart in a set
// the plan is refused, since those beyond would count as flat for ever.
func TestTabsOnOneLine(t *testing.T) {
	plan := suite.Work(t, suite.Read(t, []byte(tabs(fold.MostJoints))), suite.Brake(t), calc.Options{})
	if !plan.Feasible || len(plan.Steps) != 1 || len(plan.Steps[0].Bends) != fold.MostJoints {
		t.Errorf("%d tabs: feasible %v, steps %v", fold.MostJoints, plan.Feasible, len(plan.Steps))
	}
	suite.Near(t, "length over all tabs", float64(plan.Steps[0].Length), 7*fold.MostJoints-2, 1e-9)
	if _, err := calc.Work(suite.Read(t, []byte(tabs(fold.MostJoints+1))), suite.Brake(t), calc.Options{}); fault.KindOf(err) != fault.TooLarge {
		t.Errorf("%d tabs: %v, want it refused as too large", fold.MostJoints+1, err)
	}
}

// A bar with slots every 24 mm takes in both side walls of a tray where they
// stand a multiple of 24 apart: their middles are the outside size less 2, the
// slots leave 2 mm of play to each side. Up to 8 mm of a bend may stick out past
// the bar, so with other sizes one wall can stand beside its end.
func TestSlottedBar(t *testing.T) {
	k := suite.Brake(t)
	k.Bars = slices.DeleteFunc(k.Bars, func(b brake.Bar) bool { return b.Kind != brake.Slotted })
	for _, test := range []struct {
		x, y, leg int
		want      bool
	}{
		{242, 242, 25, true}, {245, 242, 25, true}, {250, 250, 25, false}, {250, 242, 25, true}, {256, 256, 25, true},
		{242, 242, 40, false}, // higher than the slots
	} {
		wall := fmt.Sprintf(`[{"leg":%d}]`, test.leg)
		p := suite.Read(t, []byte(fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"tray":{"base":[%d,%d],"walls":{"left":%s,"right":%s,"front":%s,"back":%s}}}`, test.x, test.y, wall, wall, wall, wall)))
		blank, err := figures.Shop{}.Develop(p)
		if err != nil {
			t.Fatal(err)
		}
		if got := fitting.Possible(blank, k); got != test.want {
			t.Errorf("a tray of %d x %d x %d with the slotted bar alone: possible %v, want %v", test.x, test.y, test.leg, got, test.want)
		}
	}
}

func BenchmarkWork(b *testing.B) {
	for _, file := range []string{
		"suite/parts/P1", "suite/parts/P4", "suite/parts/P5", "suite/parts/P6", "parts/six-bend", "parts/enclosure",
	} {
		b.Run(path.Base(file), func(b *testing.B) {
			text, err := os.ReadFile("../testdata/" + file + ".json")
			if err != nil {
				b.Fatal(err)
			}
			p, k := suite.Read(b, text), suite.Brake(b)
			for b.Loop() {
				suite.Work(b, p, k, calc.Options{})
			}
		})
	}
}
