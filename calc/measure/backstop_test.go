package measure_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"brakeside/calc/brake"
	"brakeside/calc/clash"
	"brakeside/calc/fold"
	"brakeside/calc/measure"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// setting is a bend of a part in the demo's brake, with a back stop. What stands
// here as zero is as long as nothing else is asked: a stop of unknown height from
// 10 to 600, a bar that ends 40 behind the hinge, and the bend in the middle.
type setting struct {
	part    string
	joint   int
	clamped int // which of the two faces of the joint
	made    []int
	stop    brake.BackStop
	barBack unit.MM
	bed     float64
}

// line is how far behind the hinge the nose stands, in millimetres.
const line = 1.3

// stops gives where the back stop is set for each thing that the nose line can be
// measured from.
func (s setting) stops(t *testing.T) map[process.Touch]unit.MM {
	t.Helper()
	blank, ok := drafted(t, s.part)
	if !ok {
		t.Fatalf("%s cannot be developed", s.part)
	}
	k, at := bench(t), measure.Setup{Line: line, BarBack: 40, Bed: -440}
	if k.BackStop = s.stop; s.stop.To == 0 {
		k.BackStop = brake.BackStop{From: 10, To: 600, Height: s.stop.Height}
	}
	if s.barBack != 0 {
		at.BarBack = s.barBack
	}
	if s.bed != 0 {
		at.Bed = s.bed
	}
	b := clash.NewBench(clash.Setting{Blank: blank, Brake: k, Joints: []int{s.joint}, Side: s.clamped, Bars: []int{0}})
	made := fold.Made(0)
	for _, j := range s.made {
		made = made.With(j)
	}
	out := map[process.Touch]unit.MM{}
	for _, r := range measure.References(b, made, at.Line) {
		out[r.Touch] = measure.BackStop(b, made, r, at)
	}
	return out
}

// strip is a profile 300 long in 1 mm steel: bent square at 1 mm inside its
// outside setback is 2, and its clamped tangent lies 2 behind the hinge, so that a
// leg that ends in a sheared edge reaches as far behind the hinge line as it is
// drawn.
func strip(radius float64, legs, bends string) string {
	return fmt.Sprintf(`{"number":"S","material":"mild-steel","thickness":1,"inside_radius":%v,"profile":{"length":300,"legs":[%s],"bends":[%s]}}`, radius, legs, bends)
}

