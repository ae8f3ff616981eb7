package clash

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/flat"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
)

// begins is a hem turned up to 120 degrees, and nothing pressed yet.
func begins(t failer, blank *flat.Blank, bend string) *Bench {
	t.Helper()
	for i, j := range blank.Joints {
		if j.ID != bend {
			continue
		}
		begun, err := blank.Begun([]int{i}, 120)
		if err != nil {
			t.Fatalf("%v", err)
		}
		side := 0
		if reach(blank, j, 1) > reach(blank, j, 0) {
			side = 1
		}
		return NewBench(Setting{Blank: begun, Brake: suiteBrake(t), Joints: []int{i}, Side: side, Bars: []int{wide}, Finished: blank})
	}
	t.Fatalf("no bend %s", bend)
	return nil
}

func reach(b *flat.Blank, j flat.Joint, side int) float64 {
	area := 0.0
	for _, g := range b.Faces[j.Faces[side]].Solid {
		area += g.Area()
	}
	return area
}

// An edge that is laid over runs along a tab that stands beside it, or into it.
// By hand, at t = r = 1: the tab's inner face stands half the bend allowance less
// the radius beside its line: 0.12 at K 0.42. Each of the two gives half the
// contact allowance, 0.6 together.
func TestEdgeLaidOverPastATab(t *testing.T) {
	for _, test := range []struct {
		from float64 // where the edge begins, beside the line of the tab
		free bool
	}{{0.3, true}, {-0.3, true}, {-0.7, false}} {
		blank := develop(t, []byte(fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{
			"faces":[{"id":"body","outline":[[0,0],[100,0],[100,60],[0,60]]},
				{"id":"edge","outline":[[%v,0],[90,0],[90,-15],[%v,-15]]},
				{"id":"tab","outline":[[0,4],[0,30],[-12,30],[-12,4]]}],
			"bends":[{"id":"hem","between":["body","edge"],"line":[[%v,0],[90,0]],"hem":"closed"},
				{"id":"tab","between":["body","tab"],"line":[[0,4],[0,30]],"angle":90}]}}`, test.from, test.from, max(test.from, 0))))
		b := begins(t, blank, "hem")
		edge, tab := blank.FaceIndex("edge"), blank.FaceIndex("tab")
		if free, angle := b.Closes(edge, tab, made(blank, "tab")); free != test.free || !free && (angle < 119.9 || angle > 180) {
			t.Errorf("edge from %v: free %v at %v", test.from, free, angle)
		}
		if free, _ := b.Closes(edge, tab, 0); !free {
			t.Errorf("edge from %v: meets a tab that is flat", test.from)
		}
	}
}

// In the bench's own axes the part stands still and the brake comes forward: a
// sheet that hangs down just before the bed is free while the bend is made and
// runs into the bed when the part is pushed back; farther out it meets the leaf,
// which lies flush with the bed then.
func TestPartIsPushedBackIntoTheBed(t *testing.T) {
	for _, test := range []struct {
		before float64 // the bed, when the bend is made
		hit    bool
	}{{1, true}, {5, false}} {
		b := begins(t, develop(t, []byte(hemStrip)), "hem")
		back := float64(b.Press(wide).Back)
		if back < 2 || back > 4 {
			t.Fatalf("pushed back %v", back)
		}
		hanging := geom.Prism(geom.Polygon{{X: 10, Y: -test.before - 1}, {X: 50, Y: -test.before - 1}, {X: 50, Y: -test.before}, {X: 10, Y: -test.before}}, -30, 0)
		s := subject{finished: newPose(hanging), thick: 1}
		a := b.newAnswer()
		b.onPress(a, wide, &s)
		if got := a.Blocks(OfBar(wide, PressBed)); got != test.hit {
			t.Errorf("%v before the bed, pushed back %v: hit %v", test.before, back, got)
		}
		if got := a.Blocks(OfBar(wide, PressFull)); got == test.hit {
			t.Errorf("%v before the bed: meets the leaf %v", test.before, got)
		}
	}
}

const hemStrip = `{"number":"S","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{
	"faces":[{"id":"body","outline":[[0,0],[100,0],[100,60],[0,60]]},{"id":"edge","outline":[[0,0],[100,0],[100,-15],[0,-15]]}],
	"bends":[{"id":"hem","between":["body","edge"],"line":[[0,0],[100,0]],"hem":"closed"}]}}`

// For trays drawn at random with some bends made, whatever of the clamped side is
// found inside the bar that lies on the hem, or above it, blocks it; and what
// blocks it comes as near as the clearance. The oracle walks over the sheet in
// small steps.
func TestBarOnAHemAgainstWalking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blank := developHemmed(t)
		b := begins(t, blank, "front.2")
		set := fold.Made(rapid.Uint64().Draw(t, "made")) & fold.All(len(blank.Joints))
		bar := moved(b.Brake.Bars[wide].Section, -1, 2) // the begun fold stands on the hinge, the nose 1 mm before it
		low, high := geom.Bounds(bar...)
		for f := range blank.Faces {
			if b.Swings(f) {
				continue
			}
			a := b.Answer(f, set)
			on, over := math.Inf(1), math.Inf(1)
			for _, body := range b.walked(f, b.target(set)) {
				if body.Y <= float64(2)+1e-3 { // under the bar, two thicknesses above the bed
					continue
				}
				p := geom.Polygon{body}
				on = min(on, geom.Apart(p, geom.Hull(bar)))
				if body.X > low.X && body.X < high.X {
					over = min(over, max(0, low.Y-body.Y))
				}
			}
			if (on == 0 || over == 0) && !a.Blocks(OfBar(wide, Pressed)) && !a.Blocks(OfBar(wide, PressDown)) {
				t.Fatalf("%s lies in the bar or above it and does not block it", blank.Faces[f].ID)
			}
			if clear := float64(b.Brake.Clearance.Bar); a.Blocks(OfBar(wide, Pressed)) && on > clear+0.5 {
				t.Fatalf("%s blocks the bar from %v mm away", blank.Faces[f].ID, on)
			}
		}
	})
}

// walked lists points of a face and of the bend by which it hangs, about half a
// millimetre apart, as seen along the brake.
func (b *Bench) walked(face int, set fold.Made) []geom.Point2 {
	var out []geom.Point2
	bodies, _ := b.bodies(face, set)
	for _, body := range bodies {
		for i, p := range body {
			for _, q := range body[i+1:] {
				steps := math.Ceil(p.Sub(q).Length()/0.5) + 1
				for k := 0.0; k <= steps; k++ {
					at := q.Add(p.Sub(q).Times(k / steps))
					out = append(out, geom.Point2{X: at.Y, Y: at.Z})
				}
			}
		}
	}
	return out
}

// developHemmed draws a tray with a hem in front and what else may stand.
func developHemmed(t *rapid.T) *flat.Blank {
	leg := rapid.IntRange(14, 60)
	text := fmt.Sprintf(`{"number":"R","material":"mild-steel","thickness":1,"inside_radius":1,"tray":{"base":[%d,%d],"walls":{
		"front":[{"leg":%d},{"leg":%d,"hem":"closed"}],"back":[{"leg":%d},{"leg":%d,"angle":%d}],"left":[{"leg":%d}],"right":[{"leg":%d},{"leg":10,"angle":-90}]}}}`,
		rapid.IntRange(60, 120).Draw(t, "x"), rapid.IntRange(30, 100).Draw(t, "y"), leg.Draw(t, "front"), rapid.IntRange(8, 12).Draw(t, "hem"),
		leg.Draw(t, "back"), rapid.IntRange(9, 25).Draw(t, "lip"), rapid.SampledFrom([]int{90, -90, 60}).Draw(t, "angle"), leg.Draw(t, "left"), leg.Draw(t, "right"))
	b, err := tryDevelop([]byte(text))
	if err != nil {
		t.Skip(err)
	}
	return b
}
