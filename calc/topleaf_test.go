package calc_test

import (
	"encoding/json"
	"fmt"
	"os"
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

func box(depth int) string {
	wall := fmt.Sprintf(`[{"leg":%d}]`, depth)
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
