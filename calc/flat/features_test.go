package flat_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/flat"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// spanOf is what a folded face reaches over along x, y and z.
func (f folded) spanOf(id string) (low, high geom.Point3) {
	var all []geom.Point3
	for _, body := range f.bodies[f.blank.FaceIndex(id)] {
		all = append(all, body...)
	}
	low.X, high.X = geom.Span(all, func(p geom.Point3) float64 { return p.X })
	low.Y, high.Y = geom.Span(all, func(p geom.Point3) float64 { return p.Y })
	low.Z, high.Z = geom.Span(all, func(p geom.Point3) float64 { return p.Z })
	return low, high
}

// outside is the lower left corner of the outside sizes of a folded tray.
func (f folded) outside() geom.Point3 {
	var all []geom.Point3
	for _, bodies := range f.bodies {
		for _, body := range bodies {
			all = append(all, body...)
		}
	}
	x, _ := geom.Span(all, func(p geom.Point3) float64 { return p.X })
	y, _ := geom.Span(all, func(p geom.Point3) float64 { return p.Y })
	return geom.Point3{X: x, Y: y}
}

func oneWall(chain string) string {
	return header + `"tray":{"base":[200,120],"walls":{"left":[` + chain + `]}}}`
}

// By hand, t = r = 1: the wall's bend takes 2 off the base and 2 off the wall
// and adds 2.089159. A closed hem counts to its fold, t from the tangent, and adds
// pi t/2; an open one is folded over r = t/2.
func TestHemsByHand(t *testing.T) {
	for _, test := range []struct {
		hem        string
		width, gap float64
	}{
		{"closed", 198 + 2.089159 + (40 - 2 - 1) + math.Pi/2 + (8 - 1), 0},
		{"open", 198 + 2.089159 + (40 - 2 - 1.5) + math.Pi + (8 - 1.5), 1},
	} {
		t.Run(test.hem, func(t *testing.T) {
			b := develop(t, oneWall(`{"leg":40},{"leg":8,"hem":"`+test.hem+`"}`))
			near(t, "the blank along x", float64(b.Width), test.width, 1e-5)
			f := foldAll(b)
			near(t, "the gap of the hem", f.gap("left", "left.2"), test.gap, 1e-6)
			_, wall := f.spanOf("left")
			low, hem := f.spanOf("left.2")
			near(t, "how far the hem's flat ends below the fold", 40-low.Z, 8, 1e-6)
			if hem.Z > 40 || wall.Z > 40 {
				t.Errorf("wall and hem reach up to %v and %v, over 40", wall.Z, hem.Z)
			}
			if got := b.Joints[1]; got.Hem == "" || math.Abs(float64(got.Angle)) != 180 {
				t.Errorf("the joint of the hem is %+v", got)
			}
		})
	}
}

// A hem that is begun only is an ordinary bend of its angle, over the radius of
// the others.
func TestBegunHem(t *testing.T) {
	b := develop(t, oneWall(`{"leg":40},{"leg":12,"hem":"closed"}`))
	begun, err := b.Begun([]int{1}, 124)
	if err != nil {
		t.Fatal(err)
	}
	j := begun.Joints[1]
	if j.Hem != "" || j.Angle != 124 || j.Bend.Radius != 1 || b.Joints[1].Hem == "" {
		t.Errorf("begun: %+v", j)
	}
	near(t, "the blank is the same sheet", begun.Area(), b.Area(), 1e-6)
}

// Tabs lie against the neighbouring wall, inside or outside of it, the gap away;
// their size is measured from the outside of the wall they grow from.
func TestCornerTabs(t *testing.T) {
	for _, tabs := range []string{"inside", "outside"} {
		for _, gap := range []float64{0, 0.5} {
			t.Run(fmt.Sprintf("%s, gap %v", tabs, gap), func(t *testing.T) {
				b := develop(t, fourWalls(fmt.Sprintf(`{"relief":"round","size":3,"gap":%v,"tabs":"%s","tab_width":14}`, gap, tabs), `{"leg":40}`))
				if len(b.Joints) != 8 {
					t.Fatalf("%d bends, want 4 walls and 4 tabs", len(b.Joints))
				}
				f := foldAll(b)
				for _, pair := range neighbours {
					tab := pair[1] + ".tab." + pair[0]
					near(t, "the gap of "+tab, f.gap(tab, pair[0]), gap, 1e-6)
					wallLow, wallHigh := f.spanOf(pair[1])
					low, high := f.spanOf(tab)
					long := high.Y - wallLow.Y
					if pair[1] == "back" {
						long = wallHigh.Y - low.Y
					}
					near(t, "the size of "+tab, long, 14, 1e-6)
					side, _ := f.spanOf(pair[0])
					if within := low.X > side.X; (pair[0] == "left") && within != (tabs == "inside") {
						t.Errorf("%s lies inside %v, want %s", tab, within, tabs)
					}
				}
			})
		}
	}
}

