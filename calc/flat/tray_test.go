package flat_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/geom"
)

// fourWalls is a tray of 200 x 120 with walls of 40 and the corners given.
func fourWalls(corners, chain string) string {
	return header + `"tray":{"base":[200,120],"walls":{"left":[` + chain + `],"right":[` + chain + `],"front":[` + chain + `],"back":[` + chain + `]},"corners":` + corners + `}}`
}

// By hand, with t = r = 1 and K = 0.33: every square bend adds its allowance
// 2.089159 and takes off two outside setbacks of 2.
func TestTrayBlanksByHand(t *testing.T) {
	tests := []struct {
		name, text string
		x, y       float64
	}{
		{"four walls", fourWalls(`{}`, `{"leg":40}`), 200 - 4 + 2*(38+2.089159), 120 - 4 + 2*(38+2.089159)},
		{"four walls with lips", fourWalls(`{}`, `{"leg":40},{"leg":15}`), 200 - 4 + 2*(36+13+2*2.089159), 120 - 4 + 2*(36+13+2*2.089159)},
		{"a wall on the left", header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":40}]}}}`, 198 + 38 + 2.089159, 120},
		{"walls at front and back", header + `"tray":{"base":[200,120],"walls":{"front":[{"leg":40}],"back":[{"leg":30}]}}}`, 200, 116 + 38 + 28 + 2*2.089159},
		{"inside sizes", header + `"sizes":"inside","tray":{"base":[200,120],"walls":{"left":[{"leg":40}]}}}`, 201 + 41 - 4 + 2.089159, 120},
		{"sloping walls", header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":40,"angle":45}]}}}`, 240 - 2*0.828427 + 1.044580, 120},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			b := develop(t, test.text)
			near(t, "the blank along x", float64(b.Width), test.x, 1e-5)
			near(t, "the blank along y", float64(b.Height), test.y, 1e-5)
			near(t, "SumSizes of a tray", float64(b.SumSizes), 0, 0)
		})
	}
}

func TestTrayNamesWallsAndBends(t *testing.T) {
	b := develop(t, fourWalls(`{}`, `{"leg":40},{"leg":15},{"leg":12}`))
	var faces, bends []string
	for _, f := range b.Faces {
		faces = append(faces, f.ID)
	}
	for _, j := range b.Joints {
		bends = append(bends, j.ID)
	}
	want := "left left.2 left.3 right right.2 right.3 front front.2 front.3 back back.2 back.3"
	if got := strings.Join(faces, " "); got != "base "+want {
		t.Errorf("faces = %s", got)
	}
	if got := strings.Join(bends, " "); got != want {
		t.Errorf("bends = %s", got)
	}
}

// The base and the walls of a folded tray measure what the drawing asks for.
func TestFoldedTrayMeasuresAsDrawn(t *testing.T) {
	f := foldAll(develop(t, fourWalls(`{"relief":"round","size":4}`, `{"leg":40},{"leg":15}`)))
	var all []geom.Point3
	for _, bodies := range f.bodies {
		for _, body := range bodies {
			all = append(all, body...)
		}
	}
	for _, test := range []struct {
		name       string
		coordinate func(geom.Point3) float64
		want       float64
	}{
		{"length over the walls", func(p geom.Point3) float64 { return p.X }, 200},
		{"width over the walls", func(p geom.Point3) float64 { return p.Y }, 120},
		{"height over the lips", func(p geom.Point3) float64 { return p.Z }, 40},
	} {
		low, high := geom.Span(all, test.coordinate)
		near(t, test.name, high-low, test.want, 1e-9)
	}
	_, inner := geom.Span(f.bodies[f.blank.FaceIndex("left.2")][0], func(p geom.Point3) float64 { return p.X })
	outer, _ := geom.Span(f.bodies[f.blank.FaceIndex("left")][0], func(p geom.Point3) float64 { return p.X })
	near(t, "the lip from the outside of its wall", inner-outer, 15, 1e-9)
}

var sides = []string{"left", "right", "front", "back"}

// neighbours lists the sides that meet at the four corners.
var neighbours = [][2]string{{"left", "front"}, {"left", "back"}, {"right", "front"}, {"right", "back"}}

// After folding, neighbouring walls stand as far apart as the drawing asks for,
// whatever the relief.
func TestGapOfFoldedCorners(t *testing.T) {
	for _, relief := range []string{"square", "round", "vee", "none"} {
		for _, gap := range []float64{0, 0.5, 3} {
			for _, size := range []float64{1, 2, 6} {
				name := fmt.Sprintf("%s of %v, gap %v", relief, size, gap)
				t.Run(name, func(t *testing.T) {
					corners := fmt.Sprintf(`{"relief":"%s","size":%v,"gap":%v}`, relief, size, gap)
					f := foldAll(develop(t, fourWalls(corners, `{"leg":40}`)))
					for _, pair := range neighbours {
						got := f.gap(pair[0], pair[1])
						near(t, fmt.Sprintf("the gap between %v", pair), got, gap, 1e-5)
					}
				})
			}
		}
	}
}

