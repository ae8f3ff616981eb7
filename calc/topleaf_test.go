package calc_test

import (
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// topLeaf is an ordinary box-and-pan leaf brake of invented figures: fingers 60
// high hang from a beam 90 deep.
func topLeaf(t *testing.T) *brake.Brake {
	t.Helper()
	data, err := os.ReadFile("../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	var f map[string]any
	if err := json.Unmarshal(data, &f); err != nil {
		t.Fatal(err)
	}
	f["name"], f["clamping"] = "Top leaf (invented)", "top-leaf"
	f["finger_height"], f["beam_depth"], f["beam_height"] = 60, 90, 120
	bars := f["bars"].([]any)
	fingers := bars[3].(map[string]any)
	fingers["depth"], fingers["height"] = 25.0, 60.0
	fingers["section"] = [][2]float64{{0, 0}, {0, 0.6}, {20, 60}, {25, 60}, {25, 0}}
	f["bars"] = []any{fingers}
	data, err = json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func looseBars(t *testing.T) *brake.Brake {
	t.Helper()
	data, err := os.ReadFile("../testdata/suite/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	k, err := brake.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func planned(t *testing.T, text string, k *brake.Brake) *process.Plan {
	t.Helper()
	p, err := part.Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	plan, err := calc.Work(p, k, calc.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

func channel(web, flange int) string {
	return fmt.Sprintf(`{"number":"U","material":"mild-steel","thickness":1,"inside_radius":1,"k":0.33,
		"profile":{"length":300,"legs":[%d,%d,%d],"bends":[90,90]}}`, flange, web, flange)
}

func box(depth int) string { return boxOf(float64(depth)) }

func boxOf(depth float64) string {
	wall := fmt.Sprintf(`[{"leg":%v}]`, depth)
	return fmt.Sprintf(`{"number":"BOX","material":"mild-steel","thickness":1,"inside_radius":1,"k":0.33,
		"tray":{"base":[298,208],"walls":{"left":%s,"right":%s,"front":%s,"back":%s},"corners":{"relief":"square","size":2,"gap":2}}}`, wall, wall, wall, wall)
}

// Two square bends close together: the bent flange stands behind a narrow loose
// bar, with nothing over it; under a beam it runs into the beam, unless it is
// shorter than the fingers. Common practice, no source.
func TestCloseBendsWantLooseBars(t *testing.T) {
	tests := []struct {
		name        string
		web, flange int
		loose, top  bool
	}{
		{"high flange close behind", 50, 90, true, false},
		{"high flange behind the beam", 130, 90, true, true},
		{"flange lower than the fingers", 50, 50, true, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			text := channel(test.web, test.flange)
			if got := planned(t, text, looseBars(t)).Feasible; got != test.loose {
				t.Errorf("with loose bars feasible = %v, want %v", got, test.loose)
			}
			top := planned(t, text, topLeaf(t))
			if top.Feasible != test.top {
				t.Errorf("with a top leaf feasible = %v, want %v", top.Feasible, test.top)
			}
			if !test.top && !strings.Contains(strings.Join(top.Blocked[0].Why, " "), "beam") {
				t.Errorf("the reasons do not name the beam: %v", top.Blocked[0].Why)
			}
		})
	}
}

// How deep a box can be is limited by the height of the fingers under a beam
// and not at all with loose bars. Common practice, no source.
func TestBoxDepthIsLimitedUnderABeam(t *testing.T) {
	tests := []struct {
		depth      int
		loose, top bool
	}{{50, true, true}, {140, true, false}}
	for _, test := range tests {
		text := box(test.depth)
		if got := planned(t, text, looseBars(t)).Feasible; got != test.loose {
			t.Errorf("%d deep with loose bars: feasible = %v, want %v", test.depth, got, test.loose)
		}
		if got := planned(t, text, topLeaf(t)).Feasible; got != test.top {
			t.Errorf("%d deep with a top leaf: feasible = %v, want %v", test.depth, got, test.top)
		}
	}
}

// Where it is the height that hinders, the cure is a lower wall: planned with the
// size it names the part can be bent, a millimetre higher it cannot.
func TestCureUnderABeamIsALowerWall(t *testing.T) {
	plan := planned(t, box(140), topLeaf(t))
	if plan.Feasible {
		t.Fatal("a box of 140 under fingers of 60 can be bent")
	}
	named := regexp.MustCompile(`^make .* at most ([0-9.]+) mm instead of 140$`)
	tried := 0
	for _, b := range plan.Blocked {
		for _, c := range b.Cures {
			m := named.FindStringSubmatch(c.Change)
			if m == nil {
				continue
			}
			tried++
			size, err := strconv.ParseFloat(m[1], 64)
			if err != nil || size > 63 || size < 55 {
				t.Errorf("%s: want about the height of the fingers, 60", c.Change)
			}
			if !planned(t, boxOf(size), topLeaf(t)).Feasible {
				t.Errorf("%s: that cannot be bent either", c.Change)
			}
			if planned(t, boxOf(size+1), topLeaf(t)).Feasible {
				t.Errorf("%s: a millimetre higher can be bent as well", c.Change)
			}
		}
	}
	if tried == 0 {
		t.Errorf("no cure names a height: %+v", plan.Blocked)
	}
	for _, b := range planned(t, channel(12, 300), looseBars(t)).Blocked {
		for _, c := range b.Cures {
			if strings.Contains(c.Change, "at most") && strings.Contains(c.Change, "make ") {
				t.Errorf("with loose bars nothing hangs over the part: %s", c.Change)
			}
		}
	}
}

// A top leaf clamps by itself: nothing is said of a magnet, whatever its file says.
func TestTopLeafSaysNothingOfMagnets(t *testing.T) {
	plan := planned(t, box(50), topLeaf(t))
	if !plan.Feasible || plan.Brake.Magnet.Pressure != 0 {
		t.Fatalf("feasible %v, magnet %v", plan.Feasible, plan.Brake.Magnet)
	}
	for _, s := range plan.Steps {
		if s.Hold.Limit != 0 {
			t.Errorf("step %d: hold %+v", s.Number, s.Hold)
		}
		for _, c := range s.Cautions {
			if strings.Contains(strings.ToLower(c.Text()), "magnet") {
				t.Errorf("step %d: %s", s.Number, c.Text())
			}
		}
	}
}
