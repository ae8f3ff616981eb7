package clash

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"brakeside/calc/brake"
	"brakeside/calc/fold"
	"brakeside/calc/geom"
	"brakeside/calc/unit"
)

func TestLaidOnTheBrake(t *testing.T) {
	p1 := suitePart(t, "P1") // 34 x 52, t = r = 1.5, K = 0.33: allowance 3.134, outside setback 3
	b := put(t, p1, "b1", "p1")
	if b.Root() != p1.FaceIndex("p1") || b.SwingingFace() != p1.FaceIndex("p0") || b.Swings(b.Root()) || !b.Swings(b.SwingingFace()) {
		t.Errorf("clamped %d, swinging %d", b.Root(), b.SwingingFace())
	}
	near(t, "length", float64(b.Length), 640, 1e-9)
	near(t, "target", float64(b.Target), 90, 0)
	near(t, "swept to the larger of the brake's own and the overbend", float64(b.Swept), 92, 0)
	clamped, swinging := b.Across()
	near(t, "flat of the clamped leg", float64(clamped), 52-3, 0.01)
	near(t, "flat of the swinging leg", float64(swinging), 34-3, 0.01)
	// The clamped tangent lies 3 behind the hinge, the nose 1.8: 1.2 before it.
	nose := b.NoseLine(1.8)
	for _, p := range nose {
		near(t, "nose line from the edge of the blank", p.Y, 32.57+3.134/2-1.2, 0.01)
	}
	near(t, "length of the nose line", nose[1].Sub(nose[0]).Length(), 640, 1e-9)
	// Finished, the outer faces of both legs meet on the hinge.
	wall := b.subjects(b.SwingingFace(), 0)[0]
	low, high := geom.Bounds(wall.finished.outline...)
	near(t, "outer face of the wall", low.X, 0, 1e-9)
	near(t, "inner face of the wall", high.X, 1.5, 1e-9)
	near(t, "top of the wall", high.Y, 34, 0.01)
	low, high = geom.Bounds(wall.begun.outline...)
	near(t, "under the sheet before the bend", low.Y, 0, 1e-9)
	near(t, "where the wall ends before the bend", low.X, -(34 - 3 + 3.134 - 3), 0.01)
	near(t, "where it begins", high.X, -(3.134 - 3), 0.01)
}

// The same bend, clamped on either side and folded up or down, lies with its
// inside up.
func TestInsideOfTheBendIsUp(t *testing.T) {
	for _, angle := range []int{90, -90} {
		b := drawn(t, fmt.Sprintf(`"profile":{"length":200,"legs":[30,40],"bends":[%d]}`, angle))
		for _, clamped := range []string{"p0", "p1"} {
			bench := put(t, b, "b1", clamped)
			_, high := geom.Bounds(bench.subjects(bench.SwingingFace(), 0)[0].finished.outline...)
			if high.Y < 25 {
				t.Errorf("bend of %d, clamping %s: the wall reaches up to %v", angle, clamped, high.Y)
			}
			low, high := geom.Bounds(bench.subjects(bench.Root(), 0)[0].finished.outline...)
			near(t, "the clamped leg lies on the bed", low.Y, 0, 1e-9)
			near(t, "the clamped leg is as thick as the sheet", high.Y, 1, 1e-9)
			near(t, "the clamped leg begins behind the hinge", low.X, 2, 1e-9)
		}
	}
}

