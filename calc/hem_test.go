package calc_test

import (
	"fmt"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/order"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// hemmed is a tray of 1 mm with a wall in front that ends in a hem, and what else
// stands on it.
func hemmed(base string, wall float64, hem string, more string) string {
	return fmt.Sprintf(`{"number":"H","material":"mild-steel","thickness":1,"inside_radius":1,
		"tray":{"base":%s,"walls":{"front":[{"leg":%v},%s]%s}}}`, base, wall, hem, more)
}

func closedHem(leg float64) string { return fmt.Sprintf(`{"leg":%v,"hem":"closed"}`, leg) }

// hemWays gives the ways to make the hem front.2 with its edge swinging once some
// bends are made, by bar, and the reasons against the rest.
func hemWays(t *testing.T, text string, made ...string) (map[string]*fitting.Chosen, string) {
	t.Helper()
	blank, err := figures.Shop{}.Develop(suite.Read(t, []byte(text)))
	if err != nil {
		t.Fatal(err)
	}
	s := fitting.New(process.New(blank, suite.Brake(t)))
	set, hem := order.Made(0), -1
	for i, joints := range s.Operations {
		id := blank.Joints[joints[0]].ID
		if id == "front.2" {
			hem = i
		}
		for _, m := range made {
			if m == id {
				set |= 1 << i
			}
		}
	}
	ways := map[string]*fitting.Chosen{}
	for _, a := range s.Actions(set, hem) {
		c := s.Chosen(set, a)
		if clamped := blank.Faces[c.Bench.Root()].ID; clamped != "front" {
			t.Errorf("the hem is made with %s clamped", clamped)
		}
		ways[a.Bar] = c
	}
	var why []string
	for _, r := range s.Why(set, hem) {
		why = append(why, r.Tool+": "+r.Text)
	}
	return ways, strings.Join(why, "\n")
}

// A bar presses the whole of a hem flat or none of it: the wide bar is 74 deep,
// the fingers 66, and the nose stands 1 mm, the thickness, in front of the fold.
func TestBarCoversTheHem(t *testing.T) {
	ten, _ := hemWays(t, hemmed("[120,100]", 90, closedHem(10), ""))
	beyond := float64(ten["wide"].Flatten.Covered) - 10 // of the nose, before the hem's own width
	suite.Near(t, "the fold behind the nose", beyond, 1, 0.5)
	for _, test := range []struct {
		leg           float64
		wide, fingers bool
	}{
		{66 - beyond - 0.05, true, true}, {66 - beyond + 0.05, true, false},
		{74 - beyond - 0.05, true, false}, {74 - beyond + 0.05, false, false},
	} {
		ways, why := hemWays(t, hemmed("[120,100]", 90, closedHem(test.leg), ""))
		if (ways["wide"] != nil) != test.wide || (ways["fingers"] != nil) != test.fingers {
			t.Errorf("hem of %v: wide %v, fingers %v: %s", test.leg, ways["wide"] != nil, ways["fingers"] != nil, why)
		}
		if strings.Contains(why, "fingers: covers 66.0 mm, the flat hem reaches") == test.fingers {
			t.Errorf("hem of %v: %s", test.leg, why)
		}
	}
}

// The strip under the back of the bar: none where the hem reaches to the middle
// of its depth, else as thick as the hem stands above what lies there.
func TestPackingWhileAHemIsFlattened(t *testing.T) {
	at, _ := hemWays(t, hemmed("[120,100]", 60, closedHem(10), ""))
	reach := float64(at["wide"].Flatten.Covered) - 10
	open := func(leg float64) string { return fmt.Sprintf(`{"leg":%v,"hem":"open"}`, leg) }
	for _, test := range []struct {
		what, text, bar string
		packing         float64
		onBed           bool
	}{
		{"to just beyond the middle", hemmed("[120,100]", 60, closedHem(37-reach+0.05), ""), "wide", 0, false},
		{"to just before the middle", hemmed("[120,100]", 60, closedHem(37-reach-0.05), ""), "wide", 1, false},
		{"closed, flat sheet behind", hemmed("[120,100]", 60, closedHem(10), ""), "wide", 1, false},
		{"open, flat sheet behind", hemmed("[120,100]", 60, open(10), ""), "wide", 2, false},
	} {
		ways, why := hemWays(t, test.text)
		if ways[test.bar] == nil {
			t.Errorf("%s: %s", test.what, why)
			continue
		}
		f := ways[test.bar].Flatten
		if suite.Near(t, test.what+": packing", float64(f.Packing), test.packing, 1e-9); f.PackingOnBed != test.onBed {
			t.Errorf("%s: on the bed %v", test.what, f.PackingOnBed)
		}
	}
	strip := func(wide float64) string {
		return fmt.Sprintf(`{"number":"S","material":"mild-steel","thickness":1,"inside_radius":1,"flat":{
			"faces":[{"id":"front","outline":[[0,0],[200,0],[200,%v],[0,%v]]},{"id":"edge","outline":[[0,0],[200,0],[200,-10],[0,-10]]}],
			"bends":[{"id":"front.2","between":["front","edge"],"line":[[0,0],[200,0]],"hem":"closed"}]}}`, wide, wide)
	}
	for wide, onBed := range map[float64]bool{60: false, 30: true} {
		ways, why := hemWays(t, strip(wide))
		if f := ways["wide"]; f == nil || f.Flatten.PackingOnBed != onBed {
			t.Errorf("strip %v wide: %v, want on the bed %v: %s", wide, f, onBed, why)
		} else if want := map[bool]float64{true: 2, false: 1}[onBed]; float64(f.Flatten.Packing) != want {
			t.Errorf("strip %v wide: packing %v, want %v", wide, f.Flatten.Packing, want)
		}
	}
}

// A bar that was slid out from under a lip cannot come straight down on the hem:
// the lip hangs over the back of the wide bar, 74 deep, or ends behind it.
func TestBarComesStraightDownOnTheHem(t *testing.T) {
	box := func(lip float64) string {
		return hemmed("[120,40]", 60, closedHem(10), fmt.Sprintf(`,"back":[{"leg":34},{"leg":%v}]`, lip))
	}
	free, _ := hemWays(t, box(15), "back", "back.2")
	if free["wide"] == nil {
		t.Fatal("not even a short lip leaves room for the wide bar")
	}
	// The lip's edge stands 100 - lip behind the outside of the wall's fold: wall
	// 60 and base 40, less what the open bend between them does not use up.
	b := free["wide"].Bench
	nose := 1e9
	for _, p := range b.OnHem(0) {
		nose = min(nose, p.X)
	}
	edge := 1e9
	for f, face := range b.Blank.Faces {
		if face.ID == "back.2" {
			edge = b.Extent(f, free["wide"].Made).Low
		}
	}
	longest := 15 + edge - (nose + 74)
	for _, test := range []struct {
		lip  float64
		fits bool
	}{{longest - 0.3, true}, {longest + 0.3, false}} {
		ways, why := hemWays(t, box(test.lip), "back", "back.2")
		if (ways["wide"] != nil) != test.fits {
			t.Errorf("lip %.2f: wide bar %v, want %v: %s", test.lip, ways["wide"] != nil, test.fits, why)
		}
		if strings.Contains(why, "wide bar: cannot come straight down on the hem") == test.fits {
			t.Errorf("lip %.2f: %s", test.lip, why)
		}
	}
}

// A hem is priced as two bends: for both the bar is opened, the part placed and
// the bar closed.
func TestAHemCostsTwoBends(t *testing.T) {
	blank, err := figures.Shop{}.Develop(suite.Read(t, []byte(hemmed("[120,100]", 60, closedHem(10), ""))))
	if err != nil {
		t.Fatal(err)
	}
	k := suite.Brake(t)
	once := fitting.New(process.New(blank, k))
	k = suite.Brake(t)
	k.Minutes.Bend++
	twice := fitting.New(process.New(blank, k))
	for op, joints := range once.Operations {
		want := 1.0
		if blank.Joints[joints[0]].ID == "front.2" {
			want = 2
		}
		a, b := once.Actions(0, op), twice.Actions(0, op)
		for i := range a {
			suite.Near(t, "minutes more", float64(b[i].Own.Minutes-a[i].Own.Minutes), want, 1e-9)
		}
	}
}

// The plan says as data how each hem is flattened; other bends have none.
func TestStepsCarryTheFlattening(t *testing.T) {
	plan := suite.Work(t, suite.Read(t, []byte(hemmed("[200,90]", 25, closedHem(8), `,"back":[{"leg":25},{"leg":8,"hem":"open"}]`))), suite.Brake(t), calc.Options{})
	for _, s := range plan.Steps {
		f := s.Flatten
		hem := strings.HasSuffix(s.Bends[0], ".2")
		if (f != nil) != hem {
			t.Errorf("bend %s: %v", s.Bends[0], f)
			continue
		}
		if !hem {
			continue
		}
		strip := 0.0
		if s.Bends[0] == "back.2" {
			strip = 1
		}
		suite.Near(t, s.Bends[0]+": strip", float64(f.Strip), strip, 1e-9)
		suite.Near(t, s.Bends[0]+": width", float64(f.Width), 8, 1e-9)
		// Bent, the fold stands on the hinge to within half a millimetre; the nose
		// then is the nose setback behind it and must come to lie 1 mm before it.
		suite.Near(t, s.Bends[0]+": pushed back", float64(f.Back), float64(s.NoseSetback)+1, 0.5)
		if f.Face != s.Swinging || f.Onto != s.Clamped || len(f.Before) == 0 || len(f.After) == 0 {
			t.Errorf("bend %s: %+v", s.Bends[0], f)
		}
	}
}

// A slotted bar presses a hem where the walls beside it stand in its slots, when it is
// bent and when it is pressed flat. By hand: the suite's slots are 24 apart and 7 wide
// with 0.5 clear each side, and 31 high with 0.5 clear above, over a sheet of 1; walls
// of 1 mm that are 240 apart stand in two slots at once, and 252 apart in none.
func TestSlottedBarOnAHem(t *testing.T) {
	for _, test := range []struct {
		wide, high float64
		fits       bool
		says       string
	}{
		{241, 31, true, ""}, {253, 31, false, "slotted bar: no slots match what stands"},
		{241, 32, false, "slotted bar: no slots match what stands"},
	} {
		more := fmt.Sprintf(`,"left":[{"leg":%v}],"right":[{"leg":%[1]v}]`, test.high)
		ways, why := hemWays(t, hemmed(fmt.Sprintf("[%v,100]", test.wide), 12, closedHem(10), more), "left", "right")
		way := ways["slotted"]
		if (way != nil) != test.fits || !strings.Contains(why, test.says) {
			t.Errorf("walls of %v, %v outside: with the slotted bar %v, want %v: %s", test.high, test.wide, way != nil, test.fits, why)
		}
		if way != nil && (len(way.Slots) != 2 || way.Flatten == nil) {
			t.Errorf("the walls stand in the slots %v, pressed flat: %v", way.Slots, way.Flatten != nil)
		}
	}
}

// The zone of a bend that is not made yet is flat metal like the faces beside it: a
// wall of 8.5 to 15 mm is held by more than the 10 mm that the suite's brake asks for,
// also where just the zone, of 2.1 mm, lies 10 mm behind the nose.
func TestZoneOfAnUnmadeBendIsHeld(t *testing.T) {
	for _, wall := range []float64{8.5, 11, 12, 13, 13.5, 14, 15} {
		text := hemmed("[241,100]", wall, closedHem(5), "")
		if ways, why := hemWays(t, text); ways["wide"] == nil {
			t.Errorf("hem on a flat wall of %v: %s", wall, why)
		}
	}
	if _, why := hemWays(t, hemmed("[241,100]", 12, closedHem(5), ""), "front"); !strings.Contains(why, "only 8.3 mm would lie under the bar") {
		t.Errorf("once the wall stands, no more than its own flat is held: %s", why)
	}
}
