package scene

import (
	"fmt"
	"math"
	"testing"

	"brakeside/calc"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// planned are the plans of some parts of the suite: trays, a box, a channel with
// lips, a part with a leaning wall.
func planned(t *testing.T) map[string]*process.Plan {
	t.Helper()
	out := map[string]*process.Plan{}
	for _, name := range []string{"P1", "P2", "P3", "P4", "P5", "P6", "P7"} {
		plan, err := calc.Work(suite.Part(t, name), suite.Brake(t), calc.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if plan.Feasible {
			out[name] = plan
		}
	}
	if len(out) < 4 {
		t.Fatalf("only %d parts can be made", len(out))
	}
	return out
}

// benchMesh is all that a picture of a step is made of.
func benchMesh(p *process.Plan, step int) *mesh {
	s := &p.Steps[step-1]
	return bench(p, s, min(s.Target/2, mostRaised))
}

// What is drawn of part, bar, bed and leaf is what a ray to the viewer finds in sight.
func TestBenchDrawsWhatIsSeen(t *testing.T) {
	asked := 0
	for name, plan := range planned(t) {
		for i := range plan.Steps {
			m := benchMesh(plan, i+1)
			if m.camera.shrunk == 1 { // a ray is cast where nothing is shortened
				seesRight(t, fmt.Sprintf("%s step %d", name, i+1), m)
				asked++
			}
		}
	}
	if asked < 5 {
		t.Errorf("only %d steps were asked", asked)
	}
}

// The flap stands at half the angle of the bend, up to 45 degrees, and the clamped
// face lies on the bed.
func TestFlapIsHalfBent(t *testing.T) {
	for name, plan := range planned(t) {
		for i, s := range plan.Steps {
			m := benchMesh(plan, i+1)
			clamped := m.frames[m.blank.FaceIndex(s.Clamped)].Turn(geom.Point3{Z: 1})
			flap := m.frames[m.blank.FaceIndex(s.Swinging)].Turn(geom.Point3{Z: 1})
			suite.Near(t, fmt.Sprintf("%s step %d: the clamped face leans", name, i+1), math.Abs(clamped.Z), 1, 1e-9)
			between := math.Acos(max(-1, min(1, clamped.Dot(flap)))) * 180 / math.Pi
			suite.Near(t, fmt.Sprintf("%s step %d: the flap stands", name, i+1), between, min(float64(s.Target)/2, 45), 1e-6)
			if s.Flatten != nil {
				continue
			}
			for _, g := range m.blank.Faces[m.blank.FaceIndex(s.Swinging)].Solid {
				for _, p := range placed(g, 0, m.frames[m.blank.FaceIndex(s.Swinging)]) {
					if p.Y > 1 || p.Z < -1 {
						t.Errorf("%s step %d: the flap reaches %v", name, i+1, p)
					}
				}
			}
		}
	}
}

// In the box, walls stand where they were bent: the side of a wall that stands is
// that of its middle.
func TestStandingWallsAreOnTheirSides(t *testing.T) {
	plan := planned(t)["P5"]
	last := len(plan.Steps)
	m := benchMesh(plan, last)
	sides := map[Side]int{}
	for _, spot := range Bench(plan, last).Spots {
		if spot.Side == "" {
			continue
		}
		sides[spot.Side]++
		low, high := m.between(m.blank.FaceIndex(spot.Name))
		left, right := m.between(m.tree.Root)
		switch spot.Side {
		case AtLeft:
			suite.Near(t, spot.Name+" stands at the left", (low+high)/2, left, 3)
		case AtRight:
			suite.Near(t, spot.Name+" stands at the right", (low+high)/2, right, 3)
		}
	}
	if sides[AtLeft] != 1 || sides[AtRight] != 1 || sides[Behind] != 1 || sides[InFront] != 0 {
		t.Errorf("when the last wall of a box comes up the others stand %v", sides)
	}
}

// From above, the nose line and the edge it is measured from are as far apart as the
// plan says, and the edge lies on the part.
func TestGaugeIsDrawnAsFar(t *testing.T) {
	found := 0
	for name, plan := range planned(t) {
		for i, s := range plan.Steps {
			var at [2]float64
			for _, spot := range Lay(plan, i+1).Spots {
				switch spot.What {
				case GaugeSpot:
					at[0], found = spot.At.Y, found+1
				case NoseSpot:
					at[1] = spot.At.Y
				}
			}
			if s.Gauge <= 0 || s.GaugeFrom.Face == "" {
				continue
			}
			suite.Near(t, fmt.Sprintf("%s step %d", name, i+1), math.Abs(at[0]-at[1]), float64(s.Gauge), 1e-9)
			m := looked(above(), atBrake(plan, &plan.Steps[i], 0))
			near := math.Inf(1)
			for _, p := range corners(m.stage) {
				near = min(near, math.Abs(p.Y-at[0]))
			}
			if near > 2.5*float64(plan.Blank.Sheet.Thickness) {
				t.Errorf("%s step %d: the edge measured from is drawn %.1f mm off any corner of the part", name, i+1, near)
			}
		}
	}
	if found < 5 {
		t.Errorf("only %d distances", found)
	}
}

// A part much longer than wide is shortened along the brake; one that is not keeps
// its shape.
func TestLongPartsAreShortened(t *testing.T) {
	for _, c := range []struct{ long, want float64 }{{60, 1}, {4 * 99, 1}, {4 * 110, 0.9}, {800, 0.5}} {
		text := fmt.Sprintf(`{"number":"L","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":%g,"legs":[50,50],"bends":[90]}}`, c.long)
		b := drafted(t, text)
		suite.Near(t, fmt.Sprintf("%g long", c.long), squeeze(settled(b, largest(b), 0)), c.want, 0.02)
	}
}

// The arrow of a shallow bend, too, goes from the flap onwards to where the bend ends.
func TestWayOfShallowBends(t *testing.T) {
	for _, angle := range []float64{1, 5, 8.9, 9, 9.1, 30, 90, 110} {
		text := fmt.Sprintf(`{"number":"S","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":100,"legs":[40,60],"bends":[%g]}}`, angle)
		plan := suite.Work(t, suite.Read(t, []byte(text)), suite.Brake(t), calc.Options{})
		var way []Stroke
		for _, s := range Bench(plan, 1).Strokes {
			if s.Kind == Way {
				way = append(way, s)
			}
		}
		if len(way) < 3 {
			t.Fatalf("%g degrees: %d strokes", angle, len(way))
		}
		for _, s := range way {
			if !(math.Abs(s.From.Length()) < 1e4 && math.Abs(s.To.Length()) < 1e4) {
				t.Errorf("%g degrees: a stroke from %v to %v", angle, s.From, s.To)
			}
		}
		if s := &plan.Steps[0]; way[0].From.Y >= way[len(way)-3].To.Y {
			t.Errorf("%g degrees: the arrow of %v goes down", angle, s.Bends)
		}
	}
}