// P2, a Z with a web of 26 and flanges of 40: once one bend is made, the web
// cannot be clamped, for the flange goes into the bed; with the other flange
// clamped it hangs past a leaf of 18 but not of 62.
func TestFlangeOfAZ(t *testing.T) {
	z := suitePart(t, "P2")
	flange := z.FaceIndex("p0")
	web := put(t, z, "b2", "p1").Answer(flange, made(z, "b1"))
	if len(web.Of(Bed).Blocked) == 0 {
		t.Error("the flange deep in the bed is not found")
	}
	other := put(t, z, "b2", "p2").Answer(flange, made(z, "b1"))
	if len(other.Of(Bed).Blocked) != 0 || len(other.Of(FullLeaf).Blocked) == 0 || len(other.Of(SlimLeaf).Blocked) != 0 {
		t.Errorf("bed %v, full leaf %v, slim leaf %v; want only the full leaf hit", other.Of(Bed).Blocked, other.Of(FullLeaf).Blocked, other.Of(SlimLeaf).Blocked)
	}
	// The web swings with 26 - 2 - 2 flat; its near tangent lies 2 - 2.089 before the
	// hinge, so the flange's inner face is 22.09 + 1 out, 5.09 past the slim leaf.
	nearest := math.Inf(1)
	near(t, "the flange from the slim leaf", put(t, z, "b2", "p2").Measure(flange, made(z, "b1"), 0, nil, &nearest).Of(SlimLeaf).Least, 22.09+1-18, Step)
	short := suitePart(t, "P2v") // the same with a web of 16
	squeezed := put(t, short, "b2", "p2").Answer(flange, made(short, "b1"))
	if len(squeezed.Of(SlimLeaf).Blocked) == 0 {
		t.Error("a flange 13 mm out passes a leaf of 18")
	}
	if unmade := put(t, z, "b2", "p1").Answer(flange, 0); len(unmade.Of(Bed).Blocked)+len(unmade.Of(FullLeaf).Blocked) != 0 {
		t.Error("a flange that is not bent yet is in the way")
	}
}

// P4, a channel with a web of 62 outside: behind the bend the other wall stands.
// Only the narrow bar, 1.3 + 23 deep, fits in front of it.
func TestWallBehindTheBar(t *testing.T) {
	channel := suitePart(t, "P4")
	wall := channel.FaceIndex("p1")
	b := put(t, channel, "b3", "p2")
	for bar, want := range map[int]bool{wide: true, narrow: false, 2: true, 3: true} {
		blocked := b.Answer(wall, made(channel, "b2")).Of(OfBar(bar, Swing)).Blocked
		if (len(blocked) > 0) != want {
			t.Errorf("bar %d: blocked %v, want %v", bar, blocked, want)
		}
		top := 0.0
		for _, s := range blocked {
			near(t, "what the wall blocks, from", s.Low, 0, 1e-6)
			near(t, "what the wall blocks, to", s.High, 900, 1e-6)
			if !s.Stands {
				t.Errorf("a standing wall is noted as %+v", s)
			}
			top = math.Max(top, s.Top)
		}
		if want { // 44 outside, the flat ends 2 short at the lip, over a sheet of 1
			near(t, "how far the wall stands up", top, 41, 0.01)
		}
		if flat := b.Answer(wall, 0).Of(OfBar(bar, Swing)).Blocked; len(flat) > 0 {
			t.Errorf("bar %d is blocked by a wall that is not bent yet", bar)
		}
	}
}

// P4v, a channel squeezed so that the far flange swings over the narrow bar and
// strikes it only late: a test of start and end alone would pass it.
func TestLateHit(t *testing.T) {
	channel := suitePart(t, "P4v")
	b := put(t, channel, "b3", "p3")
	flange := channel.FaceIndex("p1")
	blocked := b.Answer(flange, made(channel, "b1", "b2", "b4")).Of(OfBar(narrow, Swing)).Blocked
	if len(blocked) == 0 {
		t.Fatal("the flange that strikes the bar late in the swing is not found")
	}
	first := unit.Deg(180)
	for _, s := range blocked {
		first = min(first, s.Angle)
	}
	if first < 70 || first > 90 {
		t.Errorf("struck at %v degrees, want late, at 70 to 90", first)
	}
}

