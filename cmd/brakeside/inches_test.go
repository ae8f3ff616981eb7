package main

import (
	"os"
	"path/filepath"
	"testing"

	"brakeside/calc"
	"brakeside/calc/unit"
	"brakeside/testdata/robot"
	"brakeside/testdata/suite"
	"brakeside/traveler"
)

// inchPaper is the traveler of a kept part in a shop that reads inches; nil where the
// part cannot be bent.
func inchPaper(t *testing.T, file string) []byte {
	t.Helper()
	plans, err := plansOn(file, []string{benchOf(file)}, calc.Options{Quantity: 5})
	if err != nil || noneFeasible(plans) != nil || len(plans[0].Plan.Steps) == 0 {
		return nil
	}
	issue := traveler.Issue{
		Code: "abcdefghjkmnpqrst", Base: "http://192.0.2.2:8080", Job: "J-9", IssuedAt: "2026-05-04T09:30:00Z", Units: unit.Inch, Paper: "letter",
	}
	made, err := traveler.Freeze(plans[0].Plan, issue)
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := printTraveler(made)
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

// Whoever reads inches and has only the paper folds the part that was drawn: the
// robot takes the inches for what they say, and the millimetres behind must agree.
func TestRobotFoldsInches(t *testing.T) {
	suite.Unraced(t)
	v := verdict{faults: map[robot.Cause]map[string]bool{}}
	for i, file := range drawnParts(t) {
		if !suite.InTurn(i, 0, 4) {
			continue
		}
		pdf := inchPaper(t, file)
		if pdf == nil {
			continue
		}
		part, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if crowded, err := robot.Crowded(pdf); err != nil || len(crowded) > 0 {
			t.Errorf("%s: %v %v", file, err, crowded)
		}
		v.judge(t, filepath.Base(file), paperRead(t, file, pdf), part)
	}
	if v.papers < 8 {
		t.Errorf("only %d of the kept parts have a paper", v.papers)
	}
	v.within(t, most(func(g gap) int { return g.drawn }))
}

// A part that is drawn in inches is printed in inches, another in millimetres.
func TestSheetIsInTheUnitsOfItsPart(t *testing.T) {
	file := filepath.Join(t.TempDir(), "part.json")
	for units, rest := range map[string]string{
		"in": `"thickness":0.048,"profile":{"length":18,"legs":[1.5,3.25],"bends":[90]}}`,
		"mm": `"thickness":1.2,"profile":{"length":457,"legs":[38,82],"bends":[90]}}`,
	} {
		text := `{"number":"IN-1","title":"Splice","units":"` + units + `","material":"mild-steel",` + rest
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		quantity := 1
		made, err := sheetOrder{part: file, quantity: &quantity}.freeze(streams{})
		if err != nil {
			t.Fatal(err)
		}
		if made.In().String() != units {
			t.Errorf("a part in %s is printed in %s", units, made.In())
		}
	}
}
