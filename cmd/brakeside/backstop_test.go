package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"brakeside/testdata/robot"
	"brakeside/testdata/suite"
)

// withStop writes the demo's brake anew with a back stop, and gives the file.
func withStop(t *testing.T, stop string) string {
	t.Helper()
	brake := strings.Replace(readText(t, "shop/brake.json"), `"units": "mm",`, `"units": "mm", "back_stop": `+stop+`,`, 1)
	return written(t, t.TempDir(), "brake.json", brake)
}

// lowStop is a back stop that bars may lie over, so that it is used often.
const lowStop = `{"from": 12, "to": 900, "height": 0.5}`

// TestRobotSetsTheBackStop: whoever has only the paper and pushes the part against
// the stop, set as a row says, folds the part that was drawn; a stop that is set
// elsewhere is seen.
func TestRobotSetsTheBackStop(t *testing.T) {
	suite.Unraced(t)
	files, err := filepath.Glob("../../testdata/parts/*.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"28-stairs", "31-panel", "34-ob"} {
		files = append(files, "../../testdata/cases/"+name+".json")
	}
	papers, named := 0, 0
	for _, file := range files {
		part, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		pdf, ok := sheetOf(t, file, "-brake", withStop(t, lowStop))
		if !ok {
			continue
		}
		papers++
		paper, err := robot.Read(pdf)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(paper.Steps, func(s robot.Step) bool { return s.BackStop != 0 }) {
			continue
		}
		if faults, err := robot.Crowded(pdf); err != nil || faults != nil {
			t.Errorf("%s: %v, %v", file, faults, err)
		}
		if found := judged(t, paper, part); len(found) > 0 {
			t.Errorf("%s: %v", file, found)
		}
		for i, s := range paper.Steps {
			if s.BackStop == 0 {
				continue
			}
			named++
			p := copied(paper)
			p.Steps[i].BackStop++
			if found := judged(t, p, part); len(found) != 1 || found[0].Cause != robot.BackStopWrong || found[0].Step != s.Number {
				t.Errorf("%s, step %d: a stop a millimetre off: %v", file, s.Number, found)
			}
		}
	}
	if papers < 12 || named < 8 {
		t.Errorf("only %d stops on %d papers", named, papers)
	}
}

// TestPlanNamesTheBackStop: a plan on a brake with a stop says where it is set, as
// JSON beside gauge and as text, and else says what it says without. The leg of 34
// ends in a sheared edge behind a square bend: there it lies 34 behind the hinge
// line.
func TestPlanNamesTheBackStop(t *testing.T) {
	const file = "shop/rail-bracket.json"
	brake, without := withStop(t, lowStop), planned(t, file)
	with := planned(t, file, "-brake", brake)
	var stops []string
	for i, step := range with["order"].([]any) {
		s := step.(map[string]any)
		if stop, has := s["back_stop"]; has {
			stops = append(stops, fmt.Sprintf("step %d: %.6f", i+1, stop))
			delete(s, "back_stop")
		}
	}
	if !slices.Equal(stops, []string{"step 2: 34.000000"}) {
		t.Errorf("stops: %v", stops)
	}
	for _, plan := range []map[string]any{with, without} {
		delete(plan, "searched")
	}
	if difference := cmp.Diff(maps.Clone(without), with); difference != "" {
		t.Errorf("the plan is another (-without +with):\n%s", difference)
	}
	text := runs(t, "plan", file, "-brake", brake).out
	if strings.Count(text, "back stop") != 1 || !strings.Contains(text, "back stop  34.00 behind the hinge line, for the sheared edge of leg 3\n") {
		t.Errorf("the text says %q", text)
	}
	if high := runs(t, "plan", file, "-brake", withStop(t, `{"from": 12, "to": 900}`)).out; strings.Contains(high, "back stop") {
		t.Errorf("a stop of unknown height under the wide bar: %q", high)
	}
}