// A P7v tab has clamped sheet beside it in front of the line: the leaf meets it
// at once. Clamped by the tab, the plate is driven into the bed.
func TestSheetBesideATab(t *testing.T) {
	tab := suitePart(t, "P7v")
	plate := tab.FaceIndex("plate_main")
	r := put(t, tab, "b1", "plate_main").Answer(plate, 0)
	for _, form := range []Element{FullLeaf, SlimLeaf} {
		leaf := r.Of(form)
		if len(leaf.Blocked) < 2 {
			t.Errorf("leaf %d is blocked %v, want on both sides of the tab", form, leaf.Blocked)
		}
		for _, s := range leaf.Blocked {
			if s.High > -1 && s.Low < 97 {
				t.Errorf("the tab itself, at 0 to 96, is blocked by %+v", s)
			}
		}
	}
	if r := put(t, tab, "b1", "tab").Answer(plate, 0); len(r.Of(Bed).Blocked) == 0 {
		t.Error("the plate driven into the bed is not found")
	}
	free := suitePart(t, "P7")
	r = put(t, free, "b1", "plate").Answer(free.FaceIndex("plate"), 0)
	if len(r.Of(FullLeaf).Blocked)+len(r.Of(Bed).Blocked) != 0 {
		t.Errorf("P7: a plate cut back to the line blocks the leaf %v, the bed %v", r.Of(FullLeaf).Blocked, r.Of(Bed).Blocked)
	}
}