// tapering is a blank whose back edge, 100 behind its bend, is so long.
func tapering(edge float64) string {
	return fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{"faces":[{"id":"p0","outline":[[0,0],[300,0],[300,50],[0,50]]},
	{"id":"p1","outline":[[0,50],[300,50],[%v,150],[%v,150]]}],"bends":[{"id":"b1","between":["p0","p1"],"line":[[0,50],[300,50]],"angle":90}]}}`, 150+edge/2, 150-edge/2)
}

// walled is a blank with a wall on its right that goes so far back; its back edge
// lies at 150.
func walled(back float64) string {
	return fmt.Sprintf(`{"number":"W","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{"faces":[{"id":"p0","outline":[[0,0],[300,0],[300,50],[0,50]]},
	{"id":"p1","outline":[[0,50],[300,50],[300,150],[0,150]]},{"id":"p2","outline":[[300,80],[330,80],[330,%v],[300,%[1]v]]}],
	"bends":[{"id":"b1","between":["p0","p1"],"line":[[0,50],[300,50]],"angle":90},{"id":"b2","between":["p1","p2"],"line":[[300,80],[300,%v]],"angle":90}]}}`, back, min(back, 150))
}

// TestBackStop: each side of each threshold.
func TestBackStop(t *testing.T) {
	edge := func(face string) process.Touch { return process.Touch{Kind: process.ShearedEdge, Face: face} }
	wall := process.Touch{Kind: process.OutsideOfBend, Face: "p2", Bend: "b2"}
	angle := strip(1, "120,90", "90")
	const allowance = math.Pi / 2 * (1 + 0.33) // at K 0.33, a radius and a thickness of 1
	blank := unit.MM(100 - allowance/2 + 2)    // behind the hinge line: an edge 100 behind the middle of its bend
	channel, step := strip(1, "40,100,30", "90,90"), strip(1, "40,100,30", "90,-90")
	returned := strip(1, "95,130,90", "90,90")
	for _, c := range []struct {
		name string
		setting
		touch process.Touch
		want  unit.MM // 0: none
	}{
		{"as near as it can be set", setting{part: angle, clamped: 1, stop: brake.BackStop{From: 90, To: 600}}, edge("p1"), 90},
		{"nearer", setting{part: angle, clamped: 1, stop: brake.BackStop{From: 90.001, To: 600}}, edge("p1"), 0},
		{"as far as it can be set", setting{part: angle, clamped: 1, stop: brake.BackStop{From: 50, To: 90}}, edge("p1"), 90},
		{"farther", setting{part: angle, clamped: 1, stop: brake.BackStop{From: 50, To: 89.999}}, edge("p1"), 0},
		{"the side that swings", setting{part: angle, clamped: 1}, edge("p0"), 0},
		{"the other side clamped", setting{part: angle}, edge("p0"), 120},

		{"right behind the bar", setting{part: angle, clamped: 1, barBack: 90}, edge("p1"), 90},
		{"where the bar lies", setting{part: angle, clamped: 1, barBack: 90.001}, edge("p1"), 0},
		{"under the bar, as high as the sheet", setting{part: angle, clamped: 1, barBack: 100, stop: brake.BackStop{Height: 1}}, edge("p1"), 90},
		{"under the bar, higher", setting{part: angle, clamped: 1, barBack: 100, stop: brake.BackStop{Height: 1.001}}, edge("p1"), 0},

		{"an edge half as long as the bend", setting{part: tapering(150), clamped: 1}, edge("p1"), blank},
		{"a shorter one", setting{part: tapering(149.8), clamped: 1}, edge("p1"), 0},
		{"half of it past the end of the brake", setting{part: angle, clamped: 1, bed: 150}, edge("p1"), 90},
		{"more of it past the end", setting{part: angle, clamped: 1, bed: 150.1}, edge("p1"), 0},

		{"the outside of a wall that stands up", setting{part: channel, clamped: 1, made: []int{1}}, wall, 100},
		{"of one that hangs down", setting{part: step, clamped: 1, made: []int{1}}, wall, 0},
		{"a face as high as its curve", setting{part: channel, clamped: 1, made: []int{1}, stop: brake.BackStop{Height: 2}}, wall, 100},
		{"a lower one", setting{part: channel, clamped: 1, made: []int{1}, stop: brake.BackStop{Height: 1.999}}, wall, 0},
		{"a curve as high as any face is", setting{part: strip(9, "40,100,30", "90,90"), clamped: 1, made: []int{1}}, wall, 100},
		{"a higher one", setting{part: strip(9.001, "40,100,30", "90,90"), clamped: 1, made: []int{1}}, wall, 0},

		{"a wall beside that ends with the edge", setting{part: walled(150), clamped: 1, made: []int{1}}, edge("p1"), blank},
		{"one that reaches past it", setting{part: walled(151), clamped: 1, made: []int{1}}, edge("p1"), 0},
		{"past it still flat", setting{part: walled(151), clamped: 1}, edge("p1"), 0},

		{"what swings comes over, 130 high", setting{part: returned, joint: 1, clamped: 1, made: []int{0}}, edge("p2"), 0},
		{"over a stop that is lower", setting{part: returned, joint: 1, clamped: 1, made: []int{0}, stop: brake.BackStop{Height: 80}}, edge("p2"), 90},
		{"over one that is higher", setting{part: returned, joint: 1, clamped: 1, made: []int{0}, stop: brake.BackStop{Height: 130}}, edge("p2"), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, found := c.stops(t)[c.touch]
			if !found {
				t.Fatalf("nothing is measured from %+v", c.touch)
			}
			suite.Near(t, "the back stop", float64(got), float64(c.want), 1e-9)
		})
	}
}

// A brake whose file states no back stop has none to set.
func TestNoBackStop(t *testing.T) {
	for _, name := range []string{"31-panel", "34-ob"} {
		for _, s := range drawn(t, name).Steps {
			if s.BackStop != 0 {
				t.Errorf("%s, step %d: a stop at %v", name, s.Number, s.BackStop)
			}
		}
	}
}

// A part pushed against the stop, as it is told, gets the legs that are drawn. The
// strip is worked out here: K is pinned, a square bend's clamped tangent lies r + t
// behind the hinge and that of a shallower one (r + t) tan(A/2), every flat is its
// drawn leg less the outside setbacks (r + t) tan(A/2) at its ends.
func TestBackStopGivesTheDrawnLegs(t *testing.T) {
	suite.Unraced(t)
	chance := rand.New(rand.NewPCG(16, 12))
	bends, edges := 0, 0
	for range 1500 {
		const thick, k = 1.5, 0.4
		radius := 0.5 + float64(chance.IntN(40))/10
		n := 1 + chance.IntN(4)
		var angles, legs []float64
		for range n {
			angles = append(angles, []float64{90, 90, 20 + float64(chance.IntN(116))}[chance.IntN(3)]*float64(1-2*chance.IntN(2)))
		}
		for range n + 1 {
			legs = append(legs, 40+float64(chance.IntN(1000))/10)
		}
		text := fmt.Sprintf(`{"number":"S","material":"mild-steel","thickness":%v,"inside_radius":%v,"k":%v,"profile":{"length":300,"legs":[%s],"bends":[%s]}}`,
			thick, radius, k, listed(legs), listed(angles))
		if _, ok := drafted(t, text); !ok {
			continue
		}
		s := setting{part: text, joint: chance.IntN(n), clamped: chance.IntN(2), barBack: 5, stop: brake.BackStop{From: 5, To: 3000}}
		for j := range n {
			if j != s.joint && chance.IntN(2) == 0 {
				s.made = append(s.made, j)
			}
		}
		outside := func(j int) float64 { return (radius + thick) * math.Tan(math.Abs(angles[j])*math.Pi/360) }
		behind := min(outside(s.joint), radius+thick)
		face, way := s.joint+s.clamped, 2*s.clamped-1
		want := process.Touch{Kind: process.ShearedEdge}
		for {
			flat := legs[face]
			for _, j := range []int{face - 1, face} {
				if j >= 0 && j < n {
					flat -= outside(j)
				}
			}
			behind += flat
			next := face - 1 + s.clamped // the joint at its far end
			if want.Face = fmt.Sprintf("p%d", face); next < 0 || next == n {
				break
			}
			if slices.Contains(s.made, next) {
				behind += radius + thick
				want = process.Touch{Kind: process.OutsideOfBend, Face: fmt.Sprintf("p%d", face+way), Bend: fmt.Sprintf("b%d", next+1)}
				break
			}
			behind += math.Abs(angles[next]) * math.Pi / 180 * (radius + k*thick)
			face += way
		}
		for touch, stop := range s.stops(t) {
			if stop == 0 {
				continue
			}
			if touch != want || math.Abs(float64(stop)-behind) > 1e-9 {
				t.Fatalf("%s, bend b%d with %v made: a stop at %v for %+v, worked out %v for %+v", text, s.joint+1, s.made, float64(stop), touch, behind, want)
			}
			if touch.Bend == "" {
				edges++
			} else {
				bends++
			}
		}
	}
	if edges < 300 || bends < 30 {
		t.Errorf("only %d edges and %d bends lie against the stop", edges, bends)
	}
}

func listed(v []float64) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(v), " ", ","), "[]")
}
