package wording_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/calc/wording"
	"brakeside/testdata/suite"
)

// A step is tight with less than half a millimetre above the least clearance of
// what it passes (common practice, no source). The least ones of the suite's brake
// are 0.3 at bed and leaf and 1.5 at bars.
func TestTightIsHalfAMillimetreAboveTheLeast(t *testing.T) {
	k := suite.Brake(t)
	leaf := fitting.LeafName("")
	for _, test := range []struct {
		with  string
		room  float64
		tight bool
	}{
		{"bed", 0.3, true}, {"bed", 0.79, true}, {"bed", 0.81, false},
		{leaf, 0.79, true}, {leaf, 0.81, false},
		{"the wide bar", 1.5, true}, {"the wide bar", 1.99, true}, {"the wide bar", 2.01, false},
	} {
		var step process.Step
		wording.Clearances(k, &step, &fitting.Chosen{Clearance: test.room, Between: [2]string{"p1", test.with}})
		if step.Tight != test.tight || float64(step.Clearance) != test.room || step.Between[1] != test.with {
			t.Errorf("%v mm to %s: tight %v, %v between %v, want %v", test.room, test.with, step.Tight, step.Clearance, step.Between, test.tight)
		}
	}
	step := process.Step{Clearance: 1, Between: [2]string{"p1", "bed"}}
	if wording.Clearances(k, &step, &fitting.Chosen{Clearance: math.Inf(1)}); step.Tight || step.Clearance != 0 || step.Between != [2]string{} {
		t.Errorf("nothing near: tight %v, %v between %v", step.Tight, step.Clearance, step.Between)
	}
}

// A leg that swings farther than 200 mm from the hinge is named (common practice,
// no source). A leg drawn with its outside size reaches so far when it is up.
func TestLongSwingIsFromTwoHundredOn(t *testing.T) {
	for _, test := range []struct {
		leg  float64
		want int
	}{{120, 0}, {199, 0}, {202, 1}, {390, 1}} {
		text := fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":100,"legs":[%v,%v],"bends":[90]}}`, test.leg, test.leg)
		plan := suite.Work(t, suite.Read(t, []byte(text)), suite.Brake(t), calc.Options{})
		if count, _ := about(plan.Steps[0], "from the hinge"); count != test.want {
			t.Errorf("a leg of %v: %d cautions, want %d: %+v", test.leg, count, test.want, plan.Steps[0].Cautions)
		}
	}
}

// Overbent between its neighbours the top of a wall goes too far by its height
// times the sine of the springback; from half a millimetre on that is said (common
// practice, no source). A wall alone has nobody to run into.
func TestCornerRoomIsFromHalfAMillimetreOn(t *testing.T) {
	said := map[bool]int{}
	for _, leg := range []float64{15, 20, 25, 30, 40, 60, 90} {
		for _, more := range []string{"", fmt.Sprintf(`,"left":[{"leg":%v}],"right":[{"leg":%v}]`, leg, leg)} {
			text := fmt.Sprintf(`{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,
				"tray":{"base":[288,200],"walls":{"front":[{"leg":%v}]%s}}}`, leg, more)
			plan := suite.Work(t, suite.Read(t, []byte(text)), suite.Brake(t), calc.Options{})
			walls := map[string]bool{}
			for _, s := range plan.Steps {
				beside := s.Swinging == "front" && (walls["left"] || walls["right"]) || s.Swinging != "front" && walls["front"]
				walls[s.Swinging], walls[s.Clamped] = true, true
				if s.Swinging == "base" {
					continue // the wall is clamped, and what swings is no wall
				}
				height := leg - 2 // less the outside setback of 1 mm at radius 1
				room := height * math.Sin(float64(s.Springback)*math.Pi/180)
				if math.Abs(room-0.5) < 0.02 {
					continue // the tenth that is printed and the bend's own length stand between
				}
				want := beside && room > 0.5
				said[want]++
				if count, at := about(s, "Overbending"); (count == 1) != want {
					t.Errorf("walls of %v, step %d of %s, beside %v: %d cautions, %.2f mm too far", leg, s.Number, s.Swinging, beside, count, room)
				} else if want && !strings.Contains(s.Cautions[at].Hazard, fmt.Sprintf(" %.1f mm too far", room)) && math.Abs(math.Mod(room*10, 1)-0.5) > 0.2 {
					t.Errorf("walls of %v: %q, want %.2f", leg, s.Cautions[at].Hazard, room)
				}
			}
		}
	}
	if said[true] < 4 || said[false] < 4 {
		t.Errorf("%d steps with and %d without the caution", said[true], said[false])
	}
}

// Where the part hangs past an end the bed is flush with the bend within a twentieth
// of a millimetre (common practice, no source): that is all a rule shows.
func TestPastAnEnd(t *testing.T) {
	for inside, want := range map[float64]string{
		0: "flush with the bend's left end", 0.049: "flush", -0.049: "flush",
		0.06: "the bed ends 0.1 mm inside the bend's left end", -0.06: "the bend's left end lies 0.1 mm inside the bed's",
		2.96: "the bed ends 3.0 mm inside", -2.96: "lies 3.0 mm inside the bed's",
	} {
		if got := wording.PastEnd(&fitting.Chosen{Place: process.PastLeft, Inside: inside}); !strings.Contains(got, want) {
			t.Errorf("%v inside: %q, want %q", inside, got, want)
		}
	}
}

// A bar of more than 5 kg is lifted with two hands (common practice, no source). The
// wide bar of the suite's brake weighs 12.9 grams a millimetre.
func TestHeavyBarIsFromFiveKilogramsOn(t *testing.T) {
	text := `{"number":"T","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":300,"legs":[60,60],"bends":[90]}}`
	for kilograms, want := range map[float64]int{4.9: 0, 5.1: 1, 8: 1} {
		k := suite.Brake(t)
		k.Bars = k.Bars[:1]
		k.Bars[0].Length *= unit.MM(kilograms / k.Bars[0].Weight())
		plan := suite.Work(t, suite.Read(t, []byte(text)), k, calc.Options{})
		if len(plan.Steps) == 0 {
			t.Fatalf("a bar of %v kg, %v mm long, does not bend 300 mm", kilograms, k.Bars[0].Length)
		}
		if count, _ := about(plan.Steps[0], "bar weighs about"); count != want {
			t.Errorf("a bar of %v kg: %d cautions, want %d", kilograms, count, want)
		}
	}
}
