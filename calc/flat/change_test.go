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

// The middle of a leg is that of its outline, and reaches half of it to each side.
func TestMiddle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, legs, _ := anyProfile(t, 120)
		b := develop(t, text)
		leg := rapid.IntRange(0, len(legs)-1).Draw(t, "leg")
		middle, half := b.Middle(leg, geom.Point2{Y: 1})
		low, high := geom.Bounds(b.Faces[leg].Pieces[0]...)
		near(t, "middle of the leg", middle.Y, (low.Y+high.Y)/2, 1e-9)
		near(t, "half of the leg", half, (high.Y-low.Y)/2, 1e-9)
	})
}

// What is kept of a blank is those faces and the bends between them, as they were, in
// their order; what does not hang together is refused, and the blank stays whole.
func TestOnly(t *testing.T) {
	b := develop(t, lipped)
	before := written(b)
	for _, test := range []struct{ kept, bends string }{
		{"base left", "left"}, {"base left left.2", "left left.2"}, {"left left.2", "left.2"}, {"base front", "front"},
		{"base", ""}, {"base left left.2 front", "left left.2 front"}, {"base left.2", "refused"}, {"left front", "refused"},
	} {
		kept := map[string]bool{}
		for _, id := range strings.Fields(test.kept) {
			kept[id] = true
		}
		only, err := b.Only(kept)
		if err != nil {
			if test.bends != "refused" {
				t.Errorf("%s: %v", test.kept, err)
			}
			continue
		}
		var faces, bends []string
		area := 0.0
		for _, f := range only.Faces {
			faces = append(faces, f.ID)
			area += b.Faces[b.FaceIndex(f.ID)].Pieces[0].Area()
		}
		for _, j := range only.Joints {
			bends = append(bends, j.ID)
		}
		if got := strings.Join(bends, " "); got != test.bends || strings.Join(faces, " ") != test.kept {
			t.Errorf("%s: the faces %v and the bends %s are left, want %s", test.kept, faces, got, test.bends)
		}
		near(t, "area of "+test.kept, only.Area(), area, 0.02*area)
	}
	if written(b) != before {
		t.Error("keeping a part of a blank changed it")
	}
}
