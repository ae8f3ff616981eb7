package calc_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/bend"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/order"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

var feasibleNames = []string{"P1", "P2", "P3", "P4", "P5", "P6v", "P7"}

// everyOrder tries all orders and all ways of making each bend, by plain
// recursion: no answer is kept, nothing is pruned.
func everyOrder(s *fitting.Station, made order.Made, at order.Setup) cost {
	if made == 1<<len(s.Operations)-1 {
		return cost{}
	}
	least := noOrder
	for next := range s.Operations {
		if made.Has(next) {
			continue
		}
		for _, a := range s.Actions(made, next) {
			rest := everyOrder(s, made|1<<next, a.Setup)
			if rest == noOrder {
				continue
			}
			if c := rest.on(s, at, a); c.below(least) {
				least = c
			}
		}
	}
	return least
}

// cost is what the oracles add up: lifting steps, which are to be fewest, then
// minutes.
type cost struct {
	lifting int
	minutes float64
}

// noOrder is the cost where there is no order.
var noOrder = cost{lifting: 1 << 20}

func (c cost) below(o cost) bool {
	if c.lifting != o.lifting {
		return c.lifting < o.lifting
	}
	return c.minutes < o.minutes
}

// on adds one action to a cost.
func (c cost) on(s *fitting.Station, from order.Setup, a order.Action) cost {
	return cost{c.lifting + a.Own.Lifting, c.minutes + float64(s.Change(from, a.Setup).Minutes+a.Own.Minutes)}
}

func costOf(p *process.Plan) cost { return cost{p.Lifting, p.Minutes} }

func sameCost(t suite.Failer, name string, got, want cost) {
	t.Helper()
	if got.lifting != want.lifting || math.Abs(got.minutes-want.minutes) > 1e-9 {
		t.Errorf("%s: %d steps lift in %v minutes, want %d in %v", name, got.lifting, got.minutes, want.lifting, want.minutes)
	}
}

func TestCheapestAgainstEveryOrder(t *testing.T) {
	suite.Unraced(t)
	for _, name := range feasibleNames {
		for _, o := range []calc.Options{{}, {Quantity: 25}, {Run: process.ByPiece, Quantity: 25}} {
			plan := suite.Work(t, suite.Part(t, name), suite.Brake(t), o)
			want := everyOrder(fitting.New(plan), 0, fitting.Start)
			sameCost(t, fmt.Sprintf("%s, %d pieces %s", name, plan.Quantity, plan.Run), costOf(plan), want)
			if plan.OtherRun.Run == "" { // a single piece has only one run
				continue
			}
			other := *plan
			other.Run = plan.OtherRun.Run
			suite.Near(t, fmt.Sprintf("%s, %d pieces %s: minutes", name, plan.Quantity, other.Run), plan.OtherRun.Minutes, everyOrder(fitting.New(&other), 0, fitting.Start).minutes, 1e-9)
		}
	}
}

// anyPart draws a profile or a tray of a few bends.
func anyPart(t *rapid.T) part.Part {
	thick := rapid.SampledFrom([]float64{0.8, 1, 1.2}).Draw(t, "thickness")
	head := fmt.Sprintf(`{"number":"R","material":"%s","thickness":%v,"inside_radius":%v,`, rapid.SampledFrom([]string{"mild-steel", "304", "5052-H32"}).Draw(t, "material"), thick, thick)
	if rapid.Bool().Draw(t, "tray") {
		var walls []string
		for _, side := range []string{"left", "right", "front", "back"} {
			if !rapid.Bool().Draw(t, side) {
				continue
			}
			lip := ""
			if rapid.IntRange(0, 3).Draw(t, "lip") == 0 {
				lip = fmt.Sprintf(`,{"leg":%d,"angle":%d}`, rapid.IntRange(9, 20).Draw(t, "lip leg"), rapid.SampledFrom([]int{90, -90}).Draw(t, "lip angle"))
			}
			walls = append(walls, fmt.Sprintf(`"%s":[{"leg":%d}%s]`, side, rapid.IntRange(15, 80).Draw(t, "leg"), lip))
		}
		if walls == nil {
			walls = []string{`"left":[{"leg":30}]`}
		}
		return suite.Read(t, []byte(head+fmt.Sprintf(`"tray":{"base":[%d,%d],"walls":{%s}}}`, rapid.IntRange(90, 350).Draw(t, "x"), rapid.IntRange(90, 350).Draw(t, "y"), strings.Join(walls, ","))))
	}
	n := rapid.IntRange(1, 4).Draw(t, "bends")
	var legs, bends []string
	for i := range n + 1 {
		legs = append(legs, fmt.Sprint(rapid.IntRange(14, 90).Draw(t, "leg")))
		if i > 0 {
			bends = append(bends, fmt.Sprint(rapid.SampledFrom([]int{90, -90, 45, -60, 110}).Draw(t, "angle")))
		}
	}
	return suite.Read(t, []byte(head+fmt.Sprintf(`"profile":{"length":%d,"legs":[%s],"bends":[%s]}}`, rapid.IntRange(50, 900).Draw(t, "length"), strings.Join(legs, ","), strings.Join(bends, ","))))
}

