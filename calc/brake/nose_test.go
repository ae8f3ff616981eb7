package brake

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// blunt is a bar whose front stands 0.6 square to the sheet, below a slope of 45
// degrees, as the wide one of the suite's brake.
var blunt = Bar{Kind: FullBar, Section: geom.Polygon{{X: 0, Y: 0}, {X: 74, Y: 0}, {X: 74, Y: 27}, {X: 26.4, Y: 27}, {X: 0, Y: 0.6}}}

// By hand from the rule max(t x times_t + add + times_r_minus_t x max(r - t, 0),
// t + add) with the invented figures of the suite's brake, add 0.3, times_t 1,
// times_r_minus_t 0.5; and from what the metal needs where that is more, with
// tan 45 = 1, tan 60 = 1.7320508 and tan 64.5 = 2.0965436.
func TestNoseSetback(t *testing.T) {
	b := suite(t)
	thin := &Brake{NoseSetback: NoseSetback{Add: 0.3, TimesT: 0.5}}
	sharp := Bar{Kind: FullBar, Section: geom.Polygon{{X: 0, Y: 0}, {X: 60, Y: 0}, {X: 30, Y: 30}}}
	rounded := sharp
	rounded.NoseRadius = 2
	for _, test := range []struct {
		name              string
		brake             *Brake
		bar               Bar
		radius, thickness unit.MM
		stop              unit.Deg
		want              float64
	}{
		{"radius as the thickness", b, blunt, 1, 1, 90, 1.3},
		{"a larger radius", b, blunt, 3, 1, 90, 2.3},
		{"a smaller radius sets it no nearer", b, blunt, 0.2, 1, 90, 1.3},
		{"fingers as a full bar", b, Bar{Kind: Segments}, 3, 1.5, 90, 2.55},
		{"never nearer than the sheet", thin, blunt, 1, 1, 90, 1.3},
		{"at a small angle the rule is the rule", b, blunt, 1, 1, 30, 1.3},
		{"past square the metal needs more: 1 x tan 60", b, sharp, 1, 1, 120, 1.7320508},
		{"the rule still gives more", b, sharp, 3, 1, 120, 2.3},
		{"the start of a hem: 1 x tan 64.5", b, sharp, 1, 1, 129, 2.0965436},
		{"twice as thick, twice as far", b, sharp, 2, 2, 129, 4.1930872},
		{"a rounded nose: 3 x tan 60 - 2", b, rounded, 1, 1, 120, 3.1961524},
		{"the upper edge of a blunt front: 1 x tan 60 + 0.6 / tan 60", b, blunt, 1, 1, 120, 2.0784610},
		{"a front no leaf leans over", b, blunt, 1, 1.4, 91, 1.7},
	} {
		got := test.brake.NoseSetbackFor(test.bar, test.radius, test.thickness, test.stop)
		near(t, "NoseSetbackFor: "+test.name, float64(got), test.want, 1e-7)
	}
}

// A tube of 30 mm in 0.9 mm sheet, by hand. The metal fills the room between tube
// and leaf, so the axis keeps 15 + 0.9 from both, from the bed by standing on the
// sheet and from the leaf by standing where the line that halves the angle between
// bed and leaf is 15.9 high. That line rises from the hinge by (180 - stop) / 2, so
// the axis stands 15.9 / tan((180 - stop) / 2) = 15.9 tan(stop / 2) behind the hinge,
// and the front 15 before the axis:
//
//	stop 45:  tan 22.5 = 0.4142136, axis  6.58600, front -8.41400
//	stop 60:  tan 30   = 0.5773503, axis  9.17987, front -5.82013
//	stop 90:  tan 45   = 1,         axis 15.9,     front  0.9
//	stop 120: tan 60   = 1.7320508, axis 27.53961, front 12.53961
//
// With its springback a bend of 45 may stop at 48.4, tan 24.2 = 0.4494178, and one of
// 120 at 128.6, tan 64.3 = 2.0778466.
func TestRoundBarBehindTheHinge(t *testing.T) {
	tube := Bar{Kind: Round, OutsideRadius: 15}
	for _, test := range []struct {
		stop        unit.Deg
		axis, front float64
	}{
		{45, 6.58600, -8.41400}, {60, 9.17987, -5.82013}, {90, 15.9, 0.9}, {120, 27.53961, 12.53961},
		{48.4, 7.14574, -7.85426}, {128.6, 33.03776, 18.03776},
	} {
		got := suite(t).NoseSetbackFor(tube, 15, 0.9, test.stop)
		near(t, "front of the tube at "+test.stop.Text(1), float64(got), test.front, 1e-4)
		near(t, "axis of the tube at "+test.stop.Text(1), float64(got+tube.Gauged().Behind), test.axis, 1e-4)
	}
}

// For any bar and angle the sheet fits: with the leaf's plane drawn as two points
// and turned, every corner of the section in its place lies at least the sheet's
// thickness on its inner side, and one of them no more.
func TestTheSheetFitsBeforeTheNose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		high, lean := rapid.Float64Range(0, 2).Draw(t, "front"), rapid.Float64Range(46, 80).Draw(t, "slope")
		bar := Bar{Kind: FullBar, Section: geom.Polygon{{}, {X: 60}, {X: 20 / math.Tan(lean*math.Pi/180), Y: high + 20}, {Y: high}}}
		sheet, stop := rapid.Float64Range(0.3, 4).Draw(t, "thickness"), rapid.Float64Range(1, 179-lean-1).Draw(t, "stop")
		least := float64(bar.LeastNoseSetback(unit.MM(sheet), unit.Deg(stop)))
		tip := geom.Point2{X: -100}.Turned(-stop * math.Pi / 180)
		nearest := math.Inf(1)
		for _, p := range bar.Section {
			at := p.Add(geom.Point2{X: least, Y: sheet})
			nearest = min(nearest, at.Cross(tip)/100)
		}
		near(t, "least distance from the leaf's plane", nearest, sheet, 1e-9)
	})
}

func TestGauged(t *testing.T) {
	if got := blunt.Gauged(); got.Behind != 0 || got.Words != "the nose" {
		t.Errorf("of a bar with an edge %+v is gauged", got)
	}
	if got := (Bar{Kind: Round, OutsideRadius: 6}).Gauged(); got.Behind != 6 || got.Words != "the contact line under the bar's axis" {
		t.Errorf("of a round bar %+v is gauged", got)
	}
}