// Up to the stop, 4 degrees beyond square, the leaf leans over the bed: at the top
// of its face of 62 by 4.3 mm. A wall that stands 0.96 behind the hinge far beside
// the bend is struck; at the corner of the bend, where the leaf has the swinging
// wall before it, that is left to the caution about corner room.
func TestLeafBeyondTheTarget(t *testing.T) {
	b := develop(t, []byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{
		"faces":[{"id":"plate","outline":[[0,0],[420,0],[420,180],[0,180]]},{"id":"tab","outline":[[150,180],[246,180],[246,209],[150,209]]},{"id":"wall","outline":[[-59,2],[0,2],[0,180],[-59,180]]}],
		"bends":[{"id":"x","between":["plate","tab"],"line":[[150,180],[246,180]],"angle":90},{"id":"w","between":["plate","wall"],"line":[[0,2],[0,180]],"angle":90}]}}`))
	wall := b.FaceIndex("wall")
	for overbend, want := range map[unit.Deg]bool{0.5: true, 4: true} {
		bench := NewBench(Setting{Blank: b, Brake: suiteBrake(t), Joints: []int{0}, Side: 0, Overbend: overbend})
		if got := len(bench.Answer(wall, made(b, "w")).Of(FullLeaf).Blocked) > 0; got != want {
			t.Errorf("swept to %v: the leaf strikes the wall %v, want %v", bench.Swept, got, want)
		}
	}
	calm := suiteBrake(t)
	calm.OverbendSwept = 0
	bench := NewBench(Setting{Blank: b, Brake: calm, Joints: []int{0}, Side: 0, Overbend: 0})
	if got := bench.Answer(wall, made(b, "w")).Of(FullLeaf).Blocked; len(got) > 0 {
		t.Errorf("at the target the leaf strikes the wall: %v", got)
	}
	tray := drawn(t, `"tray":{"base":[200,120],"walls":{"left":[{"leg":60}],"front":[{"leg":60}]}}`)
	corner := NewBench(Setting{Blank: tray, Brake: suiteBrake(t), Joints: []int{1}, Side: 0, Overbend: 4})
	if got := corner.Answer(tray.FaceIndex("left"), made(tray, "left")).Of(FullLeaf).Blocked; len(got) > 0 {
		t.Errorf("a wall at the corner is struck: %v", got)
	}
}

// The last bend of a closed box traps whatever lies under its lid.
func TestTrappedUnderALid(t *testing.T) {
	box := suitePart(t, "P6")
	b := put(t, box, "lid", "wallF")
	all := made(box, "wL", "wR", "wF", "wB")
	trapped := map[Question]bool{LiftOut: false, EndOut: false}
	for f := range box.Faces {
		answer := b.Answer(f, all)
		for _, s := range answer.Of(OfBar(narrow, LiftOut)).Blocked {
			trapped[LiftOut] = trapped[LiftOut] || s.From <= 0 && s.To >= MostDrawnBack
		}
		trapped[EndOut] = trapped[EndOut] || len(answer.Of(OfBar(narrow, EndOut)).Blocked) > 0
	}
	for q, yes := range trapped {
		if !yes {
			t.Errorf("way %d out of the closed box is free", q)
		}
	}
	open := made(box, "wL", "wR", "wB")
	last := put(t, box, "wF", "base")
	for f := range box.Faces {
		for _, s := range last.Answer(f, open).Of(OfBar(narrow, LiftOut)).Blocked {
			if s.From <= 0 && s.High > 0 && s.Low < float64(last.Length) {
				t.Errorf("in the open box, %s hangs over the bend from %v to %v", box.Faces[f].ID, s.Low, s.High)
			}
		}
	}
}

// A strip rolled into a square tube runs into itself when its last leg closes
// over the first.
func TestPartRunsIntoItself(t *testing.T) {
	for _, test := range []struct {
		name, legs string
		hit        bool
	}{
		{"the last leg ends before the first", "40,40,40,30", false},
		{"the last leg runs into the first", "40,40,40,60", true},
	} {
		b := drawn(t, `"profile":{"length":100,"legs":[`+test.legs+`],"bends":[90,90,90]}`)
		bench := put(t, b, "b3", "p2")
		last, first, before := b.FaceIndex("p3"), b.FaceIndex("p0"), made(b, "b1", "b2")
		hit, angle := bench.Meet(last, first, before), bench.MeetAt(last, first, before)
		if hit != test.hit || (hit && (angle < 60 || angle > 90)) {
			t.Errorf("%s: hit %v at %v, want %v", test.name, hit, angle, test.hit)
		}
		if bench.Meet(last, b.FaceIndex("p2"), before) {
			t.Errorf("%s: two legs of the bend itself run into each other", test.name)
		}
	}
}

// Bends made together swing together; from the tab's side its twin stays.
func TestTwinTabs(t *testing.T) {
	b := develop(t, []byte(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{
		"faces":[{"id":"plate","outline":[[0,0],[100,0],[100,50],[0,50]]},{"id":"a","outline":[[5,50],[35,50],[35,80],[5,80]]},{"id":"b","outline":[[60,50],[95,50],[95,65],[60,65]]}],
		"bends":[{"id":"x","between":["plate","a"],"line":[[5,50],[35,50]],"angle":90},{"id":"y","between":["b","plate"],"line":[[60,50],[95,50]],"angle":90}]}}`))
	k := suiteBrake(t)
	plate := NewBench(Setting{Blank: b, Brake: k, Joints: []int{0, 1}, Side: 0, Bars: []int{0}})
	near(t, "length over both", float64(plate.Length), 90, 1e-9)
	near(t, "line length of the setting", float64(LineLength(plate.Setting)), 90, 1e-9)
	if plate.Swings(0) || !plate.Swings(1) || !plate.Swings(2) {
		t.Error("clamping the plate, both tabs must swing and the plate must not")
	}
	tabs := NewBench(Setting{Blank: b, Brake: k, Joints: []int{0, 1}, Side: 1, Bars: []int{0}})
	if !tabs.Swings(0) || tabs.Swings(1) || tabs.Swings(2) {
		t.Error("clamping the tabs, the plate must swing and the tabs must not")
	}
	// The shorter tab is 15 from the middle of its bend, whose allowance is 2.089.
	clamped, swinging := tabs.Across()
	near(t, "the shorter of the clamped tabs", float64(clamped), 15-2.089159/2, 1e-5)
	near(t, "the plate", float64(swinging), 50-2.089159/2, 1e-5)
}

var suiteNames = []string{"P1", "P2", "P3", "P4", "P4v", "P5", "P6", "P7", "P7v"}

