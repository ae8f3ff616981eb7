package fold_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/testdata/parts"
)

// How much metal a folded part holds is checked against a solid modeller that
// shares no code with us: the npm package manifold-3d. Its answers stand in
// testdata/folding/volumes.json with the versions they were made by;
// testdata/folding/volumes.mjs makes them again from the solids that -cases
// writes.

var casesFile = flag.String("cases", "", "write the solids of the folded parts to this file")

const outsideVolumes = "../../testdata/folding/volumes.json"

// foldedPart is one part in space: the convex pieces of its flats, and its bends
// as sectors of rings.
type foldedPart struct {
	Name  string         `json:"name"`
	Flats [][][3]float64 `json:"flats"`
	Bends []sector       `json:"bends"`

	blank *flat.Blank
}

// sector is bent metal: around the origin of its frame, from x turned towards y,
// along z.
type sector struct {
	Inner  float64    `json:"inner"`
	Outer  float64    `json:"outer"`
	Angle  float64    `json:"angle"` // in radians
	Chords int        `json:"chords"`
	Length float64    `json:"length"`
	X      [3]float64 `json:"x"`
	Y      [3]float64 `json:"y"`
	Z      [3]float64 `json:"z"`
	At     [3]float64 `json:"at"`
}

// chords is in how many chords the modeller draws an arc.
const chords = 64

func figures(p geom.Point3) [3]float64 { return [3]float64{tidy(p.X), tidy(p.Y), tidy(p.Z)} }

// tidy keeps what may differ between machines out of the digest.
func tidy(v float64) float64 { return math.Round(v*1e7)/1e7 + 0 }

// exampleParts folds the example parts all the way.
func exampleParts(t *testing.T) []foldedPart {
	t.Helper()
	files, err := filepath.Glob("../../testdata/parts/*.json")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d parts, %v", len(files), err)
	}
	var out []foldedPart
	for _, file := range files {
		b := parts.Develop(t, file)
		out = append(out, foldedUp(strings.TrimSuffix(filepath.Base(file), ".json"), b))
	}
	return out
}

func foldedUp(name string, b *flat.Blank) foldedPart {
	out := foldedPart{Name: name, blank: b}
	made := fold.All(len(b.Joints))
	tree := fold.NewTree(b, 0)
	for _, bodies := range tree.Solids(made) {
		for _, body := range bodies {
			var corners [][3]float64
			for _, p := range body {
				corners = append(corners, figures(p))
			}
			out.Flats = append(out.Flats, corners)
		}
	}
	frames := tree.Place(made)
	for _, j := range b.Joints {
		stays, across := j.Faces[0], j.Across
		if tree.Up[stays] == j.Faces[1] {
			stays, across = j.Faces[1], across.Times(-1)
		}
		out.Bends = append(out.Bends, bentMetal(j, across, frames[stays]))
	}
	return out
}

// bentMetal is the sector of a bend, seen from the face that stays: the axis
// lies the inside radius over the face that is inside.
func bentMetal(j flat.Joint, across geom.Point2, stays geom.Frame) sector {
	radius, thick := float64(j.Bend.Radius), float64(j.Bend.Thickness)
	from, height := geom.Point3{Z: -1}, thick+radius
	if !j.Up() {
		from, height = geom.Point3{Z: 1}, -radius
	}
	to := geom.Point3{X: across.X, Y: across.Y}
	along := from.Cross(to)
	begin := j.Line[0]
	if line := j.Line[1].Sub(begin); along.Dot(geom.Point3{X: line.X, Y: line.Y}) < 0 {
		begin = j.Line[1]
	}
	begin = begin.Sub(across.Times(j.Half()))
	return sector{
		Inner: tidy(radius), Outer: tidy(radius + thick), Angle: tidy(math.Abs(j.Angle.Rad())), Chords: chords, Length: tidy(float64(j.Length())),
		X: figures(stays.Turn(from)), Y: figures(stays.Turn(to)), Z: figures(stays.Turn(along)), At: figures(stays.Place(geom.Point3{X: begin.X, Y: begin.Y, Z: height})),
	}
}

// digestOf tells by a few letters what recorded answers are of.
func digestOf(t *testing.T, cases any) string {
	t.Helper()
	data, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:8])
}

// writeCases writes what the modeller is asked about.
func writeCases(t *testing.T, name string, cases any) {
	t.Helper()
	data, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// The volume of a finished part is that of its blank, and of each bend what its
// K-factor predicts beside it: a sector of mean radius r + t/2 holds more than
// its allowance of radius r + K t by angle x length x t2 (1/2 - K). The whole is
// as large as its pieces together, so no face runs through another.
func TestVolumesAgainstOutsideSolidModeller(t *testing.T) {
	parts := exampleParts(t)
	digest := digestOf(t, parts)
	if *casesFile != "" {
		writeCases(t, *casesFile, map[string]any{"digest": digest, "parts": parts})
		return
	}
	var recorded struct {
		Digest  string
		Volumes []struct{ Whole, Apart float64 }
	}
	kept, err := os.ReadFile(outsideVolumes)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(kept, &recorded); err != nil {
		t.Fatal(err)
	}
	if recorded.Digest != digest || len(recorded.Volumes) != len(parts) {
		t.Fatalf("the recorded volumes are of the parts %s, these are %s; make them again as testdata/folding/volumes.mjs says", recorded.Digest, digest)
	}
	for i, p := range parts {
		whole, bends := predicted(p)
		got := recorded.Volumes[i]
		near(t, "the volume of "+p.Name, got.Whole, whole, 2e-5*whole)
		near(t, "what the pieces of "+p.Name+" have in common", got.Apart-got.Whole, 0, 2e-5*whole)
		if math.Abs(bends) < 1e-3 && p.Name != "round-saddle" {
			t.Errorf("%s: its bends change nothing, so K is not asked", p.Name)
		}
	}
}

// predicted is the volume of the blank, openings filled, with what the bends add,
// and the latter alone. The chords of the modeller leave out a little of each
// ring.
func predicted(p foldedPart) (whole, bends float64) {
	thick := float64(p.blank.Sheet.Thickness)
	for _, f := range p.blank.Faces {
		for _, g := range f.Pieces {
			whole += g.Area() * thick
		}
	}
	for _, j := range p.blank.Joints {
		angle, long := math.Abs(j.Angle.Rad()), float64(j.Length())
		bends += angle * long * thick * thick * (0.5 - j.Bend.K)
		step := angle / chords
		ring := angle * long * thick * (float64(j.Bend.Radius) + thick/2)
		whole -= ring * (1 - math.Sin(step)/step)
	}
	return whole + bends, bends
}

// The check has teeth: a bend with another K, or walls that run through each
// other, would be seen.
func TestVolumePredictionFeelsK(t *testing.T) {
	for _, p := range exampleParts(t) {
		right, _ := predicted(p)
		for i := range p.blank.Joints {
			p.blank.Joints[i].Bend.K += 0.02
		}
		if wrong, _ := predicted(p); math.Abs(wrong-right) < 4e-5*right {
			t.Errorf("%s: with K off by 0.02 its volume is %.6f instead of %.6f, too near to tell", p.Name, wrong, right)
		}
	}
}
