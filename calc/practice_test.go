package calc_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// practised plans one of the invented parts of testdata/cases, ten pieces of it. All names
// but a few belong to the demo's brake.
func practised(t *testing.T, name string) *process.Plan {
	t.Helper()
	on := demoBrake
	for start, file := range map[string]string{
		"recess-tray": "../testdata/cases/recess-tray-brake.json", "flat-": "../testdata/suite/brake.json", "long-": "../testdata/suite/brake.json",
	} {
		if strings.HasPrefix(name, start) {
			on = file
		}
	}
	text, err := os.ReadFile("../testdata/cases/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	plan := suite.Work(t, suite.Read(t, text), brakeIn(t, on), calc.Options{Quantity: 10})
	if !plan.Feasible || !plan.ProvenCheapest {
		t.Fatalf("%s: feasible %v, proven %v", name, plan.Feasible, plan.ProvenCheapest)
	}
	return plan
}

func brakeIn(t *testing.T, file string) *brake.Brake {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(text)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// No bar lifts where another order holds; the plans here had one to six such steps by
// minutes alone. What a practitioner does is common practice, no source.
func TestNoBarLiftsWhereAnotherHolds(t *testing.T) {
	for _, name := range []string{
		"02-recess-out", "03-inlip", "14-2mm", "28-stairs", "31-panel", "32-threesided", "45-45in", "recess-tray", "flat-64",
	} {
		plan := practised(t, name)
		for _, s := range plan.Steps {
			if s.Hold.Lifts() || plan.Lifting != 0 {
				t.Errorf("%s, step %d under the %s bar: %+v", name, s.Number, s.Bar.Name, s.Hold)
			}
		}
	}
}

// A tray of walls that leave no room for a bar in one piece: the opposite walls
// together, two with the wide bar, two with the same fingers, nothing past the end of
// the brake (common practice, no source). The shorter bends are those under fingers.
func TestDeepBoxAsAPractitionerMakesIt(t *testing.T) {
	var said []string
	for _, s := range practised(t, "11-deepbox").Steps {
		var widths []string
		for _, g := range s.Segments {
			widths = append(widths, g.Width.Text(0))
		}
		said = append(said, fmt.Sprint(s.Bends[0], " ", s.Bar.Name, " ", strings.Join(widths, "+"), " ", s.Place))
	}
	want := []string{"front wide  middle", "back wide  middle", "left fingers 91+50 middle", "right fingers 91+50 middle"}
	if !slices.Equal(said, want) {
		t.Errorf("%q, want %q", said, want)
	}
}

// A long part stands under the wide bar as long as it fits: no narrow bar on the
// stairs, and no fingers where nothing stands.
func TestFullBarWhereItFits(t *testing.T) {
	for name, never := range map[string]string{"28-stairs": "narrow", "34-ob": "fingers", "14-2mm": "narrow", "06-hemZ": "narrow"} {
		for _, s := range practised(t, name).Steps {
			if s.Bar.Name == never {
				t.Errorf("%s, step %d is made with %s", name, s.Number, never)
			}
		}
	}
}

// Nothing is placed by eye to less than a millimetre where there is room for more: a
// part that hangs past the end of the bed does so by a millimetre more than it must,
// and its bend ends well inside the bed where it can.
func TestHangingPartsHaveRoom(t *testing.T) {
	hanging := 0
	for _, name := range []string{"02-recess-out", "29-flatlongnames", "32-threesided", "recess-tray"} {
		plan := practised(t, name)
		k := plan.Brake
		for _, s := range plan.Steps {
			if s.Place == process.Middle {
				continue
			}
			hanging++
			left, right := bendOnBrake(s)
			inside := math.Max(-left, right-float64(k.UsableLength)) // of the brake's end, from that of the bend
			if inside > 8-1 {
				t.Errorf("%s, step %d: the brake ends %v mm inside the bend, 8 is the most", name, s.Number, inside)
			}
			if s.Between[1] == "bed" && s.Clearance < k.Clearance.BedAndLeaf+1-0.02 {
				t.Errorf("%s, step %d: %v mm between %v", name, s.Number, s.Clearance, s.Between)
			}
		}
	}
	if hanging == 0 {
		t.Error("no step hangs past an end of the brake")
	}
}

// Without these prices in the file the usual ones hold, so that a file of before plans
// as a practitioner would; a price of nothing is nothing.
func TestPricesDecide(t *testing.T) {
	text, err := os.ReadFile(demoBrake)
	if err != nil {
		t.Fatal(err)
	}
	part, err := os.ReadFile("../testdata/cases/11-deepbox.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name  string
		price func(*brake.Minutes)
		past  int
	}{
		{"as they are", func(*brake.Minutes) {}, 0},
		{"hanging past the end for nothing", func(m *brake.Minutes) { m.BendEndAtBrakeEnd = 0 }, 2},
	} {
		k, err := brake.Read(text)
		if err != nil {
			t.Fatal(err)
		}
		test.price(&k.Minutes)
		past := 0
		for _, s := range suite.Work(t, suite.Read(t, part), k, calc.Options{Quantity: 10}).Steps {
			if s.Place != process.Middle {
				past++
			}
		}
		if past != test.past {
			t.Errorf("%s: %d steps past the end, want %d", test.name, past, test.past)
		}
	}
}
