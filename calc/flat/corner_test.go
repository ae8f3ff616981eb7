package flat_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"brakeside/calc/geom"
)

// chainGap is how near the legs of one side come to those of another.
func (f folded) chainGap(a, b string) float64 {
	least := math.Inf(1)
	for _, one := range f.blank.Faces {
		for _, other := range f.blank.Faces {
			if side, rest, _ := strings.Cut(one.ID, "."); side != a || strings.HasPrefix(rest, "tab") {
				continue
			}
			if side, rest, _ := strings.Cut(other.ID, "."); side != b || strings.HasPrefix(rest, "tab") {
				continue
			}
			least = min(least, f.gap(one.ID, other.ID))
		}
	}
	return least
}

// twoWalls is a tray of two sides that meet at one corner.
func twoWalls(gap float64, left, front string) string {
	return header + fmt.Sprintf(`"tray":{"base":[200,120],"walls":{"left":[%s],"front":[%s]},"corners":{"gap":%v}}}`, left, front, gap)
}

// Whatever stands at a corner, it comes as near as the gap that is asked for: by
// the distance of the folded faces, which nothing in the development uses but the
// walls themselves.
func TestGapAtEveryCorner(t *testing.T) {
	const wall, lip, hem = `{"leg":40}`, `{"leg":40},{"leg":15}`, `{"leg":40},{"leg":8,"hem":"closed"}`
	for _, test := range []struct{ name, left, front string }{
		{"walls", wall, wall},
		{"a lip against a wall", wall, lip},
		{"a lip against a higher wall", `{"leg":60}`, lip},
		{"a hem against a wall", wall, hem},
		{"an open hem against a wall", wall, `{"leg":40},{"leg":8,"hem":"open"}`},
		{"two hems", hem, hem},
		{"a hem against a lip", lip, hem},
		{"a hem on the outside against a lip", lip, `{"leg":40},{"leg":8,"hem":"closed","angle":-180}`},
		{"lips", lip, lip},
		{"lips that are not level", `{"leg":34},{"leg":15}`, lip},
		{"hemmed lips", lip + `,{"leg":7,"hem":"closed"}`, lip + `,{"leg":7,"hem":"closed","angle":-180}`},
		{"a lip and one that is turned down again", lip, lip + `,{"leg":30}`},
		{"walls that lean outwards", `{"leg":40,"angle":60}`, `{"leg":40,"angle":75}`},
		{"one that leans outwards", wall, `{"leg":40,"angle":60}`},
		{"one that leans inwards", wall, `{"leg":40,"angle":100}`},
		{"one that leans out and one that leans in", `{"leg":40,"angle":70}`, `{"leg":40,"angle":115}`},
		{"walls that lean inwards", `{"leg":40,"angle":100}`, `{"leg":40,"angle":100}`},
		{"one that leans in farther", `{"leg":40,"angle":95}`, `{"leg":30,"angle":120}`},
		{"a lip against a wall that leans inwards", `{"leg":40,"angle":100}`, lip},
		{"walls that are folded down", `{"leg":40,"angle":-90},{"leg":15,"angle":-90}`, `{"leg":40,"angle":-90},{"leg":15,"angle":-90}`},
	} {
		for _, gap := range []float64{0, 0.2, 0.5, 2} {
			f := foldAll(develop(t, twoWalls(gap, test.left, test.front)))
			near(t, fmt.Sprintf("%s: the gap of %v", test.name, gap), f.chainGap("left", "front"), gap, 1e-5)
		}
	}
}

// A hem that lies on the base ends the gap short of where the curve of the other
// wall begins: 2 inside the outside size, t = r = 1.
func TestGapBesideTheCurve(t *testing.T) {
	for _, gap := range []float64{0, 0.5, 2} {
		f := foldAll(develop(t, twoWalls(gap, `{"leg":40}`, `{"leg":10,"hem":"closed"}`)))
		low, _ := f.spanOf("front")
		near(t, "where the hem ends", low.X-f.outside().X, 2+gap, 1e-5)
	}
}

