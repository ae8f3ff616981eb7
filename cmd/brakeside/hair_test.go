package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/part"
	"brakeside/calc/unit"
	"brakeside/testdata/suite"
)

// A hair does not decide: drawings are written to hundredths of a millimetre, so
// a part whose corners lie two thousandths elsewhere, or one that went through
// its own drawing, is the same part and gets the same plan.

var everyPart = flag.Bool("every-part", false, "move the corners of every part, and draw every part, not only those that are planned quickly")

// hairPart is a part with the brake that it is planned on.
type hairPart struct {
	name  string
	part  part.Part
	brake *brake.Brake
	blank *flat.Blank
}

// mostQuickBends is up to how many bends a part is planned quickly.
const mostQuickBends = 6

// hairParts lists the examples and the parts of the suite.
func hairParts(t *testing.T) []hairPart {
	t.Helper()
	var out []hairPart
	for _, file := range partFiles(t) {
		p, err := readPart(file)
		if err != nil {
			t.Fatal(err)
		}
		k, err := readBrake(brakeOf(file))
		if err != nil {
			t.Fatal(err)
		}
		b, err := (figures.Shop{}).Develop(p)
		if err != nil {
			t.Fatal(err)
		}
		if len(b.Joints) <= mostQuickBends || *everyPart {
			out = append(out, hairPart{nameOf(file), p, k, b})
		}
	}
	return out
}

// brakeOf is the brake file of a part: that of the suite, the one with a round
// bar, or the demo brake.
func brakeOf(file string) string {
	switch {
	case strings.Contains(file, "suite"):
		return "../../testdata/suite/brake.json"
	case nameOf(file) == "round-saddle":
		return "../../testdata/brakes/round.json"
	}
	return ""
}

// gist is what must not change: the verdict, the minutes and the steps. What
// would help where there is no order is not looked for.
func gist(t suite.Failer, p part.Part, k *brake.Brake) string {
	t.Helper()
	if _, err := (figures.Shop{}).Develop(p); err == nil && !suite.Possible(t, p, k) {
		return "feasible false"
	}
	plan, err := calc.Work(p, k, calc.Options{})
	if err != nil {
		return err.Error()
	}
	return fmt.Sprintf("feasible %t, %.6f minutes, %d steps", plan.Feasible, plan.Minutes, len(plan.Steps))
}

// asDrawn is a part as its blank, each corner and each end of a bend line where
// move puts it.
func asDrawn(p part.Part, b *flat.Blank, move func(geom.Point2) geom.Point2) part.Part {
	at := func(q geom.Point2) [2]unit.MM {
		q = move(q)
		return [2]unit.MM{unit.MM(q.X), unit.MM(q.Y)}
	}
	p.Profile, p.Tray, p.Holes, p.Cutouts = nil, nil, nil, nil
	p.Flat = &part.Flat{}
	for _, f := range b.Faces {
		for i, g := range f.Pieces {
			face := part.Face{ID: f.ID}
			if i > 0 {
				face.ID = fmt.Sprintf("%s.piece%d", f.ID, i)
				p.Flat.Joined = append(p.Flat.Joined, [2]string{f.ID, face.ID})
			}
			last := g[len(g)-1]
			for _, q := range g {
				if q.Sub(last).Length() > flat.Snap {
					face.Outline = append(face.Outline, at(q))
				}
				last = q
			}
			p.Flat.Faces = append(p.Flat.Faces, face)
		}
	}
	for _, j := range b.Joints {
		bend := part.FlatBend{
			ID: j.ID, Between: [2]string{b.Faces[j.Faces[0]].ID, b.Faces[j.Faces[1]].ID},
			Line: [2][2]unit.MM{at(j.Line[0]), at(j.Line[1])}, Angle: j.Angle, Hem: j.Hem,
		}
		if j.Hem == part.NoHem {
			bend.Radius = j.Bend.Radius
		}
		p.Flat.Bends = append(p.Flat.Bends, bend)
	}
	return p
}

func TestCornersMovedByAHair(t *testing.T) {
	const hair = 0.002 // mm, each way
	parts := hairParts(t)
	want := make([]string, len(parts))
	for i, p := range parts {
		want[i] = gist(t, p.part, p.brake)
	}
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(parts)-1).Draw(t, "part")
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "moves"), 0))
		p := parts[i]
		moved := asDrawn(p.part, p.blank, func(q geom.Point2) geom.Point2 {
			return geom.Point2{X: q.X + hair*(2*r.Float64()-1), Y: q.Y + hair*(2*r.Float64()-1)}
		})
		if got := gist(t, moved, p.brake); got != want[i] {
			t.Errorf("%s with its corners moved: %s; as drawn %s", p.name, got, want[i])
		}
	})
}

func TestPartsThroughTheirDrawings(t *testing.T) {
	for _, p := range hairParts(t) {
		t.Run(p.name, func(t *testing.T) {
			again := throughDrawing(t, p)
			if got, want := gist(t, again, p.brake), gist(t, p.part, p.brake); got != want {
				t.Errorf("through its drawing: %s; as a part %s", got, want)
			}
		})
	}
}

// throughDrawing writes the blank of a part as a drawing, imports it, and says
// again what a drawing does not: hems, and what is not geometry.
func throughDrawing(t *testing.T, p hairPart) part.Part {
	t.Helper()
	folder := t.TempDir()
	text, err := part.Write(p.part)
	if err != nil {
		t.Fatal(err)
	}
	file, drawing, imported := written(t, folder, "part.json", string(text)), filepath.Join(folder, "part.dxf"), filepath.Join(folder, "again.json")
	if o := runs(t, "flat", file, "-o", drawing); o.code != exitFine {
		t.Fatalf("flat: %s", o.err)
	}
	args := []string{"import", drawing, "-o", imported, "-outline", "CUT", "-material", p.part.Material, "-number", p.part.Number, "-thickness", fmt.Sprint(float64(p.blank.Sheet.Thickness))}
	if p.part.InsideRadius > 0 {
		args = append(args, "-radius", fmt.Sprint(float64(p.part.InsideRadius)))
	}
	joints := upFirst(p.blank)
	for i, j := range joints {
		layer := []string{"-down", "BEND_DOWN"}
		if j.Up() {
			layer = []string{"-bends", "BEND_UP"}
		}
		args = append(args, append(layer, "-angle", fmt.Sprintf("b%d=%v", i+1, min(float64(j.Bend.Angle), 179)))...)
	}
	if o := runs(t, args...); o.code != exitFine {
		t.Fatalf("import: %s", o.err)
	}
	again, err := readPart(imported)
	if err != nil {
		t.Fatal(err)
	}
	if len(again.Flat.Bends) != len(joints) {
		t.Fatalf("%d bends came back, want %d", len(again.Flat.Bends), len(joints))
	}
	for i, j := range joints {
		again.Flat.Bends[i].Hem, again.Flat.Bends[i].Angle = j.Hem, j.Angle
	}
	again.K, again.Grain, again.MarkedFace, again.Over90, again.Tolerance = p.part.K, p.part.Grain, p.part.MarkedFace, p.part.Over90, p.part.Tolerance
	return again
}

// upFirst lists the bends as a drawing has them: those folded up, then those
// folded down.
func upFirst(b *flat.Blank) []flat.Joint {
	var up, down []flat.Joint
	for _, j := range b.Joints {
		if j.Up() {
			up = append(up, j)
		} else {
			down = append(down, j)
		}
	}
	return append(up, down...)
}