// quickly plans a part without looking for cures when there is no order.
func quickly(t suite.Failer, p part.Part, k *brake.Brake, o calc.Options) (*process.Plan, *fitting.Station) {
	t.Helper()
	blank, err := figures.Shop{}.Develop(p)
	if err != nil {
		return nil, nil
	}
	draft := process.New(blank, k)
	draft.Quantity, draft.Run = max(1, o.Quantity), process.ByStep
	s := fitting.New(draft)
	if order.Possible(len(s.Operations), s) {
		return suite.Work(t, p, k, o), s
	}
	return draft, s
}

// For parts drawn at random the planner finds an order exactly when there is one,
// and the cheapest.
func TestRandomPartsAgainstEveryOrder(t *testing.T) {
	suite.Unraced(t)
	k := suite.Brake(t)
	rapid.Check(t, func(t *rapid.T) {
		p := anyPart(t)
		plan, s := quickly(t, p, k, calc.Options{})
		if plan == nil || len(s.Operations) > 4 {
			t.Skip("not to be tried in all orders")
		}
		want := everyOrder(s, 0, fitting.Start)
		if plan.Feasible != (want != noOrder) {
			t.Fatalf("feasible %v, but the cheapest order costs %+v", plan.Feasible, want)
		}
		if plan.Feasible {
			sameCost(t, "any part", costOf(plan), want)
		}
	})
}

// The ways that are kept from another set of bends are those that would be found
// for this one.
func TestKeptWaysAreRight(t *testing.T) {
	for _, name := range []string{"P3", "P4", "P4v", "P5", "P6", "P7v"} {
		blank, err := figures.Shop{}.Develop(suite.Part(t, name))
		if err != nil {
			t.Fatal(err)
		}
		k := suite.Brake(t)
		kept := fitting.New(process.New(blank, k))
		for made := order.Made(0); made < 1<<len(kept.Operations); made++ {
			for next := range kept.Operations {
				if made.Has(next) {
					continue
				}
				got, want := kept.Actions(made, next), fitting.New(process.New(blank, k)).Actions(made, next)
				if !slices.Equal(got, want) {
					t.Fatalf("%s, %b made: bend %d can be made by %+v, kept is %+v", name, made, next, want, got)
				}
			}
		}
	}
}

