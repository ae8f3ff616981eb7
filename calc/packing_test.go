package calc_test

import (
	"fmt"
	"math"
	"testing"

	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// chosenWays gives the ways to make the first operation of a part with one bar
// and the whole of what is behind the bend clamped.
func chosenWays(t *testing.T, text, bar string) (ways []*fitting.Chosen, own []float64) {
	t.Helper()
	blank, err := figures.Shop{}.Develop(suite.Read(t, []byte(text)))
	if err != nil {
		t.Fatal(err)
	}
	s := fitting.New(process.New(blank, suite.Brake(t)))
	for _, a := range s.Actions(0, 0) {
		if a.Bar == bar && a.Side == 1 && a.Leaf == "full" {
			ways, own = append(ways, s.Chosen(0, a)), append(own, float64(a.Own.Minutes))
		}
	}
	return ways, own
}

// The wide bar is 74 deep. A strip is laid where flat metal ends before the
// middle of it, and costs the minutes of the brake file (common practice, no
// source).
func TestPackingStripAtItsThreshold(t *testing.T) {
	angle := func(leg float64) string {
		return fmt.Sprintf(`{"number":"L","material":"mild-steel","thickness":1,"inside_radius":1,"profile":{"length":200,"legs":[30,%v],"bends":[90]}}`, leg)
	}
	ways, _ := chosenWays(t, angle(60), "wide")
	low := math.Inf(1)
	for _, p := range ways[0].Bench.Bar(ways[0].Bar) {
		low = min(low, p.X)
	}
	middle := low + 37 // the leg is measured from the hinge, the depth from the nose
	long, cheap := chosenWays(t, angle(middle+0.05), "wide")
	short, dear := chosenWays(t, angle(middle-0.05), "wide")
	if long[0].PackingStrip || !short[0].PackingStrip {
		t.Errorf("strip %v just beyond the middle, %v just before it", long[0].PackingStrip, short[0].PackingStrip)
	}
	// The leg of 30 swings: just heavier or lighter than the clamped one does not
	// change, so the strip is all of the difference.
	suite.Near(t, "minutes of a strip", dear[0]-cheap[0], suite.Brake(t).Minutes.PackingStrip, 1e-9)
}

// A narrow strip between two bends bears the bar together with the flat sheet
// behind it, and may be held by less than the least strip of the brake, 10 mm.
func TestFlatSheetBehindANarrowStripBearsTheBar(t *testing.T) {
	for _, leg := range []int{24, 11} {
		ways, _ := chosenWays(t, fmt.Sprintf(`{"number":"Z","material":"mild-steel","thickness":1,"inside_radius":1,
			"profile":{"length":200,"legs":[30,%d,120],"bends":[90,-90]}}`, leg), "wide")
		if len(ways) == 0 {
			t.Errorf("leg of %d: the wide bar does not hold it", leg)
		}
		for _, w := range ways {
			if w.PackingStrip {
				t.Errorf("leg of %d: a strip under flat sheet", leg)
			}
		}
	}
}