// A tab of part of the length stands where the drawing says, from the left end
// of the edge, with a relief at both ends; the sheet beside it runs on to its
// outside size.
func TestSpans(t *testing.T) {
	for _, relief := range []string{"square", "round", "vee"} {
		t.Run(relief, func(t *testing.T) {
			text := header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":25,"span":[30,80]}],"right":[{"leg":25,"span":[30,80]}]},"corners":{"relief":"` + relief + `","size":3}}}`
			b := develop(t, text)
			if len(b.Cautions) > 0 {
				t.Errorf("cautions %q", b.Cautions)
			}
			f := foldAll(b)
			low, high := f.spanOf("left")
			near(t, "where the tab on the left begins", low.Y, 30, 1e-6)
			near(t, "where it ends", high.Y, 80, 1e-6)
			low, high = f.spanOf("right") // its left end is at the back
			near(t, "where the tab on the right begins", 120-high.Y, 30, 1e-6)
			near(t, "where it ends", 120-low.Y, 80, 1e-6)
			base, end := f.spanOf("base")
			near(t, "the base over its outside", end.X-base.X, 200, 1e-6)
			for _, j := range b.Joints {
				near(t, "the length of bend "+j.ID, float64(j.Length()), 50, 1e-6)
			}
			// Reliefs 3 wide cut from the outside size, 2 beyond the tangent, to 1.5 behind it; the vee is (-3, 2), (-1.5, -1.5), (0, 0), (0, 2).
			cut := map[string]float64{"square": 3 * 3.5, "round": 3*2 + math.Pi*1.5*1.5/2, "vee": 6.75}[relief]
			whole := 200*120 - 4*cut - 2*50*2 + 2*50*(2.089159+23)
			near(t, "the area of the blank", b.Area(), whole, 0.2)
		})
	}
}

// A hole stands in the finished part where the drawing places it: from the
// outside of the base's left end and from the outside of the bend.
func TestHolesLieAsDrawn(t *testing.T) {
	b := develop(t, strings.TrimSuffix(fourWalls(`{"gap":0.5}`, `{"leg":40},{"leg":15}`), "}")+`,"holes":[
		{"face":"base","at":[30,25],"diameter":6},{"face":"left","at":[35,14],"diameter":5},{"face":"right","at":[35,14],"diameter":5},
		{"face":"front","at":[50,20],"diameter":4},{"face":"back","at":[50,20],"diameter":4},{"face":"front.2","at":[60,8],"diameter":3}]}`)
	f := foldAll(b)
	corner := f.outside()
	at := func(id string) geom.Point3 {
		i := b.FaceIndex(id)
		c := b.Faces[i].Openings[0].Centre
		return f.frames[i].Place(geom.Point3{X: c.X, Y: c.Y}).Sub(corner)
	}
	for id, want := range map[string]geom.Point3{
		"base":    {X: 30, Y: 25, Z: 0},
		"left":    {X: 0, Y: 120 - 35, Z: 14},
		"right":   {X: 200, Y: 35, Z: 14},
		"front":   {X: 50, Y: 0, Z: 20},
		"back":    {X: 200 - 50, Y: 120, Z: 20},
		"front.2": {X: 60, Y: 8, Z: 40},
	} {
		mirrored := want // along the wall: which end is its left is asked below
		if got := at(id); math.Abs(got.Z-want.Z) > 1e-6 || got.Sub(want).Length() > 1e-6 && !sameEnd(got, &mirrored, id) {
			t.Errorf("the hole of %s lies at %v, want %v", id, got, want)
		}
	}
	if got := len(b.Outline); got != 7 {
		t.Errorf("%d rings, want the edge and six holes", got)
	}
	near(t, "the area that the holes take", solidAreas(b)-b.Area(), math.Pi*(9+2*6.25+2*4+2.25), 2)
}

