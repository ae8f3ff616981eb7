package calc_test

import (
	"os"
	"testing"

	"brakeside/calc"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// The cheapest order depends on how many pieces there are, so that a plan for one
// quantity is none for another: changing the bar is paid once a step, however many
// pieces follow.
func TestQuantityChangesPlans(t *testing.T) {
	file, err := os.ReadFile("../testdata/parts/offset-clip.json")
	if err != nil {
		t.Fatal(err)
	}
	bars := func(quantity int) (names []string) {
		plan, err := calc.Work(suite.Read(t, file), suite.Brake(t), calc.Options{Quantity: quantity, Run: process.ByStep})
		if err != nil || !plan.Feasible {
			t.Fatal(plan, err)
		}
		for _, s := range plan.Steps {
			names = append(names, s.Bar.Name)
		}
		return names
	}
	one, many := bars(1), bars(50)
	if one[0] != "wide" || one[1] != "wide" || many[0] != "narrow" {
		t.Errorf("one piece is bent under %q, fifty under %q: want one bar for one, and the narrow one first for fifty", one, many)
	}
}
