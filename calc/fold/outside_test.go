package fold_test

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/testdata/folding"
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
	Name  string           `json:"name"`
	Flats [][][3]float64   `json:"flats"`
	Bends []folding.Sector `json:"bends"`

	blank *flat.Blank
}

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
			out.Flats = append(out.Flats, folding.Corners(body))
		}
	}
	frames := tree.Place(made)
	for _, j := range b.Joints {
		stays, across := j.Faces[0], j.Across
		if tree.Up[stays] == j.Faces[1] {
			stays, across = j.Faces[1], across.Times(-1)
		}
		out.Bends = append(out.Bends, folding.Bent(j, across, frames[stays]))
	}
	return out
}

// The volume of a finished part is that of its blank, and of each bend what its
// K-factor predicts beside it: a sector of mean radius r + t/2 holds more than
// its allowance of radius r + K t by angle x length x t2 (1/2 - K). The whole is
// as large as its pieces together, so no face runs through another.
func TestVolumesAgainstOutsideSolidModeller(t *testing.T) {
	parts := exampleParts(t)
	digest := folding.Digest(t, parts)
	if *casesFile != "" {
		folding.Write(t, *casesFile, map[string]any{"digest": digest, "parts": parts})
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
		step := angle / folding.Chords
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