func sameEnd(got geom.Point3, want *geom.Point3, id string) bool {
	switch id {
	case "left", "right":
		want.Y = 120 - want.Y
	case "front", "front.2", "back":
		want.X = 200 - want.X
	}
	return got.Sub(*want).Length() < 1e-6
}

func TestOpeningsThatLieBadly(t *testing.T) {
	l := header + `"profile":{"length":100,"legs":[30,40],"bends":[90]},`
	for _, test := range []struct{ name, text, field, says string }{
		{"no such face", l + `"holes":[{"face":"p7","at":[10,10],"diameter":3}]}`, "holes[0].face", `there is no face "p7"; the faces are p0, p1`},
		{"in the bend", l + `"holes":[{"face":"p0","at":[50,26.5],"diameter":5}]}`, "holes[0]", "lies in bend b1 and would be bent with it; move it"},
		{"over the edge", l + `"holes":[{"face":"p0","at":[1,10],"diameter":6}]}`, "holes[0]", "reaches out of face p0 at"},
		{"on the wrong face", l + `"holes":[{"face":"p0","at":[10,60],"diameter":6}]}`, "holes[0]", "reaches out of face p0"},
		{"two in one place", l + `"holes":[{"face":"p0","at":[20,10],"diameter":6},{"face":"p0","at":[24,10],"diameter":6}]}`, "holes[1]", "run into each other; draw them as one"},
		{"a cutout that crosses itself", l + `"cutouts":[{"face":"p0","outline":[[5,5],[20,15],[20,5],[5,15]]}]}`, "cutouts[0].outline[0]", "must not cross or touch itself"},
		{"a cutout into the bend", l + `"cutouts":[{"face":"p1","outline":[[5,1.5],[20,1.5],[20,15],[5,15]]}]}`, "cutouts[0]", "lies in bend b1"},
		{"a hole in a cutout", l + `"holes":[{"face":"p1","at":[12,20],"diameter":3}],"cutouts":[{"face":"p1","outline":[[5,10],[20,10],[20,30],[5,30]]}]}`, "cutouts[0]", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			if test.says == "" { // one within the other is one opening
				if _, err := flat.Develop(readPart(t, test.text), sheet(t, 1)); err != nil && !strings.Contains(err.Error(), "the blank is not one piece") {
					t.Errorf("%v", err)
				}
				return
			}
			r := refusal(t, test.text)
			if r.Field != test.field || !strings.Contains(r.Message, test.says) || r.Kind == fault.Internal {
				t.Errorf("refused with %v, want it on %q saying %q", r, test.field, test.says)
			}
		})
	}
}

func TestCautionsOfABlank(t *testing.T) {
	for _, test := range []struct {
		name, text string
		says       []string // none for a blank without cautions
	}{
		{"a plain tray", fourWalls(`{}`, `{"leg":40}`), nil},
		{"a hole near a bend", header + `"profile":{"length":100,"legs":[30,40],"bends":[90]},"holes":[{"face":"p0","at":[50,24],"diameter":5}]}`,
			[]string{"The hole of 5.0 mm at (50.0, 24.0) of the blank of face p0 is 2.5 mm from bend line b1 and may be drawn out of shape; 3.5 mm or more keeps it round."}},
		{"a short flange", header + `"profile":{"length":100,"legs":[4,40],"bends":[90]}}`,
			[]string{"Face p0 is 4.0 mm high at bend b1, too short for the leaf to turn up; 6.0 mm will do, or it has to be clamped and the rest turned up."}},
		{"larger than the sheets kept", header + `"profile":{"length":3200,"legs":[30,40],"bends":[90]}}`,
			[]string{"larger than the sheets that are usually kept", "ask for a larger sheet, or split the part."}},
		{"a tab on a longer edge", drawn{faces: []string{plate, rectangle("flange", 20, 50, 40, 90)}, bends: []string{bendLine("b", "plate flange", 20, 50, 40, 50)}}.text(),
			[]string{"Bend b ends beside the sheet of face plate and will bulge there, at (20.0, 50.0) and (40.0, 50.0) of the blank; with reliefs 1.0 mm wide, to 1.5 mm behind the bend line, it bends clean."}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := strings.Join(develop(t, test.text).Cautions, "\n")
			if test.says == nil && got != "" {
				t.Errorf("cautions %q, want none", got)
			}
			for _, says := range test.says {
				if !strings.Contains(got, says) {
					t.Errorf("cautions %q, want %q", got, says)
				}
			}
		})
	}
}

