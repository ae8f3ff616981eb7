package calc_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/figures"
	"brakeside/calc/fitting"
	"brakeside/calc/order"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

var outsiderParts = flag.Int("outsider", 0, "how many drawn parts the outsider goes through whole, and the suite; 0 for a share of a few")

// drawing draws parts by a seed.
type drawing struct{ *rand.Rand }

func (d drawing) half(low, high int) float64 { return float64(2*low+d.IntN(2*(high-low)+1)) / 2 }

func one[T any](d drawing, of ...T) T { return of[d.IntN(len(of))] }

// part is the text of a part of a kind by its number.
func (d drawing) part(n int) string {
	head := fmt.Sprintf(`{"number":"R%d","material":"%s","thickness":%v,"inside_radius":1,`, n, one(d, "mild-steel", "304", "5251-H22"), one(d, 0.8, 1, 1.2))
	switch n % 4 {
	case 0:
		return head + d.profile()
	case 1:
		return head + d.tray(false)
	case 2:
		return head + d.tray(true)
	}
	return head + d.flat()
}

func (d drawing) profile() string {
	n := 1 + d.IntN(5)
	legs, bends := []string{fmt.Sprint(d.half(10, 90))}, []string{}
	for range n {
		legs = append(legs, fmt.Sprint(d.half(10, 60)))
		bends = append(bends, fmt.Sprint(one(d, 90, 90, -90, 45, -45, 30, -60, 110, -111, 119)))
	}
	return fmt.Sprintf(`"profile":{"length":%v,"legs":[%s],"bends":[%s]}}`, d.half(40, 700), strings.Join(legs, ","), strings.Join(bends, ","))
}

// tray has walls that stand straight or lean, some with lips; hemmed, one ends in a
// hem.
func (d drawing) tray(hemmed bool) string {
	var walls []string
	left := 5
	for i, side := range []string{"front", "left", "back", "right"} {
		if left == 0 || i > 1 && d.IntN(4) == 0 {
			continue
		}
		rows := fmt.Sprintf(`{"leg":%v,"angle":%v}`, d.half(14, 75), one(d, 90, 90, 90, 75, 105, 110, 120, 60))
		left--
		switch {
		case hemmed && i == 0:
			rows += fmt.Sprintf(`,{"leg":%v,"hem":"%s"}`, d.half(8, 14), one(d, "closed", "open"))
			left--
		case left > 0 && d.IntN(4) == 0:
			rows += fmt.Sprintf(`,{"leg":%v,"angle":%v}`, d.half(10, 18), one(d, 90, -90, 45))
			left--
		}
		walls = append(walls, fmt.Sprintf(`"%s":[%s]`, side, rows))
	}
	return fmt.Sprintf(`"tray":{"base":[%v,%v],"walls":{%s},"corners":{"relief":"square","size":2,"gap":0.5}}}`, d.half(90, 300), d.half(90, 300), strings.Join(walls, ","))
}

// flat is a plate with tabs on its edges, of which one runs askew.
func (d drawing) flat() string {
	x, y, skew := d.half(150, 400), d.half(120, 250), d.half(0, 30)
	corners := [][2]float64{{0, 0}, {x, 0}, {x - skew, y}, {0, y}}
	faces := []string{fmt.Sprintf(`{"id":"plate","outline":%s}`, ring(corners))}
	var bends []string
	for i := range 1 + d.IntN(5) {
		edge := i % 4
		a, b := corners[edge], corners[(edge+1)%4]
		along := [2]float64{b[0] - a[0], b[1] - a[1]}
		long := math.Hypot(along[0], along[1])
		low := (0.05 + 0.3*d.Float64())
		high := low + 0.12
		if i < 4 {
			high = low + 0.1 + d.Float64()*(0.5-low)
		}
		if i > 3 {
			low, high = 0.86, 0.96 // a second tab on the first edge
		}
		out := [2]float64{along[1] / long, -along[0] / long}
		deep := d.half(10, 60)
		at := func(share, off float64) [2]float64 {
			return [2]float64{round(a[0] + along[0]*share + out[0]*off), round(a[1] + along[1]*share + out[1]*off)}
		}
		line := [][2]float64{at(low, 0), at(high, 0)}
		faces = append(faces, fmt.Sprintf(`{"id":"f%d","outline":%s}`, i, ring([][2]float64{at(low, 0), at(low, deep), at(high, deep), at(high, 0)})))
		bends = append(bends, fmt.Sprintf(`{"id":"b%d","between":["plate","f%d"],"line":%s,"angle":%v,"radius":1}`, i, i, ring(line), one(d, 90, -90, 45, -30, 100, -110)))
	}
	return fmt.Sprintf(`"flat":{"faces":[%s],"bends":[%s]}}`, strings.Join(faces, ","), strings.Join(bends, ","))
}