// Adding up what the brake's file says each step costs gives the minutes, with
// two preferences of the planner's own: 0.25 for a bend gauged from another bend
// and 0.1 for beginning with fingers. That holds for twins too, which are gauged
// alike: of the suite P3 and P4 have such.
func TestMinutesAddUp(t *testing.T) {
	for _, name := range feasibleNames {
		plan := suite.Plan(t, name)
		m := plan.Brake.Minutes
		sum, before := m.FirstSetup, process.Step{Leaf: brake.Full}
		for i, s := range plan.Steps {
			sum += m.Bend + m.BarPreference[s.Bar.Name] + placing(plan.Brake, s)
			for _, c := range []struct {
				cost    float64
				applies bool
			}{
				{m.RotatePer90 * float64(min(s.Rotate, 360-s.Rotate)/90), i > 0}, {m.TurnOver, i > 0 && s.TurnOver}, {m.SlideBarOut, s.SlideOut != ""},
				{m.PackingStrip, s.PackingStrip}, {m.HoldWithinMargin, s.Hold.State == bend.Marginal},
			} {
				if c.applies {
					sum += c.cost
				}
			}
			if heavierSide(plan, s) {
				sum += m.HeavierSideSwings
			}
			if s.GaugeFrom.Kind == process.OutsideOfBend {
				sum += 0.25
			}
			if s.Leaf != before.Leaf {
				sum += m.LeafChange
			}
			switch again := i > 0 && s.Bar.Name == before.Bar.Name && slices.EqualFunc(s.Segments, before.Segments, sameWidth); {
			case again:
			case s.Bar.Kind == brake.Segments:
				sum += m.PerFinger * float64(len(s.Segments))
				if i == 0 {
					sum += 0.1
				} else {
					sum += m.SetNose
				}
			case i > 0:
				sum += m.BarChange + m.SetNose
			}
			if i > 0 && s.Stop != before.Stop {
				sum += m.StopChange
			}
			before = s
		}
		if math.Abs(plan.Minutes-sum) > 1e-9 {
			t.Errorf("%s: minutes = %v, the steps as they are printed add up to %v", name, plan.Minutes, sum)
		}
	}
}

func sameWidth(a, b process.Segment) bool { return a.Width == b.Width }

// placing is what the place of a step along the brake costs, told from the pose. A part that hangs past the end is given room, so that
// in the suite nothing is placed by eye to less than a millimetre.
func placing(k *brake.Brake, s process.Step) float64 {
	if s.Place == process.Middle {
		return 0
	}
	left, right := bendOnBrake(s)
	inside := right - float64(k.UsableLength)
	if s.Place == process.PastLeft {
		inside = -left
	}
	if inside > -3+0.02 {
		return k.Minutes.PartAtEnd + k.Minutes.BendEndAtBrakeEnd
	}
	return k.Minutes.PartAtEnd
}

// bendOnBrake is where along the brake the bend of a step begins and ends.
func bendOnBrake(s process.Step) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for _, p := range s.NoseLine {
		x := s.Pose.Place(geom.Point3{X: p.X, Y: p.Y}).X
		left, right = min(left, x), max(right, x)
	}
	return left, right
}

// heavierSide weighs the side that swings against the one that is clamped.
func heavierSide(p *process.Plan, s process.Step) bool {
	swing, rest := 0.0, 0.0
	for f, path := range fold.NewTree(p.Blank, p.Blank.FaceIndex(s.Clamped)).Path {
		area := 0.0
		for _, g := range p.Blank.Faces[f].Solid {
			area += g.Area()
		}
		if crossed(path, s.Joints)%2 == 1 {
			swing += area
		} else {
			rest += area
		}
	}
	return swing > rest+1e-6
}

// crossed counts how many of the joints lie on a path.
func crossed(path fold.Made, joints []int) int {
	n := 0
	for _, j := range joints {
		if path.Has(j) {
			n++
		}
	}
	return n
}