// The least relief in aluminium is that of FAA-H-8083-31 volume 1 chapter 4: 1/8
// inch up to 0.064 inch of sheet, 3/16 inch up to 0.128 inch.
func TestLeastRelief(t *testing.T) {
	for _, test := range []struct {
		thickness float64
		want      float64
		known     bool
	}{{0.5, 3.175, true}, {1.6256, 3.175, true}, {1.7, 4.7625, true}, {3.2512, 4.7625, true}, {3.3, 0, false}} {
		got, known := flat.LeastRelief(unit.MM(test.thickness))
		if known != test.known || math.Abs(float64(got)-test.want) > 1e-9 {
			t.Errorf("LeastRelief(%v) = %v %v, want %v %v", test.thickness, got, known, test.want, test.known)
		}
	}
}

func TestTearsAreRefused(t *testing.T) {
	for _, test := range []struct{ name, text, field, says string }{
		{"a bend that ends inside a face", drawn{
			faces: []string{face("plate", 0, 0, 100, 0, 100, 90, 60, 90, 60, 50, 0, 50), rectangle("flange", 0, 50, 60, 90)},
			bends: []string{bendLine("b", "plate flange", 0, 50, 60, 50)}}.text(), "flat.bends[0]", "ends inside the sheet at (60.0, 50.0), where it would tear; cut a relief there, 1.0 mm wide or more and from the edge to 1.5 mm behind the bend line"},
		{"a tab without relief", header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":25,"span":[30,80]}]},"corners":{"relief":"none"}}}`, "tray.walls.left[0].span", "give the corners a relief, square, round or vee, at least 1.0 mm wide"},
		{"a tab past the end", header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":25,"span":[30,130]}]}}}`, "tray.walls.left[0].span[1]", "reaches past the end of the edge, which is 120.00 mm long outside"},
		{"tabs on sloping walls", strings.Replace(fourWalls(`{"tabs":"inside"}`, `{"leg":40}`), `"left":[{"leg":40}]`, `"left":[{"leg":40,"angle":60}]`, 1), "tray.walls.left[0].angle", "corner tabs need two square walls"},
		{"tabs used up by their bend", fourWalls(`{"tabs":"inside","tab_width":2}`, `{"leg":40}`), "tray.corners.tab_width", "more than 2.00 mm is needed"},
		{"walls too low for tabs", fourWalls(`{"tabs":"inside"}`, `{"leg":3.5}`), "tray.corners.tabs", "no height for a tab"},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := refusal(t, test.text)
			if r.Field != test.field || !strings.Contains(r.Message, test.says) {
				t.Errorf("refused with %v, want it on %q saying %q", r, test.field, test.says)
			}
		})
	}
}

// The dripping pan of E. M. Longfield, Sheet Metal Drafting (1921), page 138,
// figure 188: bottom 11 1/8 x 4 1/8 in, sides 1 in deep with a slant of 1 1/16, a
// wire edge of 3/8 in, blank 14 x 7 in. The page reckons with creases, so the sheet
// here is two thousandths of an inch thick. (Its flare of 3/8 and its bottom 1 1/4
// smaller than the top contradict each other; the blank is that of the bottom.)
func TestDrippingPanOfSheetMetalDrafting(t *testing.T) {
	slant := math.Hypot(1, 0.375)
	wall := fmt.Sprintf(`[{"leg":%v,"angle":%v}]`, slant+0.375, math.Atan2(1, 0.375)*180/math.Pi)
	b := develop(t, fmt.Sprintf(`{"number":"T","material":"mild-steel","units":"in","thickness":0.002,"inside_radius":0.001,
		"tray":{"base":[11.125,4.125],"walls":{"left":%[1]s,"right":%[1]s,"front":%[1]s,"back":%[1]s},"corners":{"relief":"none","gap":0}}}`, wall))
	near(t, "length of the blank, in", b.Width.Inches(), 14, 0.02)
	near(t, "width of the blank, in", b.Height.Inches(), 7, 0.02)
}