// Two lips that fold inwards are mitred so that they keep the same gap; lips
// that fold outwards never meet.
func TestGapOfFoldedLips(t *testing.T) {
	inward := foldAll(develop(t, fourWalls(`{"gap":0.8}`, `{"leg":40},{"leg":15}`)))
	outward := foldAll(develop(t, fourWalls(`{"gap":0.8}`, `{"leg":40},{"leg":15,"angle":-90}`)))
	mixed := foldAll(develop(t, header+`"tray":{"base":[200,120],"walls":{"left":[{"leg":40},{"leg":15}],"front":[{"leg":40},{"leg":15,"angle":-90}]},"corners":{"gap":0.8}}}`))
	for _, pair := range neighbours {
		near(t, fmt.Sprintf("the gap between the walls %v", pair), inward.gap(pair[0], pair[1]), 0.8, 1e-5)
		near(t, fmt.Sprintf("the gap between the inward lips of %v", pair), inward.gap(pair[0]+".2", pair[1]+".2"), 0.8, 1e-5)
		if got := outward.gap(pair[0]+".2", pair[1]+".2"); got < 0.8 {
			t.Errorf("the gap between the outward lips of %v = %v", pair, got)
		}
		for _, lip := range [][2]string{{pair[0] + ".2", pair[1]}, {pair[0], pair[1] + ".2"}} {
			if got := inward.gap(lip[0], lip[1]); got < 0.1 {
				t.Errorf("%v come as near as %v", lip, got)
			}
		}
	}
	if got := mixed.gap("left.2", "front.2"); got < 0.1 {
		t.Errorf("an inward and an outward lip come as near as %v", got)
	}
}

// anyTray draws a tray with walls and lips.
func anyTray(t *rapid.T) (text string) {
	var walls []string
	for _, side := range sides {
		var chain []string
		for i := range rapid.IntRange(0, 3).Draw(t, side) {
			leg := rapid.IntRange(11, 30).Draw(t, "leg")
			angle := rapid.SampledFrom([]int{90, 90, -90, 60}).Draw(t, "angle")
			if i > 0 {
				angle = rapid.SampledFrom([]int{90, -90, 45, -30}).Draw(t, "angle")
			}
			chain = append(chain, fmt.Sprintf(`{"leg":%d,"angle":%d}`, leg, angle))
		}
		walls = append(walls, fmt.Sprintf(`"%s":[%s]`, side, strings.Join(chain, ",")))
	}
	if !strings.Contains(strings.Join(walls, ""), "leg") {
		walls[0] = `"left":[{"leg":20}]`
	}
	return fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":%v,"inside_radius":%v,"tray":{"base":[%d,%d],"walls":{%s},"corners":{"relief":"%s","size":%v,"gap":%v}}}`,
		rapid.SampledFrom([]float64{0.5, 1, 2}).Draw(t, "t"), rapid.SampledFrom([]float64{0.5, 1, 3}).Draw(t, "r"),
		rapid.IntRange(90, 300).Draw(t, "x"), rapid.IntRange(90, 300).Draw(t, "y"), strings.Join(walls, ","),
		rapid.SampledFrom([]string{"square", "round", "vee", "none"}).Draw(t, "relief"),
		rapid.SampledFrom([]float64{0.5, 2, 5}).Draw(t, "size"), rapid.SampledFrom([]float64{0, 0.5, 2}).Draw(t, "gap"))
}

// The outline is one loop whose area is that of all faces, and that of all flats
// and bend zones together: nothing is lost and nothing is counted twice.
func TestTrayAreasAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := anyTray(t)
		b := develop(t, text)
		if len(b.Outline) != 1 || !(b.Outline[0].Area() > 0) || !b.Outline[0].Simple() {
			t.Fatalf("the outline of %s is %v, want one simple loop", text, b.Outline)
		}
		near(t, "outline against faces of "+text, b.Area(), areas(b), 0.5) // corners within a snap are one
		low, high := geom.Bounds(b.Outline[0]...)
		near(t, "the lower left corner lies at the origin", math.Hypot(low.X, low.Y), 0, 1e-9)
		near(t, "the box along x", high.X, float64(b.Width), 1e-6)
		near(t, "the box along y", high.Y, float64(b.Height), 1e-6)
		for _, j := range b.Joints {
			if j.Across.Length() < 0.999 || math.Abs(j.Across.Dot(j.Line[1].Sub(j.Line[0]))) > 1e-9 {
				t.Errorf("bend %s: across %v is not square to %v", j.ID, j.Across, j.Line)
			}
			near(t, "the zone of "+j.ID, j.Zone.Area(), float64(j.Length()*j.Bend.Allowance()), 1e-6)
		}
	})
}

