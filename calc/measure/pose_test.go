package measure_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"brakeside/calc"
	"brakeside/calc/fault"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// section folds the strip of a profile as far as its bends are made, with the
// arithmetic of a strip alone: along the metal, turned at each bend about an axis
// r from the inner face. It gives the corners of every flat, x as in the blank.
func section(p *process.Plan, made map[int]bool, root int) [][]geom.Point2 {
	b := p.Blank
	thick := float64(b.Sheet.Thickness)
	out := make([][]geom.Point2, len(b.Faces))
	for _, way := range []float64{1, -1} { // up the strip from the root, and down
		low, high := geom.Bounds(b.Faces[root].Solid[0]...)
		at, heading := geom.Point2{X: low.Y}, 0.0
		if way < 0 {
			at.X = high.Y
		}
		for f := root; f >= 0 && f < len(b.Faces); f += int(way) {
			low, high := geom.Bounds(b.Faces[f].Solid[0]...)
			sin, cos := math.Sincos(heading)
			along, up := geom.Point2{X: way * cos, Y: sin}, geom.Point2{X: -way * sin, Y: cos}
			end := at.Add(along.Times(high.Y - low.Y))
			out[f] = []geom.Point2{at, end, end.Add(up.Times(thick)), at.Add(up.Times(thick))}
			j := f
			if way < 0 {
				j--
			}
			if j < 0 || j >= len(b.Joints) {
				break
			}
			joint := b.Joints[j]
			if !made[j] {
				at = end.Add(along.Times(float64(joint.Bend.Allowance())))
				continue
			}
			side, inner := 1.0, thick
			if joint.Angle < 0 {
				side, inner = -1, 0
			}
			axis := end.Add(up.Times(inner + side*float64(joint.Bend.Radius)))
			turn := side * joint.Bend.Angle.Rad()
			at = axis.Add(end.Sub(axis).Turned(way * turn))
			heading += turn
		}
	}
	return out
}

// The pose of every step takes the strip, folded by other arithmetic, to where the
// planner's own end view has it: every corner of every flat is a corner there.
func TestPosesOfProfiles(t *testing.T) {
	suite.Unraced(t)
	compared := 0
	for _, folder := range []string{"../../testdata/cases", "../../testdata/suite/parts", "../../testdata/parts"} {
		files, err := filepath.Glob(folder + "/*.json")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if filepath.Base(file) == "recess-tray-brake.json" {
				continue
			}
			part := suite.Read(t, text)
			if part.Profile == nil || len(part.Profile.Bends) > 8 {
				continue
			}
			plan, err := calc.Work(part, bench(t), calc.Options{})
			if err != nil || !plan.Feasible {
				if err != nil && fault.KindOf(err) != fault.Invalid {
					t.Fatal(err)
				}
				continue
			}
			compared += posesHold(t, file, plan)
		}
	}
	if compared < 200 {
		t.Errorf("only %d corners compared", compared)
	}
}

func posesHold(t *testing.T, file string, p *process.Plan) (compared int) {
	t.Helper()
	made := map[int]bool{}
	for _, s := range p.Steps {
		root := p.Blank.FaceIndex(s.Clamped)
		corners := map[geom.Point2]bool{}
		for _, shape := range s.Before {
			for _, c := range shape.Outline {
				corners[c] = true
			}
		}
		for _, flat := range section(p, made, root) {
			for _, c := range flat {
				on := s.Pose.Place(geom.Point3{X: 1, Y: c.X, Z: c.Y})
				near := math.Inf(1)
				for k := range corners {
					near = min(near, math.Hypot(k.X-on.Y, k.Y-on.Z))
				}
				if near > 1e-6 {
					t.Errorf("%s, step %d: a corner at %.3f, %.3f is %.3f from any of the view", file, s.Number, on.Y, on.Z, near)
				}
				compared++
			}
		}
		j := p.Blank.Joints[s.Joints[0]]
		made[s.Joints[0]] = true
		tangentLies(t, file, p, s)
		low := s.Pose.Place(geom.Point3{X: j.Line[0].X, Y: j.Line[0].Y}).X
		high := s.Pose.Place(geom.Point3{X: j.Line[1].X, Y: j.Line[1].Y}).X
		if s.Place == process.Middle {
			suite.Near(t, file+": the middle of the bend", (low+high)/2, float64(p.Brake.UsableLength)/2, 1e-6)
		}
	}
	return compared
}

// tangentLies holds the clamped tangent min((r+t) tan(A/2), r+t) behind the hinge.
func tangentLies(t *testing.T, file string, p *process.Plan, s process.Step) {
	t.Helper()
	j, b := p.Blank.Joints[s.Joints[0]], p.Bends[s.Joints[0]].Bend
	side := j.Tangents()[0]
	if p.Blank.Faces[j.Faces[1]].ID == s.Clamped {
		side = j.Tangents()[1]
	}
	want := float64(b.Radius+b.Thickness) * min(1, math.Tan(b.Angle.Rad()/2))
	for _, q := range side {
		suite.Near(t, file+": the clamped tangent", s.Pose.Place(geom.Point3{X: q.X, Y: q.Y}).Y, want, 1e-9)
	}
}
