package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/process"
	"brakeside/testdata/folding"
	"brakeside/testdata/suite"
)

// Where a plan lays a part on the brake is checked against a solid modeller that
// shares no code with us: the npm package manifold-3d. It is given the part as it
// is before a step, in the coordinates of its blank as the clamped face lies, the
// pose of plan -json, and the brake by its file. Its answers stand in
// testdata/poses/volumes.json; testdata/poses/volumes.mjs makes them again from
// the poses that -poses writes.

var posesFile = flag.String("poses", "", "write the poses and what lies there to this file")

const outsidePoses = "../../testdata/poses/volumes.json"

// posedPart is one step: the convex flats of the clamped face, those of the others
// with the bend zones that are still flat, and the bends that are made; on the
// brake's own axes the bed, the leaf at rest, and what clamps.
type posedPart struct {
	Name    string           `json:"name"`
	Pose    [3][4]float64    `json:"pose"`
	Clamped [][][3]float64   `json:"clamped"`
	Others  [][][3]float64   `json:"others"`
	Bends   []folding.Sector `json:"bends"`
	Bed     [][3]float64     `json:"bed"`
	Leaf    [][3]float64     `json:"leaf"`
	Tools   []posedTool      `json:"tools"`

	slip  string  // what is wrong with the pose; empty for that of the plan
	thick float64 // of the sheet
	front float64 // how far behind the hinge the clamped face begins
	metal float64 // mm3 of the part, openings filled
}

// posedTool is a bar or a finger, and what is cut out of it.
type posedTool struct {
	Body  [][3]float64   `json:"body"`
	Slots [][][3]float64 `json:"slots,omitempty"`
}

// along extends a section, back and up, along the brake.
func along(section [][2]float64, from, to float64) [][3]float64 {
	var out [][3]float64
	for _, p := range section {
		for _, x := range []float64{from, to} {
			out = append(out, [3]float64{folding.Tidy(x), folding.Tidy(p[0]), folding.Tidy(p[1])})
		}
	}
	return out
}

func rectangle(back, up, deep, high float64) [][2]float64 {
	return [][2]float64{{back, up}, {back + deep, up}, {back + deep, up + high}, {back, up + high}}
}

// posedSteps are the steps of a plan, as its JSON tells them.
func posedSteps(name string, w worked) []posedPart {
	var out []posedPart
	var made fold.Made
	told := planJSON(w)
	for i, s := range w.Steps {
		p := lain(w.BlankFor(s.Joints), s, made)
		step := told.Order[i]
		p.Name, p.Pose = fmt.Sprintf("%s, step %d", name, s.Number), step.Pose
		for r := range p.Pose {
			for c := range p.Pose[r] {
				p.Pose[r][c] = folding.Tidy(p.Pose[r][c])
			}
		}
		k := w.Brake
		p.Bed = along(rectangle(0, -float64(k.Bed.Height), float64(k.Bed.Depth), float64(k.Bed.Height)), 0, float64(k.UsableLength))
		face := float64(k.Leaf.Face(brake.Slimness(step.Leaf)))
		p.Leaf = along(rectangle(-face, -float64(k.Leaf.Thickness), face, float64(k.Leaf.Thickness)), 0, float64(k.UsableLength))
		for _, at := range step.ToolsAt {
			p.Tools = append(p.Tools, toolAt(s.Bar, at, step.NoseSetback, p.thick))
		}
		out = append(out, p)
		for _, j := range s.Joints {
			made = made.With(j)
		}
	}
	return out
}

// toolAt is a bar or a finger on the sheet, its nose so far behind the hinge.
func toolAt(bar brake.Bar, at jsonTool, nose, thick float64) posedTool {
	var section [][2]float64
	for _, p := range bar.Section {
		section = append(section, [2]float64{nose + p.X, thick + p.Y})
	}
	out := posedTool{Body: along(section, at.From, at.To)}
	if bar.Kind == brake.Slotted {
		for i := range bar.Slots.Count {
			middle, half := at.From+float64(bar.Slots.First)+float64(i)*float64(bar.Slots.Pitch), float64(bar.Slots.Width)/2
			out.Slots = append(out.Slots, along(rectangle(nose-1, thick-1, float64(bar.Depth)+2, float64(bar.Slots.Height)+1), middle-half, middle+half))
		}
	}
	return out
}