// Whatever was asked before, the kept answer of a class blocks what a new bench
// finds blocked, and a kept contact is the one that it finds.
func TestKeptAnswersAreRight(t *testing.T) {
	var benches []*Bench
	for _, name := range suiteNames {
		blank := suitePart(t, name)
		for _, j := range blank.Joints {
			for _, f := range j.Faces {
				benches = append(benches, put(t, blank, j.ID, blank.Faces[f].ID))
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		kept := rapid.SampledFrom(benches).Draw(t, "bench")
		blank := kept.Blank
		fresh := NewBench(kept.Setting)
		for range 5 {
			m := fold.Made(rapid.Uint64Range(0, 1<<len(blank.Joints)-1).Draw(t, "made"))
			f := rapid.IntRange(0, len(blank.Faces)-1).Draw(t, "face")
			got, want := kept.Kept(f, kept.Class(f, m)), fresh.Answer(f, m)
			if !blocksAlike(kept, got, want) {
				t.Fatalf("%s bend %v, side %d: face %d with %b made is kept as %+v, a new bench says %+v", blank.Part.Number, kept.Joints, kept.Side, f, m, got, want)
			}
			for g := range blank.Faces {
				if !kept.Swings(f) || kept.Swings(g) {
					continue
				}
				if got, want := kept.Meet(f, g, m), fresh.Meet(f, g, m); got != want {
					t.Fatalf("%s: Meet(%d, %d, %b) = %v, a new bench says %v", blank.Part.Number, f, g, m, got, want)
				}
			}
		}
	})
}

func blocksAlike(bench *Bench, x, y *Answer) bool {
	ok := len(x.blocking) == len(y.blocking)
	for e := range Element(len(y.reaches)) { // of y, which is not a kept one
		blocks := len(y.Of(e).Blocked) > 0
		ok = ok && x.Blocks(e) == blocks && y.Blocks(e) == blocks
		ok = ok && slices.EqualFunc(x.Of(e).Blocked, y.Of(e).Blocked, func(s, t Span) bool {
			return s.Low == t.Low && s.High == t.High && s.Curve == t.Curve && bench.taken(e, s) == bench.taken(e, t)
		})
	}
	return ok
}

// The bends that are made on the bench do not change an answer.
func TestOwnBendsDoNotMatter(t *testing.T) {
	blank := suitePart(t, "P4")
	b := put(t, blank, "b3", "p2")
	for f := range blank.Faces {
		for m := range fold.Made(16) {
			if !blocksAlike(b, b.Answer(f, m), b.Answer(f, m.With(2))) || b.Class(f, m) != b.Class(f, m.With(2)) {
				t.Errorf("face %d, made %b: the bend itself changes the answer", f, m)
			}
		}
	}
}

// The swing begins where the part really lies: each swinging body as it lies
// before the bend is covered by the first look at it.
func TestSwingBeginsAtTheStart(t *testing.T) {
	for _, name := range suiteNames {
		blank := suitePart(t, name)
		for _, j := range blank.Joints {
			b := put(t, blank, j.ID, blank.Faces[j.Faces[0]].ID)
			all := fold.All(len(blank.Joints))
			for f := range blank.Faces {
				for _, s := range b.subjects(f, all) {
					if !s.swings {
						continue
					}
					sin, cos := math.Sincos(b.Target.Rad())
					first := turned(s.finished.outline.Swept(geom.Point2{X: b.slide * cos, Y: -b.slide * sin}), -b.Target.Rad())
					for _, p := range s.begun.outline {
						if d := geom.Apart(first, geom.Polygon{p}); d > 1e-6 {
							t.Errorf("%s bend %s: a corner of face %d lies %v outside of where the swing begins", name, j.ID, f, d)
						}
					}
				}
			}
		}
	}
}

// The finished side is where the bend is finished, whatever the angle: the far
// tangent has slid outwards by two outside setbacks less the allowance.
func TestSlide(t *testing.T) {
	b := put(t, drawn(t, `"profile":{"length":200,"legs":[30,40],"bends":[90]}`), "b1", "p0")
	near(t, "slide of a square bend", b.slide, 4-2.089159, 1e-5)
	for _, angle := range []int{10, 45, 90, 120} {
		b := put(t, drawn(t, fmt.Sprintf(`"over_90":"tangent","profile":{"length":200,"legs":[30,40],"bends":[%d]}`, angle)), "b1", "p0")
		if b.slide < 0 {
			t.Errorf("at %d degrees the side slides by %v, inwards", angle, b.slide)
		}
	}
}

// Past a right angle the leaf, which turns about the hinge, pushes the swinging
// side farther in than the drawn part shows; what hangs on it is looked for there
// too.
func TestPushedPastSquare(t *testing.T) {
	for _, angle := range []float64{95, 110, 120, 128} {
		blank := drawn(t, fmt.Sprintf(`"over_90":"tangent","profile":{"length":200,"legs":[40,40,20],"bends":[%v,90]}`, angle))
		b := put(t, blank, "b1", "p0")
		sin, cos := math.Sincos(angle * math.Pi / 180)
		in := geom.Point2{X: sin, Y: cos} // square to the leaf's face, to the inside of the bend
		outer := math.Inf(1)
		for _, p := range b.subjects(b.SwingingFace(), 0)[0].finished.outline {
			outer = math.Min(outer, in.Dot(p))
		}
		if !(outer < 0) {
			t.Fatalf("at %v degrees the outer face lies %v before the leaf's face", angle, outer)
		}
		lip := shadow(b.first(t, blank.FaceIndex("p2"), made(blank, "b1", "b2")))
		cover := b.subjects(blank.FaceIndex("p2"), made(blank, "b1", "b2"))[0].finished.outline
		for _, p := range lip {
			pushed := p.Add(in.Times(-outer)) // with the outer face flush on the leaf
			back := p.Add(geom.Point2{X: float64(blank.Joints[0].Bend.OutsideSetback()) - b.tangent})
			for what, q := range map[string]geom.Point2{"as drawn": p, "pushed in": pushed, "drawn back": back} {
				if d := geom.Apart(cover, geom.Polygon{q}); d > 1e-6 {
					t.Errorf("at %v degrees a corner of the lip, %s, lies %v outside of what is tested", angle, what, d)
				}
			}
		}
	}
	square := put(t, drawn(t, `"profile":{"length":200,"legs":[40,40,20],"bends":[90,90]}`), "b1", "p0")
	if got := square.subjects(2, made(square.Blank, "b1", "b2"))[0].finished.places; got != nil {
		t.Errorf("at a right angle the lip is pushed by %v", got)
	}
}

// first is the first body of a face when the bend is finished.
func (b *Bench) first(t failer, face int, m fold.Made) []geom.Point3 {
	t.Helper()
	bodies, _ := b.bodies(face, b.target(m))
	return bodies[0]
}

func TestView(t *testing.T) {
	blank := suitePart(t, "P4")
	b := put(t, blank, "b3", "p2")
	m := made(blank, "b1", "b2", "b4")
	for _, test := range []struct{ angle, up float64 }{{0, 0}, {30, 31}, {90, 62}} {
		v := b.View(m, 450, unit.Deg(test.angle))
		if len(v.Clamped) < 3 || len(v.Swinging) < 2 {
			t.Errorf("at %v degrees: %d clamped and %d swinging shapes", test.angle, len(v.Clamped), len(v.Swinging))
		}
		_, high := geom.Bounds(v.Leaf(brake.Full)...)
		near(t, fmt.Sprintf("the leaf reaches up at %v degrees", test.angle), high.Y, test.up, 1e-9)
	}
	if v := b.View(m, 5000, 90); len(v.Clamped)+len(v.Swinging) != 0 {
		t.Error("a cut beside the part shows some of it")
	}
	low, _ := geom.Bounds(b.Bar(b.Brake.Bars[narrow])...)
	near(t, "the bar's nose behind the hinge", low.X, 1.3, 1e-9)
	near(t, "the bar stands on the sheet", low.Y, 1, 1e-9)
	box := suitePart(t, "P5")
	last := put(t, box, "wB", "base")
	for face, want := range map[string]bool{"wallL": true, "wallR": true, "wallF": false, "base": false, "wallB": false} {
		if got := last.Beside(box.FaceIndex(face), made(box, "wL", "wR", "wF")); got != want {
			t.Errorf("%s beside the last wall of a box: %v, want %v", face, got, want)
		}
	}
	bend := b.Extent(blank.FaceIndex("p0"), m).Bend
	if bend != 1 {
		t.Errorf("the lip leaves the flat at bend %d, want that of its wall", bend)
	}
	if bend := b.Extent(blank.FaceIndex("p3"), 0).Bend; bend != -1 {
		t.Errorf("a flat blank leaves the flat at bend %d", bend)
	}
}
