// Package suite reads and plans the development suite, twelve parts on one
// invented brake. It is for tests only; the files lie beside it.
package suite

import (
	"embed"
	"encoding/json"
	"math"
	"os"
	"strings"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/fold"
	"brakeside/calc/part"
	"brakeside/calc/process"
)

// Failer is the part of a test that rapid's tests have too.
type Failer interface {
	Helper()
	Errorf(format string, values ...any)
	Fatalf(format string, values ...any)
}

// Skipper is the part of a test that can be left out.
type Skipper interface {
	Helper()
	Skip(values ...any)
}

// Unraced leaves a test of one goroutine out where the race detector looks on, which
// would only make it ten times slower: .ci/run calls those once without.
func Unraced(t Skipper) {
	t.Helper()
	if raced {
		t.Skip("one goroutine: run without the race detector")
	}
}

// InTurn reports whether the i-th of many things is tried in one of so many ways: every
// way where CI is true, else one way each, so that all ways come round.
func InTurn(i, way, ways int) bool {
	return i%ways == way || os.Getenv("CI") == "true"
}

// Near fails a test whose figure is farther than by from the one wanted.
func Near(t Failer, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

//go:embed *.json parts/*.json
var files embed.FS

func file(t Failer, name string) []byte {
	t.Helper()
	data, err := files.ReadFile(name)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return data
}

// Brake is the invented brake of the suite.
func Brake(t Failer) *brake.Brake {
	t.Helper()
	k, err := brake.Read(file(t, "brake.json"))
	if err != nil {
		t.Fatalf("%v", err)
	}
	return k
}

// Read reads a part file.
func Read(t Failer, text []byte) part.Part {
	t.Helper()
	p, err := part.Read(text)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return p
}

// Part is a part of the suite.
func Part(t Failer, name string) part.Part {
	t.Helper()
	return Read(t, file(t, "parts/"+name+".json"))
}

// Work plans a part that must not be refused.
func Work(t Failer, p part.Part, k *brake.Brake, o calc.Options) *process.Plan {
	t.Helper()
	plan, err := calc.Work(p, k, o)
	if err != nil {
		t.Fatalf("Work(%s) = %v", p.Number, err)
	}
	return plan
}

// Possible tells whether there is an order to bend a part in on a brake, without
// looking for what would help where there is none: that takes most of the time of
// planning such a part.
func Possible(t Failer, p part.Part, k *brake.Brake) bool {
	t.Helper()
	blank, err := figures.Shop{}.Develop(p)
	if err != nil {
		return false
	}
	if len(blank.Joints) > fold.MostJoints {
		return false
	}
	over := fitting.Formers(blank, k)
	if possible := fitting.Possible(blank, k); possible || len(over) == 0 {
		return possible
	}
	blank, err = figures.Shop{}.DevelopFor(p, over)
	return err == nil && fitting.Possible(blank, k)
}

// plans of the suite are worked out once.
var plans = map[string]*process.Plan{}

// Plan is the plan of a part of the suite, for looking at only.
func Plan(t Failer, name string) *process.Plan {
	t.Helper()
	if plans[name] == nil {
		plans[name] = Work(t, Part(t, name), Brake(t), calc.Options{})
	}
	return plans[name]
}

// Verdict is one part of the suite's own list of verdicts.
type Verdict struct {
	Verdict   string
	BlockedBy []string `json:"blocked_by"`
}

// Verdicts is that list, by the name of the part.
func Verdicts(t Failer) map[string]Verdict {
	t.Helper()
	var all map[string]Verdict
	if err := json.Unmarshal(file(t, "expected.json"), &all); err != nil {
		t.Fatalf("%v", err)
	}
	return all
}

// Cautions are all that a plan cautions of, one a line.
func Cautions(p *process.Plan) string {
	var texts []string
	for _, c := range p.Cautions {
		texts = append(texts, c.Text())
	}
	return strings.Join(texts, "\n")
}
