package flat_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// written puts a blank into words, to see that it has not been changed.
func written(b *flat.Blank) string {
	return fmt.Sprintf("%+v %+v %+v", b.Faces, b.Joints, b.Outline)
}

const lipped = header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":40},{"leg":15}],"front":[{"leg":30}]}}}`

func TestLeaves(t *testing.T) {
	b := develop(t, lipped)
	var ids []string
	for _, f := range b.Leaves() {
		ids = append(ids, b.Faces[f].ID)
	}
	if got := strings.Join(ids, " "); got != "left.2 front" {
		t.Errorf("leaves = %s, want the lip and the wall without one", got)
	}
	twins := develop(t, drawn{
		faces: []string{face("plate", 0, 0, 100, 0, 100, 50, 60, 50, 60, 40, 40, 40, 40, 50, 0, 50), flange},
		bends: []string{bendLine("b", "plate flange", 0, 50, 40, 50), bendLine("c", "plate flange", 60, 50, 100, 50)}}.text())
	if got := len(twins.Leaves()); got != 2 {
		t.Errorf("a bend with a gap in it has %d leaves, want both its faces", got)
	}
}

// Cutting off any leaf takes its own area and no more, and leaves a blank that
// hangs together and folds as before.
func TestWithout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := develop(t, anyTray(t))
		before := written(b)
		leaf := rapid.SampledFrom(b.Leaves()).Draw(t, "leaf")
		id, own := b.Faces[leaf].ID, 0.0
		for _, g := range b.Faces[leaf].Pieces {
			own += g.Area()
		}
		less, err := b.Without(leaf)
		if err != nil {
			t.Fatalf("Without(%s) = %v", id, err)
		}
		near(t, "area without "+id, less.Area(), b.Area()-own, 1)
		if less.FaceIndex(id) >= 0 || len(less.Faces) != len(b.Faces)-1 || len(less.Joints) != len(b.Joints)-1 {
			t.Errorf("without %s there are %d faces and %d bends", id, len(less.Faces), len(less.Joints))
		}
		if tree := fold.NewTree(less, 0); len(tree.Order) != len(less.Faces) {
			t.Errorf("without %s the rest does not hang together", id)
		}
		for _, j := range less.Joints {
			i := slices.IndexFunc(b.Joints, func(k flat.Joint) bool { return k.ID == j.ID })
			for k, f := range j.Faces {
				if less.Faces[f].ID != b.Faces[b.Joints[i].Faces[k]].ID {
					t.Errorf("bend %s joins %s", j.ID, less.Faces[f].ID)
				}
			}
		}
		if written(b) != before {
			t.Error("cutting a face off changed the blank it was cut from")
		}
	})
}

// A leg made longer measures so much more when it is folded, and no other does.
func TestStretched(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, legs, _ := anyProfile(t, 120)
		b := develop(t, text)
		before := written(b)
		leg := rapid.IntRange(0, len(legs)-1).Draw(t, "leg")
		by := float64(rapid.IntRange(1, 200).Draw(t, "by")) / 2
		up := geom.Point2{Y: 1}
		middle, half := b.Middle(leg, up)
		low, high := geom.Bounds(b.Faces[leg].Pieces[0]...)
		near(t, "middle of the leg", middle.Y, (low.Y+high.Y)/2, 1e-9)
		near(t, "half of the leg", half, (high.Y-low.Y)/2, 1e-9)
		longer, err := b.Stretched(middle, up, unit.MM(by))
		if err != nil {
			t.Fatalf("%v", err)
		}
		near(t, "the blank", float64(longer.Height-b.Height), by, 1e-9)
		near(t, "its area", longer.Area()-b.Area(), by*float64(b.Width), 0.01)
		f := foldAll(longer)
		for i, want := range legs {
			if i == leg {
				want += by
			}
			near(t, fmt.Sprintf("leg %d after leg %d was made %v longer", i, leg, by), f.measured(i, false), want, 1e-6)
		}
		if written(b) != before {
			t.Error("stretching changed the blank itself")
		}
	})
}

func TestTurned(t *testing.T) {
	b := develop(t, header+`"profile":{"length":100,"legs":[30,40,30],"bends":[90,90]}}`)
	before := written(b)
	other, err := b.Turned(1, -45)
	if err != nil {
		t.Fatal(err)
	}
	if j := other.Joints[1]; j.Up() || j.Angle != -45 || j.Bend.Angle != 45 {
		t.Errorf("turned to -45 the bend is %v, up %v", j.Bend.Angle, j.Up())
	}
	near(t, "the blank keeps its area", other.Area(), b.Area(), 1e-6)
	near(t, "the zone is half as wide", other.Joints[1].Zone.Area(), b.Joints[1].Zone.Area()/2, 1e-6)
	near(t, "the flat beside it gains the other half", other.Faces[2].Solid[0].Area()-b.Faces[2].Solid[0].Area(), b.Joints[1].Zone.Area()/4, 1e-6)
	if written(b) != before {
		t.Error("turning a bend changed the blank itself")
	}
}

// The tab of P7v has sheet beside it; cut back to the line of the bend it is P7,
// and nothing more is to be cut.
func TestCutBack(t *testing.T) {
	b := develop(t, mustRead(t, "../../testdata/suite/parts/P7v.json"))
	before := written(b)
	cut, ok := b.CutBack(0, 0)
	if !ok {
		t.Fatal("nothing is cut back")
	}
	// 148 and 172 wide, 80 beyond the line
	near(t, "area cut off", b.Area()-cut.Area(), (148+172)*80, 1)
	if again, ok := cut.CutBack(0, 0); ok {
		t.Errorf("cut back once, another %v mm2 is cut off", cut.Area()-again.Area())
	}
	if _, ok := b.CutBack(0, 1); ok {
		t.Error("the tab itself is cut back")
	}
	if written(b) != before {
		t.Error("cutting back changed the blank itself")
	}
}