// A wall beside tabs ends the gap short of the inner face of the wall that
// carries them, 1 inside; but a tab on the outside has a curve there, of inside
// radius 1, whose tangent is 2 inside.
func TestWallsBesideTabs(t *testing.T) {
	for _, test := range []struct {
		tabs      string
		gap, ends float64
	}{{"inside", 0, 1}, {"inside", 0.5, 1.5}, {"outside", 0.2, 2}, {"outside", 0.5, 2}, {"outside", 1.5, 2.5}} {
		f := foldAll(develop(t, fourWalls(fmt.Sprintf(`{"gap":%v,"tabs":"%s"}`, test.gap, test.tabs), `{"leg":40}`)))
		low, high := f.spanOf("left")
		near(t, "the lower end of the wall beside tabs "+test.tabs, low.Y-f.outside().Y, test.ends, 1e-6)
		near(t, "its upper end", high.Y-f.outside().Y, 120-test.ends, 1e-6)
	}
}

// Tabs stay the gap below hems on their side of the walls: under an edge that
// lies 8 below the top of a wall of 40.
func TestTabsUnderHems(t *testing.T) {
	tray := func(tabs, hem string) string {
		return fourWalls(`{"relief":"round","size":3,"gap":0.5,"tabs":"`+tabs+`"}`, `{"leg":40},{"leg":8,"hem":"closed","angle":`+hem+`}`)
	}
	for _, test := range []struct {
		tabs, hem string
		top       float64
	}{
		{"inside", "180", 40 - 8 - 0.5},
		{"outside", "-180", 40 - 8 - 0.5},
		{"inside", "-180", 40 - 1 - 1.5}, // half the relief below the fold's tangent
		{"outside", "180", 40 - 1 - 1.5},
	} {
		b := develop(t, tray(test.tabs, test.hem))
		_, high := foldAll(b).spanOf("front.tab.left")
		near(t, "the top of a tab "+test.tabs+" with a hem of "+test.hem, high.Z, test.top, 1e-6)
		told := strings.Contains(strings.Join(b.Cautions, " "), "front tab to left, front tab to right kept under the front hem")
		if told != (test.top < 32) {
			t.Errorf("cautions %q", b.Cautions)
		}
	}
	low := strings.ReplaceAll(tray("inside", "180"), `"leg":40`, `"leg":12`)
	if r := refusal(t, low); r.Field != "tray.corners.tabs" || !strings.Contains(r.Message, "no height for a tab at the corner of front and left; make these walls higher by 1.0 mm") {
		t.Errorf("refused with %v", r)
	}
}

// What is cut otherwise than drawn is told, with the mitre worked out by hand:
// where two walls lean inwards by 10 degrees, each millimetre along one of them
// needs cos 100 of a millimetre, atan 0.173648 = 9.85 degrees; level lips need 45.
func TestCutsToFitAreTold(t *testing.T) {
	for _, test := range []struct{ left, front, says string }{
		{`{"leg":40}`, `{"leg":40}`, ``},
		{`{"leg":40}`, `{"leg":40},{"leg":15}`, ``},
		{`{"leg":40},{"leg":15,"angle":-90}`, `{"leg":40},{"leg":15,"angle":-90}`, ``},
		{`{"leg":40}`, `{"leg":40,"angle":100}`, ``},
		{`{"leg":40,"angle":100}`, `{"leg":40,"angle":100}`, `^Cut to fit, so that a gap of 0\.5 mm stays where they meet: left wall, front wall mitred at 9\.9 degrees\.$`},
		{`{"leg":40},{"leg":15}`, `{"leg":40},{"leg":15}`, `: left lip, front lip mitred at 45\.0 degrees\.$`},
		{`{"leg":40,"angle":100}`, `{"leg":40},{"leg":15}`, `: front lip cut back 6\.\d mm beside left\.$`},
	} {
		got := strings.Join(develop(t, twoWalls(0.5, test.left, test.front)).Cautions, "\n")
		if !regexp.MustCompile(test.says).MatchString(got) || test.says == "" && got != "" {
			t.Errorf("%s and %s: cautions %q, want %q", test.left, test.front, got, test.says)
		}
	}
}

