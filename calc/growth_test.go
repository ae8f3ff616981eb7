package calc_test

import (
	"flag"
	"fmt"
	"strings"
	"testing"
	"time"

	"brakeside/calc"
	"brakeside/testdata/suite"
)

var growth = flag.Bool("growth", false, "print how the search grows with the number of bends")

// stairs is a strip bent to and fro, each bend of 60 degrees, so that nearly every
// order can be made: the most states that a part of so many bends can ask for.
func stairs(bends int) string {
	legs, angles := []string{"30"}, []string{}
	for i := range bends {
		angle := "60"
		if i%2 == 1 {
			angle = "-60"
		}
		legs, angles = append(legs, "30"), append(angles, angle)
	}
	return fmt.Sprintf(`{"number":"S%d","material":"mild-steel","thickness":0.8,"inside_radius":1,"profile":{"length":300,"legs":[%s],"bends":[%s]}}`,
		bends, strings.Join(legs, ","), strings.Join(angles, ","))
}

// With -growth the table of DEVELOPERS.md is printed.
func TestGrowth(t *testing.T) {
	if !*growth {
		t.Skip("run by hand, with -growth: it takes a minute and prints figures of this machine")
	}
	k := suite.Brake(t)
	for n := 4; n <= 20; n++ {
		begin := time.Now()
		plan := suite.Work(t, suite.Read(t, []byte(stairs(n))), k, calc.Options{})
		took := time.Since(begin)
		verdict := "no order"
		switch {
		case plan.Undecided:
			verdict = "undecided"
		case plan.ProvenCheapest:
			verdict = "proven cheapest"
		case plan.Feasible:
			verdict = "best found"
		}
		fmt.Printf("| %d | %s | %d | %d | %.0f ms |\n", n, verdict, plan.Searched.States, plan.Searched.Checks, took.Seconds()*1000)
	}
}
