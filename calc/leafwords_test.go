package calc_test

import (
	"brakeside/calc/process"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// onlyBars writes a brake's file with these bars alone, as strong as the wide one and
// with one limit of angle, or none where it is 0.
func onlyBars(t *testing.T, file string, most float64, names ...string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var k map[string]any
	if err := json.Unmarshal(data, &k); err != nil {
		t.Fatal(err)
	}
	var kept []any
	for _, bar := range k["bars"].([]any) {
		if b := bar.(map[string]any); slices.Contains(names, b["name"].(string)) {
			b["max_angle"], b["rating_t"] = most, 1.6
			kept = append(kept, b)
		}
	}
	k["bars"] = kept
	if data, err = json.Marshal(k); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "brake.json")
	if err := os.WriteFile(out, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return out
}

// angle is an L of mild steel, its legs 90 and 120.
func angle(thickness, radius, length, bend float64) []byte {
	return []byte(fmt.Sprintf(`{"number":"L","material":"mild-steel","thickness":%v,"inside_radius":%v,"over_90":"tangent","profile":{"length":%v,"legs":[90,120],"bends":[%v]}}`,
		thickness, radius, length, bend))
}

// whyNot gives all reasons against a plan, empty where it can be done.
func whyNot(p *process.Plan) string {
	var all []string
	for _, b := range p.Blocked {
		all = append(all, b.Why...)
	}
	return strings.Join(all, "\n")
}

// said gives all cautions of a plan and its steps.
func said(p *process.Plan) string {
	all := p.Cautions
	for _, s := range p.Steps {
		all = append(all, s.Cautions...)
	}
	return fmt.Sprint(all)
}

// What cannot be reached is refused with the angle that can, and that angle can: by
// the leaf, which turns to 130; by a bar that is meant for stops of up to 100; by the
// narrow bar, whose crest leaves 1 mm of sheet no room beyond a stop of 113, a bend of
// 111; over a round bar, beyond a right angle. A round bar of 600 takes a bend of 616,
// with 8 past either end.
func TestWhatCannotBeReachedNamesWhatCan(t *testing.T) {
	narrow, limited := onlyBars(t, suiteBrake, 0, "narrow"), onlyBars(t, suiteBrake, 100, "wide")
	tube := onlyBars(t, tubeBrake, 0, "tube 30", "rod 12")
	for _, test := range []struct {
		name      string
		good, bad []byte
		brake     string
		says      string
	}{
		{"the leaf", angle(1, 1, 200, 127), angle(1, 1, 200, 128), suiteBrake, "beyond the 130.0 the leaf reaches; enough for a bend of up to 127 degrees"},
		{"the bar's own limit", angle(1, 1, 200, 98), angle(1, 1, 200, 99), limited, "beyond its 100.0; enough for a bend of up to 98 degrees"},
		{"the bar's slope", angle(1, 1, 200, 111), angle(1, 1, 200, 112), narrow, "there is room for a bend of up to 111 degrees"},
		{"over a round bar", angle(0.9, 15, 200, 90), angle(0.9, 15, 200, 91), tube, "makes bends of up to 90 degrees"},
		{"a bar too short", angle(0.9, 6, 616, 90), angle(0.9, 6, 616.1, 90), tube, "too short: 600.0 mm long, for a bend of 616.1"},
	} {
		if plan, _ := worked(t, test.good, test.brake); !plan.Feasible {
			t.Errorf("%s: what should be possible is not: %s", test.name, whyNot(plan))
		}
		plan, _ := worked(t, test.bad, test.brake)
		if why := whyNot(plan); plan.Feasible || !strings.Contains(why, test.says) {
			t.Errorf("%s: feasible %v, %q does not say %q", test.name, plan.Feasible, why, test.says)
		}
	}
}

// Where the shop's rule alone is too small the step says so: it gives 1.3 for 1 mm.
// A stop of 100.65 needs tan 50.3 + 0.6 tan 10.65 = 1.32, printed as the same; one of
// 101.67 needs tan 50.8 + 0.6 tan 11.67 = 1.35. Of a round bar nothing of the kind is said.
func TestTheStepSaysWhereTheRuleIsTooSmall(t *testing.T) {
	for bend, want := range map[float64]bool{90: false, 99: false, 100: true, 127: true} {
		plan, _ := worked(t, angle(1, 1, 200, bend), suiteBrake)
		if got := strings.Contains(said(plan), "not the 1.3 of the brake's rule"); got != want {
			t.Errorf("at %v degrees: %s, want the rule named %v", bend, said(plan), want)
		}
	}
	over, _ := worked(t, angle(0.9, 15, 200, 90), tubeBrake)
	if s := over.Steps[0]; s.Bar.Name != "tube 30" || float64(s.NoseSetback) < 1.3 || strings.Contains(said(over), "brake's rule") {
		t.Errorf("over the tube, %v back: %s", s.NoseSetback, said(over))
	}
}

// The line of the blank that is laid under the axis of a tube is where the bend begins,
// whichever side is clamped; and a bar with an edge keeps its nose line.
func TestContactLine(t *testing.T) {
	for _, bend := range []float64{30, 60, 90} {
		plan, _ := worked(t, angle(0.9, 15, 200, bend), tubeBrake)
		s := plan.Steps[0]
		turned, b := bend*math.Pi/180, plan.Bends[0].Bend
		zone := turned * (float64(b.Radius) + b.K*0.9)
		middle := plan.Blank.Joints[0].Line[0].Y
		if got := math.Abs(s.NoseLine[0].Y - middle); math.Abs(got-zone/2) > 1e-6 {
			t.Errorf("at %v degrees the line lies %v from the middle of the bend zone, want half of %v", bend, got, zone)
		}
		if axis := 15.9 * math.Tan(float64(s.StopBend)*math.Pi/360); math.Abs(float64(s.LineSetback())-axis) > 1e-9 {
			t.Errorf("at %v degrees the contact line is said to be %v behind the hinge, want %v", bend, s.LineSetback(), axis)
		}
	}
	plan, _ := worked(t, angle(1, 1, 200, 90), suiteBrake)
	if s := plan.Steps[0]; s.LineSetback() != s.NoseSetback {
		t.Errorf("of a bar with an edge %v is gauged, its nose stands %v back", s.LineSetback(), s.NoseSetback)
	}
}

// Where a round bar would make the radius and cannot, the caution of the radius that
// comes out uneven says why.
func TestWhyNotOverTheRoundBar(t *testing.T) {
	for _, test := range []struct {
		part []byte
		says string
	}{
		{angle(0.9, 6, 700, 90), "(rod 12 bar: too short: 600.0 mm long, for a bend of 700.0)"},
		{angle(0.9, 15, 200, 110), "(tube 30 bar: makes bends of up to 90 degrees"},
		{angle(0.9, 10, 200, 90), "would make it."},
	} {
		if plan, _ := worked(t, test.part, tubeBrake); !plan.Feasible || !strings.Contains(said(plan), test.says) {
			t.Errorf("%s: feasible %v, %s does not say %q", test.part, plan.Feasible, said(plan), test.says)
		}
	}
}