// lain is the part before a step, in the coordinates of its blank as the clamped
// face lies, and where that face is to begin: its tangent lies min((r + t) tan(A/2),
// r + t) behind the hinge, and what of the face lies before it farther to the front.
func lain(b *flat.Blank, s process.Step, made fold.Made) posedPart {
	root := b.FaceIndex(s.Clamped)
	tree := fold.NewTree(b, root)
	out := posedPart{Others: [][][3]float64{}, Bends: []folding.Sector{}, thick: float64(b.Sheet.Thickness)}
	for face, bodies := range tree.Solids(made) {
		for i, body := range bodies {
			out.metal += b.Faces[face].Solid[i].Area() * out.thick
			if face == root {
				out.Clamped = append(out.Clamped, folding.Corners(body))
			} else {
				out.Others = append(out.Others, folding.Corners(body))
			}
		}
	}
	frames := tree.Place(made)
	for i, j := range b.Joints {
		stays, across := j.Faces[0], j.Across
		if tree.Up[stays] == j.Faces[1] {
			stays, across = j.Faces[1], across.Times(-1)
		}
		if made.Has(i) {
			bent := folding.Bent(j, across, frames[stays])
			out.Bends = append(out.Bends, bent)
			out.metal += bent.Length * (bent.Outer*bent.Outer - bent.Inner*bent.Inner) * folding.Chords / 2 * math.Sin(bent.Angle/folding.Chords)
			continue
		}
		out.metal += j.Zone.Area() * out.thick
		for _, body := range fold.Zone(j, across, false) {
			out.Others = append(out.Others, folding.Corners(geom.Placed(body, frames[stays])))
		}
	}
	j := b.Joints[s.Joints[0]]
	over := j.Across // from the clamped face to the operator
	if j.Faces[1] == root {
		over = over.Times(-1)
	}
	before := math.Inf(-1)
	for _, g := range b.Faces[root].Solid {
		for _, p := range g {
			before = max(before, over.Dot(p.Sub(j.Line[0]))+j.Half())
		}
	}
	out.front = float64(j.Bend.Radius+j.Bend.Thickness)*min(1, math.Tan(float64(s.Target)*math.Pi/360)) - before
	return out
}

// slipOf is one way in which a pose can be wrong: a rigid move on the brake. The
// centre is the middle of the bend, as high as the middle of the sheet.
type slipOf struct {
	name   string
	move   func(centre geom.Point3) geom.Frame
	always bool // every wrong pose of the kind must be seen
}

func shiftBy(x, y, z float64) func(geom.Point3) geom.Frame {
	return func(geom.Point3) geom.Frame { return geom.Shift(geom.Point3{X: x, Y: y, Z: z}) }
}

func turnBy(axis geom.Point3, degrees float64) func(geom.Point3) geom.Frame {
	return func(centre geom.Point3) geom.Frame { return geom.Rotation(centre, axis, degrees*math.Pi/180) }
}

var slipsOfPoses = []slipOf{
	{"sunk into the bed", shiftBy(0, 0, -0.05), true},
	{"off the bed", shiftBy(0, 0, 0.05), true},
	{"too far to the front", shiftBy(0, -0.05, 0), true},
	{"too far back", shiftBy(0, 0.05, 0), true},
	{"askew", turnBy(geom.Point3{Z: 1}, 0.2), true},
	{"tilted", turnBy(geom.Point3{X: 1}, 0.2), true},
	{"end for end", turnBy(geom.Point3{Z: 1}, 180), true},
	{"turned over front to back", turnBy(geom.Point3{X: 1}, 180), true},
	{"mirrored", func(geom.Point3) geom.Frame {
		return geom.Frame{X: geom.Point3{X: -1}, Y: geom.Point3{Y: 1}, Z: geom.Point3{Z: 1}}
	}, true},
	{"turned over left to right", turnBy(geom.Point3{Y: 1}, 180), false}, // what is flat shows nothing
	{"along the brake", shiftBy(30, 0, 0), false},                        // a plain strip does not mind
}

// slipped are the wrong poses of a step.
func slipped(p posedPart, s process.Step, b *flat.Blank) []posedPart {
	j := b.Joints[s.Joints[0]]
	middle := j.Line[0].Add(j.Line[1]).Times(0.5)
	centre := s.Pose.Place(geom.Point3{X: middle.X, Y: middle.Y, Z: p.thick / 2})
	var out []posedPart
	for _, slip := range slipsOfPoses {
		wrong := p
		wrong.Name, wrong.slip = p.Name+": "+slip.name, slip.name
		wrong.Pose = poseJSON(s.Pose.Then(slip.move(centre)))
		for r := range wrong.Pose {
			for c := range wrong.Pose[r] {
				wrong.Pose[r][c] = folding.Tidy(wrong.Pose[r][c])
			}
		}
		out = append(out, wrong)
	}
	return out
}

