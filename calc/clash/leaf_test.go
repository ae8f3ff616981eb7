package clash

import (
	"fmt"
	"math"
	"testing"

	"brakeside/calc/brake"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

// stopped puts a leg of 1 mm sheet, swinging, into the suite's brake, its stop so far.
func stopped(t failer, leg int, stop unit.Deg) *Bench {
	t.Helper()
	blank := drawn(t, fmt.Sprintf(`"over_90":"tangent","profile":{"length":200,"legs":[%d,120],"bends":[%v]}`, leg, min(stop, 120)))
	return NewBench(Setting{Blank: blank, Brake: suiteBrake(t), Joints: []int{0}, Side: 1, Overbend: stop - min(stop, 120), Bars: []int{wide, narrow}})
}

// By hand, in 1 mm sheet. The wide bar's slope of 45 degrees runs from 0.6 above the
// sheet to a crest 26.4 behind the nose and 27 above it. The nose stands
// s = tan(S/2) - 0.6 / tan S behind the hinge, and the crest lies
// (s + 26.4) sin S + 28 cos S from the leaf's plane:
//
//	S 134: s 2.935, crest 1.65 from the plane: a sheet of 1 goes between
//	S 135: s 3.014, the whole slope 1.00: it still does
//	S 136: s 3.096, the slope comes nearer with every millimetre: however short the
//	       leg is, it is squeezed
//
// The narrow bar's crest is 9 behind its nose and 21 above the sheet:
// (s + 9) sin S + 22 cos S is 1.31 at 113 and 0.92 at 114.
//
// With an allowance of 5 in the shop's rule the nose stands 6 behind the hinge, and
// the wide bar's crest 0.87 from the leaf's plane at 138 and 0.12 at 139: the metal of a
// leg of 14 does not reach so far, and the bare leaf keeps 0.3. Slimmed to 18 it ends
// short of the crest, which is 42 from the hinge.
func TestLeafPassesTheBar(t *testing.T) {
	for _, test := range []struct {
		bar, leg int
		add      float64
		form     brake.Slimness
		stop     unit.Deg
		want     bool
		most     unit.Deg
	}{
		{wide, 90, 0.3, brake.Full, 90, true, 89}, {wide, 90, 0.3, brake.Full, 134, true, 133}, {wide, 90, 0.3, brake.Full, 135, true, 134},
		{wide, 90, 0.3, brake.Full, 136, false, 135}, {wide, 90, 0.3, brake.Slim, 136, false, 135}, {wide, 90, 0.3, brake.Full, 150, false, 135},
		{wide, 14, 0.3, brake.Slim, 137, false, 135},
		{narrow, 90, 0.3, brake.Full, 113, true, 112}, {narrow, 90, 0.3, brake.Full, 114, false, 113}, {narrow, 90, 0.3, brake.Slim, 114, false, 113},
		{wide, 14, 5, brake.Full, 138, true, 137}, {wide, 14, 5, brake.Full, 139, false, 138}, {wide, 14, 5, brake.Slim, 139, true, 138},
		{wide, 90, 5, brake.Slim, 138, false, 137},
	} {
		b := stopped(t, test.leg, test.stop)
		b.Brake.NoseSetback.Add = test.add
		for range 2 { // worked out, and remembered
			if got := b.LeafPasses(test.bar, test.form); got != test.want {
				t.Errorf("bar %d, %s leaf, a leg of %d, to %v: passes %v, want %v", test.bar, test.form, test.leg, test.stop, got, test.want)
			}
		}
		if got := b.MostStop(test.bar, test.form); got != test.most {
			t.Errorf("bar %d, %s leaf, a leg of %d, to %v: passes up to %v, want %v", test.bar, test.form, test.leg, test.stop, got, test.most)
		}
	}
}

// A bar that stood a little nearer than the metal needs would be in its way, and a
// little farther would not.
func TestLeafIsHinderedByABarTooNear(t *testing.T) {
	for _, stop := range []unit.Deg{91, 100, 120, 129, 134} {
		b := stopped(t, 90, stop)
		bar := b.Brake.Bars[wide]
		at := float64(bar.LeastNoseSetback(1, stop))
		for by, want := range map[float64]bool{0: true, 0.01: true, -0.02: false, -0.7: false} {
			still := newSection(moved(bar.Section, at+by, 1))
			if got := b.clears(brake.Full, stop, &still, 0); got != want {
				t.Errorf("to %v with the nose %v back: clears it %v, want %v", stop, by, got, want)
			}
		}
	}
}

func roundBrake(t failer) *brake.Brake {
	t.Helper()
	return brakeFile(t, "brakes/round.json")
}

// overTube puts a bend over the tube of radius 15 into the brake with round bars;
// its springback is 4 degrees. The swinging leg of 70 ends in a lip of 20, bent up.
func overTube(t failer, angle int) *Bench {
	t.Helper()
	blank := develop(t, []byte(fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":0.9,"inside_radius":15.5,
		"profile":{"length":200,"legs":[20,70,120],"bends":[90,%d]}}`, angle)))
	return NewBench(Setting{Blank: blank, Brake: roundBrake(t), Joints: []int{1}, Side: 1, Overbend: 4, Bars: []int{2}})
}

// Where a round bar stands the metal just fits at the stop, so that the leaf passes
// it whatever the angle; and where it stands nearer, it does not.
func TestLeafPassesTheTube(t *testing.T) {
	for angle := 15; angle <= 120; angle += 15 {
		b := overTube(t, angle)
		if !b.LeafPasses(2, brake.Full) {
			t.Errorf("at %d degrees the leaf is stopped by the tube it bends round", angle)
		}
		still, around := b.jaw(&b.Brake.Bars[2], b.stop())
		for by, want := range map[float64]bool{0.01: true, -0.02: false} {
			at := newSection(moved(still.outline, by/math.Sin(b.stop().Rad()), 0))
			if got := b.clears(brake.Full, b.stop(), &at, around); got != want {
				t.Errorf("at %d degrees with the tube %v farther from the leaf: clears it %v, want %v", angle, by, got, want)
			}
		}
	}
}

// The bend begins under the axis of the tube, 15.9 tan(S/2) behind the hinge.
func TestBendOverATubeBeginsUnderItsAxis(t *testing.T) {
	for _, angle := range []int{45, 90} {
		b := overTube(t, angle)
		axis := 15.9 * math.Tan(float64(angle+4)*math.Pi/360)
		near(t, "clamped tangent", b.tangent, axis, 1e-9)
		j := b.Blank.Joints[1]
		line := b.NoseLine(unit.MM(axis))
		near(t, "contact line from the middle of the bend zone", math.Abs(line[0].Sub(j.Line[0]).Dot(j.Across)), j.Half(), 1e-9)
		low, _ := geom.Bounds(b.Bar(b.Brake.Bars[2])...)
		near(t, "front of the tube", low.X, axis-15, 1e-9)
	}
}

// Metal that is wrapped round a tube turns about the tube. Worked out here from the
// cylinder alone: what lies m beyond the clamped tangent and z high in the flat sheet
// is carried round the axis by b while b / S of the bend zone is used up. All of it lies
// within what is tested, and where that is finished, none of it far within.
func TestWrappedOverATube(t *testing.T) {
	for _, angle := range []int{20, 45, 60, 90} {
		b := overTube(t, angle)
		lip := b.Blank.FaceIndex("p0")
		m := made(b.Blank, "b1")
		s := b.subjects(lip, m)[0]
		swing := motion{moving: s.finished.outline, slide: b.slidePerRadian, wrap: b.wrap}
		stop, zone := b.stop().Rad(), 2*b.Blank.Joints[1].Half()
		axis, outer := 15.9*math.Tan(stop/2), 15.9
		for at := 0.0; at <= stop; at += math.Pi / 360 {
			sin, cos := math.Sincos(at)
			cover := swing.at(at - b.Target.Rad())
			for _, p := range s.begun.outline {
				along, up := axis-p.X-zone*at/stop, p.Y
				q := geom.Point2{X: axis - outer*sin - along*cos + up*sin, Y: outer - outer*cos + along*sin + up*cos}
				if d := geom.Apart(cover, geom.Polygon{q}); d > 0.02 {
					t.Errorf("bent to %d degrees, the lip at %.1f lies %v outside of what is tested", angle, at*180/math.Pi, d)
				}
				if q.Length() > s.swept.far+0.02 {
					t.Errorf("the lip reaches %v from the hinge, the sweep %v", q.Length(), s.swept.far)
				}
			}
		}
		low, high := geom.Bounds(swing.at(0)...)
		drawnLow, drawnHigh := geom.Bounds(s.finished.outline...)
		if wide := high.Sub(low).Sub(drawnHigh.Sub(drawnLow)); wide.X > 4 || wide.Y > 4 {
			t.Errorf("bent to %d degrees the lip is tested %v too wide at the end", angle, wide)
		}
	}
	if got := put(t, suitePart(t, "P1"), "b1", "p1").wrap; got != nil {
		t.Errorf("under a bar with an edge the metal is wrapped: %+v", got)
	}
}
