package calc_test

import (
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

var mutations = flag.Bool("mutations", false, "plant each fault and see that it is found; takes long")

// planted are faults that would let a part run into the brake, or an order be called
// the cheapest that is not, each with the test that must find it.
var planted = []struct{ name, file, was, is, test string }{
	{"what swings may touch the bed", "clash/report.go", "a.note(Bed, b.swing(s, &b.bed, clear), s, &s.finished)", "_ = clear", "NoWay"},
	{"what stands may hang in the bed", "clash/report.go", "a.note(Bed, s.still(&s.finished, &b.bed, clear), s, &s.finished)", "_ = clear", "NoWay"},
	{"sheet beside a tab may be driven into the bed", "clash/report.go", "a.note(Bed, b.swing(s, &b.below, 0), s, &s.finished)", "_ = own", "NoWay"},
	{"the leaf may strike what stands", "clash/report.go", "p := turning(leaf, &s.finished.section, 0, end.Rad(), clear, s.nearest)", "p := pass{}", "NoWay"},
	{"the bar needs no clearance", "clash/bars.go", "{bar.Body(), b.Brake.Clearance.Bar}", "{bar.Body(), 0}", "NoWay"},
	{"the bar is met by nothing that swings", "clash/bars.go", "a.note(swing, b.swing(s, &part.section, part.clear), s, &s.finished)", "_ = part.clear", "NoWay"},
	{"the bar is met by nothing that stands", "clash/bars.go", "a.note(swing, s.still(&s.finished, &part.section, part.clear), s, &s.finished)", "_ = part.clear", "NoWay"},
	{"a body reaches in half as far", "clash/stretch.go", "reach.Low, reach.High = min(reach.Low, p.X), max(reach.High, p.X)", "reach.Low, reach.High = min(reach.Low, p.X/2), max(reach.High, p.X/2)", "NoWay"},
	{"the bar is drawn back through what stands behind it", "clash/bars.go", "if _, drawn := meetsMoved(at.outline, t.hullMirrored); drawn >= 0 {", "if false {", "NoWay"},
	{"nothing is over a bar that is lifted", "clash/bars.go", "return low, max(high, to)", "return low, min(high, to)", "NoWay"},
	{"the part may run into itself", "clash/report.go", "return v.get(made, func() bool { return b.pair(swinging, clamped, made).hit })", "return false", "NoWay"},
	{"fingers keep no gap to walls", "clamp/span.go", "return min(w.Low, w.Face.Low-gap), max(w.High, w.Face.High+gap)", "return w.Face.Low + gap, w.Face.High - gap", "NoWay"},
	{"the bound takes a change too many", "fitting/change.go", "setting := m.StopChange * float64(len(stops))", "setting := m.StopChange * float64(len(stops)+1)", "NoOrderIsUnderTheBound"},
	{"the bound turns the part over twice", "fitting/change.go", "sum.Minutes += order.Minutes(m.TurnOver)\n\t}\n\tsetting := m", "sum.Minutes += order.Minutes(2 * m.TurnOver)\n\t}\n\tsetting := m", "NoOrderIsUnderTheBound"},
	{"the bound does not share the setting up", "fitting/change.go", "setting = m.FirstSetup + m.StopChange*float64(len(stops)-1)\n\t}\n\tif s.Plan.Run == process.ByStep {", "setting = m.FirstSetup + m.StopChange*float64(len(stops)-1)\n\t}\n\tif false {", "NoOrderIsUnderTheBound"},
}

// Every planted fault is found: the outsider, and the walk that holds the bound against
// the truth, can fail.
//
//	go test ./calc -run PlantedFaults -mutations -timeout 60m -v
func TestPlantedFaultsAreFound(t *testing.T) {
	for _, m := range planted {
		t.Run(strings.ReplaceAll(m.name, " ", "-"), func(t *testing.T) {
			source, err := os.ReadFile(m.file)
			if err != nil {
				t.Fatal(err)
			}
			if strings.Count(string(source), m.was) != 1 {
				t.Fatalf("%s does not hold once: %s", m.file, m.was)
			}
			if !*mutations {
				return
			}
			overlay := overlayOf(t, m.file, strings.Replace(string(source), m.was, m.is, 1))
			out, err := exec.Command("go", "test", "-overlay", overlay, "-run", m.test, "-outsider", "20", "-failfast", ".").CombinedOutput()
			switch text := string(out); {
			case err == nil:
				t.Errorf("not found")
			case !strings.Contains(text, "--- FAIL"):
				t.Errorf("found by no test: %s", text)
			}
		})
	}
}

// overlayOf has the go tool take other text for a file.
func overlayOf(t *testing.T, file, text string) string {
	t.Helper()
	folder := t.TempDir()
	changed, overlay := filepath.Join(folder, "changed.go"), filepath.Join(folder, "overlay.json")
	whole, err := filepath.Abs(file)
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(map[string]any{"Replace": map[string]string{whole: changed}})
	if err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string][]byte{changed: []byte(text), overlay: data} {
		if err := os.WriteFile(name, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return overlay
}