// Turned over and rotated as the steps say, from face A up and x along the brake,
// the blank comes to lie with the side that swings to the front and the inside of
// the bend up.
func TestHandlingBringsTheBendToTheBrake(t *testing.T) {
	k := suite.Brake(t)
	checkPlan := func(t suite.Failer, plan *process.Plan) {
		at := geom.Fixed // from the blank to the shop: x along the brake, y to the back, z up
		for _, s := range plan.Steps {
			j := plan.Blank.Joints[s.Joints[0]]
			across := geom.Point3{X: j.Across.X, Y: j.Across.Y}
			if plan.Blank.Faces[j.Faces[1]].ID == s.Clamped {
				across = across.Times(-1)
			}
			line := j.Line[1].Sub(j.Line[0]).Unit()
			if s.TurnOver {
				at = at.Then(geom.Rotation(geom.Point3{}, at.Turn(geom.Point3{X: line.X, Y: line.Y}), math.Pi))
			}
			at = at.Then(geom.Rotation(geom.Point3{}, geom.Point3{Z: 1}, float64(s.Rotate)*math.Pi/180))
			front, up := at.Turn(across), at.Turn(geom.Point3{Z: 1}).Z
			if front.Sub(geom.Point3{Y: -1}).Length() > 1e-6 {
				t.Errorf("%s step %d: turned over %v, rotated by %d, the swinging side points to %v", plan.Blank.Part.Number, s.Number, s.TurnOver, s.Rotate, front)
			}
			if (up > 0) != j.Up() || (up > 0) != (s.FaceUp == "A") {
				t.Errorf("%s step %d: face up %s for a bend of %v, but z points to %v", plan.Blank.Part.Number, s.Number, s.FaceUp, j.Angle, up)
			}
		}
	}
	for _, name := range feasibleNames {
		checkPlan(t, suite.Plan(t, name))
	}
	rapid.Check(t, func(t *rapid.T) {
		if plan, _ := quickly(t, anyPart(t), k, calc.Options{}); plan != nil {
			checkPlan(t, plan)
		}
	})
}

// A brake with fewer bars is never cheaper, and never makes what the whole one
// cannot.
func TestMoreBarsNeverCostMore(t *testing.T) {
	k := suite.Brake(t)
	rapid.Check(t, func(t *rapid.T) {
		p := anyPart(t)
		if i := rapid.IntRange(0, 2*len(feasibleNames)).Draw(t, "or one of the suite"); i < len(feasibleNames) {
			p = suite.Part(t, feasibleNames[i])
		}
		all, _ := quickly(t, p, k, calc.Options{})
		if all == nil {
			t.Skip("no part")
		}
		fewer := *k
		fewer.Bars = nil
		for _, b := range k.Bars {
			if rapid.Bool().Draw(t, b.Name) {
				fewer.Bars = append(fewer.Bars, b)
			}
		}
		less, _ := quickly(t, p, &fewer, calc.Options{})
		if dearer(all, less) {
			t.Errorf("with %d bars it costs %+v, with all of them %+v (feasible %v)", len(fewer.Bars), costOf(less), costOf(all), all.Feasible)
		}
	})
}

// dearer reports whether a plan costs more than another, or there is none.
func dearer(p, than *process.Plan) bool {
	return than.Feasible && (!p.Feasible || p.Lifting > than.Lifting || p.Lifting == than.Lifting && p.Minutes > than.Minutes+1e-9)
}

// mirrored draws a part as its mirror image, left for right; a profile is its own.
func mirrored(p part.Part) part.Part {
	if p.Flat != nil {
		f := *p.Flat
		f.Faces, f.Bends = slices.Clone(f.Faces), slices.Clone(f.Bends)
		for i, face := range f.Faces {
			face.Outline = slices.Clone(face.Outline)
			for k, c := range face.Outline {
				face.Outline[k] = [2]unit.MM{-c[0], c[1]}
			}
			f.Faces[i] = face
		}
		for i, b := range f.Bends {
			f.Bends[i].Line = [2][2]unit.MM{{-b.Line[0][0], b.Line[0][1]}, {-b.Line[1][0], b.Line[1][1]}}
		}
		p.Flat = &f
	}
	if p.Tray != nil {
		tray := *p.Tray
		tray.Walls = map[part.Side][]part.Wall{part.Left: p.Tray.Walls[part.Right], part.Right: p.Tray.Walls[part.Left], part.Front: p.Tray.Walls[part.Front], part.Back: p.Tray.Walls[part.Back]}
		p.Tray = &tray
	}
	return p
}

