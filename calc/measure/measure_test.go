package measure_test

import (
	"os"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// bench reads the demo's brake, which the cases are bent on.
func bench(t *testing.T) *brake.Brake {
	t.Helper()
	data, err := os.ReadFile("../../cmd/brakeside/shop/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// drawn plans one of the cases.
func drawn(t *testing.T, name string) *process.Plan {
	t.Helper()
	return drawnOn(t, name, bench(t))
}

func drawnOn(t *testing.T, name string, k *brake.Brake) *process.Plan {
	t.Helper()
	text, err := os.ReadFile("../../testdata/cases/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	return suite.Work(t, suite.Read(t, text), k, calc.Options{Quantity: 10})
}

// What the nose lines of parts seen to go wrong are measured from. By hand: the
// nose lies nose setback behind the hinge and the clamped tangent r + t, so that
// the line is the drawn size less r + t and half a bend deduction nearer; within a
// millimetre it is the size itself.
func TestReferences(t *testing.T) {
	suite.Unraced(t)
	for _, c := range []struct {
		part, bend string
		want       process.Touch
		near       float64 // the drawn size that lies between, 0 for the line itself
	}{
		{"31-panel", "left", process.Touch{Kind: process.OutsideOfBend, Face: "left.2", Bend: "left.2"}, 30},
		{"31-panel", "right", process.Touch{Kind: process.OutsideOfBend, Face: "right.2", Bend: "right.2"}, 30},
		{"31-panel", "front", process.Touch{Kind: process.ShearedEdge, Face: "front"}, 30},
		{"45-45in", "left", process.Touch{Kind: process.PencilledLine}, 0},
		{"45-45in", "right", process.Touch{Kind: process.PencilledLine}, 0},
		{"45-45in", "left.2", process.Touch{Kind: process.ShearedEdge, Face: "left.2"}, 15},
		{"03-inlip", "right", process.Touch{Kind: process.OutsideOfBend, Face: "right.2", Bend: "right.2"}, 40},
		{"34-ob", "b1", process.Touch{Kind: process.ShearedEdge, Face: "p0"}, 40},
	} {
		found := false
		for _, s := range drawn(t, c.part).Steps {
			if s.Bends[0] != c.bend {
				continue
			}
			found = true
			if s.GaugeFrom != c.want {
				t.Errorf("%s, %s: from %+v, want %+v", c.part, c.bend, s.GaugeFrom, c.want)
			}
			suite.Near(t, c.part+", "+c.bend, float64(s.Gauge), c.near, 1)
		}
		if !found {
			t.Errorf("%s has no bend %s", c.part, c.bend)
		}
	}
}

// No bar and no finger hangs off the bed, and what lies there reaches along the
// bend but for what may stick out.
func TestToolsLieOnTheBed(t *testing.T) {
	suite.Unraced(t)
	for _, name := range []string{"31-panel", "03-inlip", "02-recess-out", "32-threesided"} {
		p := drawn(t, name)
		for _, s := range p.Steps {
			for i, tool := range s.ToolsAt {
				if tool.From < -1e-6 || tool.To > p.Brake.UsableLength+1e-6 || i > 0 && tool.From < s.ToolsAt[i-1].To-1e-6 {
					t.Errorf("%s, step %d: %+v on %v", name, s.Number, s.ToolsAt, p.Brake.UsableLength)
				}
			}
			if len(s.ToolsAt) != max(1, len(s.Segments)) {
				t.Errorf("%s, step %d: %+v", name, s.Number, s.ToolsAt)
			}
		}
	}
	for _, s := range drawn(t, "03-inlip").Steps {
		if wide := s.ToolsAt[len(s.ToolsAt)-1].To - s.ToolsAt[0].From; s.Segments != nil && wide > s.Length+70 {
			t.Errorf("03-inlip, step %d: %v of fingers for a bend of %v", s.Number, wide, s.Length)
		}
	}
}