// With a square relief the flats and the zones cover the blank exactly.
func TestFlatsAndZonesCoverTheBlank(t *testing.T) {
	for _, text := range []string{
		fourWalls(`{"relief":"square","size":4}`, `{"leg":40}`),
		header + `"profile":{"length":100,"legs":[30,40,30],"bends":[90,-45]}}`,
		header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":40},{"leg":15}]}}}`,
	} {
		b := develop(t, text)
		near(t, "flats and zones of "+text, solidAreas(b), b.Area(), 1e-6)
	}
}

// A tray that is the same from both sides gives a blank that is too.
func TestSymmetricTray(t *testing.T) {
	for _, relief := range []string{"square", "round", "vee", "none"} {
		b := develop(t, fourWalls(`{"relief":"`+relief+`","size":5}`, `{"leg":40},{"leg":15}`))
		for _, mirror := range []func(geom.Point2) geom.Point2{
			func(p geom.Point2) geom.Point2 { return geom.Point2{X: float64(b.Width) - p.X, Y: p.Y} },
			func(p geom.Point2) geom.Point2 { return geom.Point2{X: p.X, Y: float64(b.Height) - p.Y} },
		} {
			for _, p := range b.Outline[0] {
				nearest := math.Inf(1)
				for _, q := range b.Outline[0] {
					nearest = math.Min(nearest, mirror(p).Sub(q).Length())
				}
				if nearest > 0.03 {
					t.Errorf("%s: the mirror image of corner %v is %v off", relief, p, nearest)
				}
			}
		}
	}
}

func TestMitredWalls(t *testing.T) {
	b := develop(t, header+`"tray":{"base":[200,120],"walls":{"left":[{"leg":40,"mitre":45}]}}}`)
	wall := b.Faces[b.FaceIndex("left")].Pieces[0]
	// 38 flat at 45 degrees narrows the wall by 38 at each end, from 120 to 44.
	near(t, "area of a mitred wall", wall.Area(), 120*2.089159/2+38*(120+44)/2, 1e-4)
}

func TestTrayRefusals(t *testing.T) {
	tests := []struct{ name, text, field, says string }{
		{"a base used up", header + `"tray":{"base":[200,4],"walls":{"front":[{"leg":40}],"back":[{"leg":40}]}}}`, "tray.base[1]", "more than 4.00 mm"},
		{"a wall used up", header + `"tray":{"base":[200,120],"walls":{"right":[{"leg":40},{"leg":2}]}}}`, "tray.walls.right[1].leg", "more than 2.00 mm"},
		{"a relief wider than the wall", header + `"tray":{"base":[200,20],"walls":{"left":[{"leg":9}],"front":[{"leg":9}],"back":[{"leg":9}]},"corners":{"size":40}}}`, "tray.walls.left[0]", "corner cuts"},
		{"mitres that meet", header + `"tray":{"base":[200,60],"walls":{"left":[{"leg":40,"mitre":45}]}}}`, "tray.walls.left[0]", "corner cuts"},
		{"mitres that spread into each other", header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":40,"mitre":-60}],"front":[{"leg":40,"mitre":-60}]}}}`, "tray.walls.left[0].mitre", "overlap"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := refusal(t, test.text)
			if r.Field != test.field || !strings.Contains(r.Message, test.says) || r.Line != 1 {
				t.Errorf("refused with %v, want it on %q saying %q", r, test.field, test.says)
			}
		})
	}
}

// What each relief takes out of the base, by hand for a width of 6: the square a
// square of 3, the round a quarter circle of radius 3, the vee a kite of 120
// degrees at its tip, whose arms begin 3 from the corner. Without a relief the
// corner of the base stays whole.
func TestReliefsCutOutOfTheBase(t *testing.T) {
	base := func(relief string) float64 {
		b := develop(t, fourWalls(`{"relief":"`+relief+`","size":6}`, `{"leg":40}`))
		return b.Faces[0].Pieces[0].Area()
	}
	// The bend ends 3 from the corner where there is a relief: four half zones
	// of 2.089159 that are 2 x 3 shorter.
	whole := base("none") - 4*6*2.089159/2
	for _, test := range []struct {
		relief string
		cut    float64
	}{
		{"square", 9},
		{"round", 12 * 9 / 2 * math.Sin(math.Pi/24)}, // 12 chords: n r2/2 sin(a/n)
		{"vee", 3 * 3 / (1 + math.Tan(15*math.Pi/180))},
	} {
		near(t, "what a "+test.relief+" relief cuts out of the base", (whole-base(test.relief))/4, test.cut, 1e-5)
	}
}

// The sheet beside the ends of the bends is cut away by every relief, so that no
// bend is said to bulge.
func TestNoReliefLeavesSheetBesideABend(t *testing.T) {
	for _, relief := range []string{"square", "round", "vee", "none"} {
		for _, size := range []float64{1, 3, 8} {
			b := develop(t, fourWalls(fmt.Sprintf(`{"relief":"%s","size":%v,"gap":0.5}`, relief, size), `{"leg":40}`))
			for _, c := range b.Cautions {
				if strings.Contains(c, "bulge") {
					t.Errorf("relief %s of %v: %s", relief, size, c)
				}
			}
		}
	}
}