// The mirror image of a part costs the same on a brake that is the same from both
// sides: the suite's, but for the slots of one bar.
func TestMirrorImageCostsTheSame(t *testing.T) {
	k := suite.Brake(t)
	k.Bars = slices.DeleteFunc(k.Bars, func(b brake.Bar) bool { return b.Kind == brake.Slotted })
	check := func(t suite.Failer, p part.Part) {
		one, _ := quickly(t, p, k, calc.Options{})
		other, _ := quickly(t, mirrored(p), k, calc.Options{})
		if one == nil || other == nil {
			return
		}
		if dearer(one, other) || dearer(other, one) {
			t.Errorf("%s: feasible %v for %+v, its mirror image %v for %+v", p.Number, one.Feasible, costOf(one), other.Feasible, costOf(other))
		}
	}
	for name := range suite.Verdicts(t) {
		check(t, suite.Part(t, name))
	}
	// A wall whose flat is just half as deep as the wide bar: which way it falls
	// must not hang on the last digit.
	check(t, suite.Read(t, []byte(`{"number":"R","material":"mild-steel","thickness":1,"inside_radius":1,"tray":{"base":[90,90],"walls":{"left":[{"leg":41},{"leg":9,"angle":90}],"right":[{"leg":15}]}}}`)))
	rapid.Check(t, func(t *rapid.T) { check(t, anyPart(t)) })
}

// Setting up is shared: the more pieces, the fewer minutes each, down to what is
// done to every piece; piece by piece it is done anew each time.
func TestQuantityLowersTheMinutes(t *testing.T) {
	k := suite.Brake(t)
	for _, name := range feasibleNames {
		p := suite.Part(t, name)
		last := math.Inf(1)
		for _, n := range []int{0, 1, 2, 5, 100, 100000} {
			plan := suite.Work(t, p, k, calc.Options{Quantity: n})
			if plan.Minutes > last+1e-9 || (n > 1 && plan.Minutes >= last) {
				t.Errorf("%s: %d pieces take %v minutes each, fewer took %v", name, n, plan.Minutes, last)
			}
			last = plan.Minutes
		}
		one, many := suite.Work(t, p, k, calc.Options{Run: process.ByPiece}), suite.Work(t, p, k, calc.Options{Run: process.ByPiece, Quantity: 50})
		suite.Near(t, name+", piece by piece", many.Minutes, one.Minutes, 1e-9)
	}
}

// The stop is printed in the scale of the brake; nothing else of the plan
// changes.
func TestStopInTheScaleOfTheBrake(t *testing.T) {
	for _, name := range feasibleNames {
		bend := suite.Plan(t, name)
		k := suite.Brake(t)
		k.Scale = brake.Scale{Opening: true, Zero: 0.5}
		opening := suite.Work(t, suite.Part(t, name), k, calc.Options{})
		suite.Near(t, name+": minutes", opening.Minutes, bend.Minutes, 1e-9)
		for i, s := range opening.Steps {
			suite.Near(t, "stop as a bend angle", float64(s.StopBend), float64(bend.Steps[i].StopBend), 1e-9)
			suite.Near(t, "stop as an opening, the zero half a degree off", float64(s.Stop), 180-float64(s.Target+s.Springback)+0.5, 1e-9)
			suite.Near(t, "the same read back", float64(k.Scale.Bend(s.Stop)), float64(s.StopBend), 1e-9)
			suite.Near(t, "stop on a brake that reads bend angles", float64(bend.Steps[i].Stop), float64(s.StopBend), 1e-9)
		}
	}
}

func TestWorkIsSteady(t *testing.T) {
	for _, name := range []string{"P3", "P4v", "P5"} {
		one, two := suite.Work(t, suite.Part(t, name), suite.Brake(t), calc.Options{}), suite.Work(t, suite.Part(t, name), suite.Brake(t), calc.Options{})
		for what, pair := range map[string][2]any{"steps": {one.Steps, two.Steps}, "blocked": {one.Blocked, two.Blocked}, "cautions": {one.Cautions, two.Cautions}, "searched": {one.Searched, two.Searched}} {
			if fmt.Sprintf("%+v", pair[0]) != fmt.Sprintf("%+v", pair[1]) {
				t.Errorf("%s: two plans have different %s", name, what)
			}
		}
	}
}
