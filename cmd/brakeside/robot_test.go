package main

import (
	"flag"
	"fmt"
	"go/parser"
	"go/token"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"brakeside/testdata/robot"
	"brakeside/testdata/suite"
)

var invented = flag.Int("invented", 12, "how many invented parts the robot folds from their papers; 500 before a release")

// gap is how many papers may still have one kind of fault: of the drawn parts
// that can be bent, of the 12 invented ones of a plain run, and of 500.
type gap struct {
	cause            robot.Cause
	drawn, few, many int
}

// known are the faults of the paper that are known. A number that rises fails;
// the aim is an empty table.
var known = []gap{}

// most gives the limits of one column.
func most(column func(gap) int) map[robot.Cause]int {
	limits := map[robot.Cause]int{}
	for _, g := range known {
		limits[g.cause] = column(g)
	}
	return limits
}

// benchOf names the brake that a drawn part is bent on; empty is the demo's.
func benchOf(file string) string {
	name := filepath.Base(file)
	switch {
	case name == "recess-tray.json":
		return "../../testdata/cases/recess-tray-brake.json"
	case strings.Contains(file, "suite"):
		return "../../testdata/suite/brake.json"
	}
	for _, kind := range []string{"profile-", "tray-", "flat-", "long-", "undercut-"} {
		if strings.HasPrefix(name, kind) {
			return "../../testdata/suite/brake.json"
		}
	}
	return ""
}

// drawnParts lists the part files that are kept. The two that keep a planner
// busy for seconds and cannot be bent are left to the long run.
func drawnParts(t *testing.T) []string {
	t.Helper()
	var files []string
	for _, folder := range []string{"../../testdata/parts", "../../testdata/suite/parts", "shop", "../../testdata/cases"} {
		found, err := filepath.Glob(folder + "/*.json")
		if err != nil || found == nil {
			t.Fatalf("%s: %v", folder, err)
		}
		files = append(files, found...)
	}
	return slices.DeleteFunc(files, func(f string) bool {
		name := filepath.Base(f)
		return strings.HasSuffix(name, "brake.json") || strings.HasPrefix(name, "long-") && *invented < 500
	})
}

// paperOf prints the traveler of a part file and has the robot read it; false
// where the part cannot be bent on the demo's brake, or is none.
func paperOf(t *testing.T, file string) (*robot.Paper, bool) {
	t.Helper()
	pdf, ok := sheetOf(t, file)
	return paperRead(t, file, pdf), ok
}

// keptPaperRead is the traveler of a kept part as the robot reads it; false where the
// part cannot be bent on its brake.
func keptPaperRead(t *testing.T, file string) (*robot.Paper, bool) {
	t.Helper()
	pdf, ok := keptPaper(t, file)
	return paperRead(t, file, pdf), ok
}

// paperRead has the robot read a paper; nil of none.
func paperRead(t *testing.T, file string, pdf []byte) *robot.Paper {
	t.Helper()
	if pdf == nil {
		return nil
	}
	paper, err := robot.Read(pdf)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return paper
}

// verdict counts papers by what is wrong with them.
type verdict struct {
	papers int
	faults map[robot.Cause]map[string]bool // names of the parts
}

// judge folds one part from its paper and keeps what it found.
func (v *verdict) judge(t *testing.T, name string, paper *robot.Paper, part []byte) {
	t.Helper()
	found, err := robot.Judge(paper, part)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	v.papers++
	for _, f := range found {
		if v.faults[f.Cause] == nil {
			v.faults[f.Cause] = map[string]bool{}
		}
		v.faults[f.Cause][name] = true
		if testing.Verbose() {
			t.Logf("%s, step %d: %s: %s", name, f.Step, f.Cause, f.Words)
		}
	}
}

// within compares with the table.
func (v *verdict) within(t *testing.T, limits map[robot.Cause]int) {
	t.Helper()
	for cause := range limits {
		if v.faults[cause] == nil {
			v.faults[cause] = nil
		}
	}
	for _, cause := range slices.Sorted(maps.Keys(v.faults)) {
		names := slices.Sorted(maps.Keys(v.faults[cause]))
		switch {
		case len(names) > limits[cause]:
			t.Errorf("%d of %d papers, %d are known: %s\n  %s", len(names), v.papers, limits[cause], cause, strings.Join(names, " "))
		case len(names) < limits[cause]:
			t.Logf("only %d of %d papers now, %d in the table: %s", len(names), v.papers, limits[cause], cause)
		}
	}
}

// TestRobotFoldsDrawnParts: whoever has only the paper folds the part that was
// drawn, and every figure on the way can be touched and is true.
func TestRobotFoldsDrawnParts(t *testing.T) {
	suite.Unraced(t)
	v := verdict{faults: map[robot.Cause]map[string]bool{}}
	for _, file := range drawnParts(t) {
		part, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if paper, ok := keptPaperRead(t, file); ok {
			v.judge(t, filepath.Base(file), paper, part)
		}
	}
	if v.papers < 34 {
		t.Errorf("only %d of the kept parts have a paper", v.papers)
	}
	v.within(t, most(func(g gap) int { return g.drawn }))
}

// TestRobotFoldsInventedParts does the same with parts nobody drew.
func TestRobotFoldsInventedParts(t *testing.T) {
	suite.Unraced(t)
	const seed = 16
	v := verdict{faults: map[robot.Cause]map[string]bool{}}
	chance := rand.New(rand.NewPCG(seed, seed))
	file := filepath.Join(t.TempDir(), "part.json")
	for tried := 1; v.papers < *invented; tried++ {
		if tried > 20**invented {
			t.Fatalf("only %d of %d invented parts can be bent", v.papers, tried)
		}
		part := robot.Invent(chance, tried)
		if err := os.WriteFile(file, part, 0o600); err != nil {
			t.Fatal(err)
		}
		if paper, ok := paperOf(t, file); ok {
			v.judge(t, fmt.Sprintf("X-%d", tried), paper, part)
		}
	}
	switch {
	case *invented <= 12:
		v.within(t, most(func(g gap) int { return g.few }))
	default:
		v.within(t, most(func(g gap) int { return g.many }))
	}
}

// TestRobotSharesNoCode: an outside check uses nothing of what it judges.
func TestRobotSharesNoCode(t *testing.T) {
	files, err := filepath.Glob("../../testdata/robot/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		source, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range source.Imports {
			if strings.Contains(i.Path.Value, "brakeside") {
				t.Errorf("%s imports %s", f, i.Path.Value)
			}
		}
	}
}