// posedParts are all steps of the parts of the suite and of the cases that can be
// bent, and of each part the wrong poses of its last step.
func posedParts(t *testing.T) []posedPart {
	t.Helper()
	var out []posedPart
	for _, folder := range []string{"../../testdata/suite/parts", "../../testdata/cases"} {
		files, err := filepath.Glob(folder + "/*.json")
		if err != nil || files == nil {
			t.Fatalf("%s: %v", folder, err)
		}
		for _, file := range files {
			name := nameOf(file)
			if strings.HasSuffix(name, "-brake") || strings.HasPrefix(name, "long-") {
				continue // no part, or one that keeps a planner busy for seconds and cannot be bent
			}
			plans, err := plansOn(file, []string{benchOf(file)}, calc.Options{Quantity: 1})
			if err != nil || !plans[0].Feasible {
				continue
			}
			steps := posedSteps(name, plans[0])
			last := len(steps) - 1
			out = append(out, steps...)
			out = append(out, slipped(steps[last], plans[0].Steps[last], plans[0].BlankFor(plans[0].Steps[last].Joints))...)
		}
	}
	return out
}

// outsideAnswer is what the modeller found of one pose.
type outsideAnswer struct {
	Low, High, Front, Whole, Bed, Leaf, Curve float64
	Tools                                     []float64
}

// turned is 1 for a pose that turns and shifts, less for one that mirrors or skews:
// the volume of its three columns.
func (p posedPart) turned() float64 {
	column := func(c int) geom.Point3 { return geom.Point3{X: p.Pose[0][c], Y: p.Pose[1][c], Z: p.Pose[2][c]} }
	return column(0).Cross(column(1)).Dot(column(2))
}

// faults lists what is wrong with a pose by what the modeller found: the clamped
// face lies with its sheet's thickness on the bed and begins where it must, and no
// metal lies in bed, leaf or bars. A bend that runs off an edge of the leaf rests on
// it with its curve, see calc/clash: what of the curve is lower is no more than an
// edge 240 long that reaches 0.2 into it, 240 x 0.2 x 0.2 / 2 = 4.8 mm3.
func (p posedPart) faults(a outsideAnswer) []string {
	const off, film, rests = 1e-3, 0.01, 5 // mm, and mm3 for what touches
	var out []string
	for _, f := range []struct {
		what            string
		got, want, most float64
	}{
		{"its metal", a.Whole, p.metal, 2e-5 * p.metal}, {"its handedness", p.turned(), 1, 1e-6}, {"lowest", a.Low, 0, off}, {"highest", a.High, p.thick, off}, {"front", a.Front, p.front, off},
		{"in the bed", a.Bed, 0, film}, {"in the leaf", a.Leaf, 0, film}, {"its curves in the leaf", a.Curve, 0, rests}, {"in what clamps", slices.Max(a.Tools), 0, film},
	} {
		if !(math.Abs(f.got-f.want) <= f.most) {
			out = append(out, fmt.Sprintf("%s %v, want %.4f", f.what, f.got, f.want))
		}
	}
	return out
}

// TestPosesAgainstOutsideModellerOfPoses: by the pose of plan -json every part of
// the suite and of the cases lies on the bed before every step; one that is a
// twentieth of a millimetre or a fifth of a degree off is seen.
func TestPosesAgainstOutsideModellerOfPoses(t *testing.T) {
	suite.Unraced(t)
	poses := posedParts(t)
	digest := folding.Digest(t, poses)
	if *posesFile != "" {
		folding.Write(t, *posesFile, map[string]any{"digest": digest, "poses": poses})
		return
	}
	var recorded struct {
		Digest string
		Poses  []outsideAnswer
	}
	kept, err := os.ReadFile(outsidePoses)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(kept, &recorded); err != nil {
		t.Fatal(err)
	}
	if recorded.Digest != digest || len(recorded.Poses) != len(poses) {
		t.Fatalf("the recorded answers are of the poses %s, these are %s; make them again as testdata/poses/volumes.mjs says", recorded.Digest, digest)
	}
	right, seen := 0, map[string]int{}
	for i, p := range poses {
		switch faults := p.faults(recorded.Poses[i]); {
		case p.slip == "" && len(faults) > 0:
			t.Errorf("%s: %s", p.Name, strings.Join(faults, ", "))
		case p.slip == "":
			right++
		case len(faults) > 0:
			seen[p.slip]++
		case slices.ContainsFunc(slipsOfPoses, func(s slipOf) bool { return s.name == p.slip && s.always }):
			t.Errorf("%s is not seen", p.Name)
		}
	}
	for _, slip := range slipsOfPoses {
		t.Logf("%s: seen %d times", slip.name, seen[slip.name])
		if seen[slip.name] < 8 {
			t.Errorf("%s: seen %d times only", slip.name, seen[slip.name])
		}
	}
	if right < 90 {
		t.Errorf("only %d poses", right)
	}
}