// Four inward lips of 13 flat, each mitred by hand: 45 degrees is what they get
// without, more leaves a wider gap. At 44.5 their tips come 13 (1 - tan 44.5) =
// 0.225 mm too far, less than the 0.354 they are cut short: they are cut back by
// as much as is missing. At 44 it is 0.446: they overlap.
func TestMitresOfLips(t *testing.T) {
	lips := func(mitre string) string { return fourWalls(`{"gap":0.5}`, `{"leg":40},{"leg":15`+mitre+`}`) }
	automatic := develop(t, lips(""))
	for _, mitre := range []float64{44.5, 45, 45.5, 50, 55, 60} {
		b := develop(t, lips(fmt.Sprintf(`,"mitre":%v`, mitre)))
		f := foldAll(b)
		for _, pair := range neighbours {
			near(t, fmt.Sprintf("mitres of %v: the gap between the walls %v", mitre, pair), f.gap(pair[0], pair[1]), 0.5, 1e-5)
			if got := f.chainGap(pair[0], pair[1]); got < 0.5-1e-5 {
				t.Errorf("mitres of %v: %v come as near as %v", mitre, pair, got)
			}
			near(t, fmt.Sprintf("mitres of %v: the gap between the lips of %v", mitre, pair), f.gap(pair[0]+".2", pair[1]+".2"), 0.5, 1e-5)
		}
		if told := strings.Contains(strings.Join(b.Cautions, ""), "left lip, right lip cut back 0.2 mm beside front"); told != (mitre < 45) {
			t.Errorf("mitres of %v: cautions %q", mitre, b.Cautions)
		}
		if same := sameOutline(b.Outline[0], automatic.Outline[0]); same != (mitre == 45) {
			t.Errorf("mitres of %v: the same blank as without: %v", mitre, same)
		}
	}
	for _, mitre := range []float64{10, 20, 30, 44} {
		r := refusal(t, lips(fmt.Sprintf(`,"mitre":%v`, mitre)))
		want := fmt.Sprintf("a mitre of %.1f degrees lets left.2 overlap what stands beside it at the corner of left and front; give 45.0 or more, or leave it out", mitre)
		if r.Field != "tray.walls.left[1].mitre" || !strings.Contains(r.Message, want) {
			t.Errorf("mitres of %v: refused with %v, want %q", mitre, r, want)
		}
	}
}

func sameOutline(a, b geom.Polygon) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Sub(b[i]).Length() > 1e-5 {
			return false
		}
	}
	return true
}

// Walls that lean outwards at 60 degrees close their corners when they are spread
// by atan(cos 60) = 26.57 degrees, and no farther.
func TestMitresThatSpread(t *testing.T) {
	walls := func(mitre float64) string {
		return fourWalls(`{"gap":0.5}`, fmt.Sprintf(`{"leg":40,"angle":60,"mitre":%v}`, mitre))
	}
	f := foldAll(develop(t, walls(-26.5)))
	near(t, "the gap of spread walls", f.gap("left", "front"), 0.5, 1e-5)
	if r := refusal(t, walls(-28)); !strings.Contains(r.Message, "give -26.5 or more") {
		t.Errorf("refused with %v", r)
	}
	one := header + `"tray":{"base":[200,120],"walls":{"left":[{"leg":40,"angle":60,"mitre":-40}]}}}`
	if b := develop(t, one); !(b.Height > 150) {
		t.Errorf("a wall with nothing beside it is spread to %v, want it as drawn", b.Height)
	}
}

// A corner that lies beside the end of a bend line within a snap is meant to lie
// on it: no strip of sheet is left beside the bend.
func TestNoStripBesideABend(t *testing.T) {
	for _, test := range []struct {
		beside float64
		strips bool
	}{{0, false}, {0.002, false}, {0.019, false}, {0.03, true}} {
		b := develop(t, drawn{faces: []string{plate, rectangle("flange", 20-test.beside, 50, 80, 90)}, bends: []string{bendLine("b", "plate flange", 20, 50, 80, 50)}}.text())
		low := math.Inf(1)
		for _, g := range b.Faces[b.FaceIndex("flange")].Solid {
			l, _ := geom.Bounds(g...)
			low = min(low, l.Y)
		}
		if got := low < 50.5; got != test.strips {
			t.Errorf("a corner %v mm beside the line: the flat begins at %v, a strip beside the bend: %v, want %v", test.beside, low, got, test.strips)
		}
	}
}