func round(v float64) float64 { return math.Round(v*100) / 100 }

func ring(corners [][2]float64) string {
	var out []string
	for _, c := range corners {
		out = append(out, fmt.Sprintf("[%v,%v]", c[0], c[1]))
	}
	return "[" + strings.Join(out, ",") + "]"
}

// outsiderBrakes are the brakes that the parts are brought to in turn.
func outsiderBrakes(t *testing.T) []*brake.Brake {
	return []*brake.Brake{suite.Brake(t), suite.Brake(t), topLeaf(t)}
}

// drawnParts are so many parts with the brakes they are brought to.
func drawnParts(t *testing.T, count int, yield func(name string, p part.Part, k *brake.Brake)) {
	t.Helper()
	brakes := outsiderBrakes(t)
	for n := 0; n < count; n++ {
		text := drawing{rand.New(rand.NewPCG(20261201, uint64(n)))}.part(n)
		p, err := part.Read([]byte(text))
		if err != nil {
			t.Fatalf("part %d: %v\n%s", n, err, text)
		}
		yield(text, p, brakes[n/4%len(brakes)])
	}
}

// share is of how many questions one is looked at: each, or in a plain run few.
func share() int {
	if *outsiderParts > 0 {
		return 1
	}
	return 25
}

// judge has the outsider look at every way to bend a part.
func judge(t *testing.T, name string, p part.Part, k *brake.Brake) (ways int) {
	t.Helper()
	if t.Failed() {
		return 0 // one part on which something is wrong is enough
	}
	blank, err := figures.Shop{}.Develop(p)
	if err != nil {
		return 0
	}
	draft := process.New(blank, k)
	s := fitting.New(draft)
	if len(s.Operations) > 6 {
		return 0
	}
	everyWay(draft, s, share(), func(made order.Made, a order.Action, w *setting) {
		ways++
		if words := w.wrong(0); words != "" {
			t.Errorf("%s\nonce %b is made: bend %d, side %d, %s bar, %s leaf, %s: %s", name, made, a.Bend, a.Side, a.Bar, a.Leaf, a.Place, words)
		}
	})
	return ways
}

// No way that the planner offers collides, on any step of any order.
func TestNoWayCollides(t *testing.T) {
	suite.Unraced(t)
	ways, parts := 0, 0
	count := *outsiderParts
	if count == 0 {
		count = 8
	}
	drawnParts(t, count, func(name string, p part.Part, k *brake.Brake) {
		n := judge(t, name, p, k)
		if ways += n; n > 0 {
			parts++
		}
	})
	t.Logf("%d ways of %d parts", ways, parts)
}

// Nor does any on the parts of the suite.
func TestNoWayOfTheSuiteCollides(t *testing.T) {
	suite.Unraced(t)
	for name := range suite.Verdicts(t) {
		judge(t, name, suite.Part(t, name), suite.Brake(t))
	}
}

// The parts on which the planner once saw a collision where there is none: a wall that
// leans in over the bar's end, a tab that is not cut free, a flange that is passed
// where the bar is drawn back by 11 mm.
func TestWhatWasCalledImpossible(t *testing.T) {
	suite.Unraced(t)
	for _, name := range []string{"undercut-min", "flat-29", "flat-64"} {
		data, err := os.ReadFile("../testdata/cases/" + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		plan := suite.Work(t, suite.Read(t, data), suite.Brake(t), calc.Options{})
		if !plan.Feasible {
			t.Errorf("%s cannot be made: %+v", name, plan.Blocked)
		}
		for _, s := range plan.Steps {
			if name == "flat-64" && s.SlideOut != "" {
				t.Errorf("%s step %d: the bar is slid out", name, s.Number)
			}
		}
	}
}
