package measure_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"brakeside/calc/fault"
	"brakeside/calc/figures"
	"brakeside/calc/flat"
	"brakeside/calc/measure"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

// drafted develops a part; false where no metal can do it.
func drafted(t *testing.T, text string) (*flat.Blank, bool) {
	t.Helper()
	plan, err := figures.Shop{}.Draft(suite.Read(t, []byte(text)))
	if fault.KindOf(err) == fault.Invalid {
		return nil, false
	}
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return plan.Blank, true
}

// head draws everything of a part file but its shape.
func head(chance *rand.Rand) string {
	pick := func(of ...string) string { return of[chance.IntN(len(of))] }
	return fmt.Sprintf(`{"number":"R","material":"mild-steel","thickness":%s,"inside_radius":%s,"sizes":"%s","over_90":"%s",`,
		pick("0.8", "1", "1.5", "2"), pick("0.5", "1.5", "3"), pick("outside", "inside"), pick("apex", "tangent"))
}

// steps puts joints in any order, one a step.
func steps(chance *rand.Rand, joints int) [][]int {
	var out [][]int
	for _, j := range chance.Perm(joints) {
		out = append(out, []int{j})
	}
	return out
}

// whenMade is the step after which all of some joints are made.
func whenMade(order [][]int, joints ...int) int {
	last := 0
	for _, j := range joints {
		last = max(last, slices.IndexFunc(order, func(s []int) bool { return s[0] == j }))
	}
	return last
}

// Every leg of a profile is the check of exactly one step, the first after which
// the bends at both its ends are made, and as large as the part file draws it.
func TestChecksAreTheDrawnLegs(t *testing.T) {
	chance := rand.New(rand.NewPCG(13, 1))
	for done := 0; done < 1000; {
		bends := 1 + chance.IntN(6)
		var legs []float64
		var angles []string
		for range bends {
			angle := 20 + chance.IntN(116)
			angles = append(angles, fmt.Sprint(angle*(1-2*chance.IntN(2))))
		}
		var written []string
		for range bends + 1 {
			legs = append(legs, 30+float64(chance.IntN(1000))/10)
			written = append(written, fmt.Sprint(legs[len(legs)-1]))
		}
		text := head(chance) + `"profile":{"length":200,"legs":[` + strings.Join(written, ",") + `],"bends":[` + strings.Join(angles, ",") + `]}}`
		b, ok := drafted(t, text)
		if !ok {
			continue
		}
		done++
		order := steps(chance, bends)
		times := make([]int, len(legs))
		for s, checks := range measure.Checks(b, order) {
			for _, c := range checks {
				i := b.FaceIndex(c.Face)
				times[i]++
				ends := slices.DeleteFunc([]int{i - 1, i}, func(j int) bool { return j < 0 || j >= bends })
				if want := whenMade(order, ends...); s != want || c.Kind != process.LegCheck || math.Abs(float64(c.Size)-legs[i]) > 1e-9 {
					t.Fatalf("%s: %s %v after step %d, drawn %v and there after step %d", text, c.Face, c.Size, s, legs[i], want)
				}
			}
		}
		if slices.Min(times) != 1 || slices.Max(times) != 1 {
			t.Fatalf("%s: checked %v times", text, times)
		}
	}
}

// Every wall and lip of a tray is checked once as drawn, and the base both ways
// when all is bent.
func TestChecksOfTrays(t *testing.T) {
	chance := rand.New(rand.NewPCG(13, 2))
	for done := 0; done < 200; {
		sizes := map[string]float64{}
		var walls []string
		for _, side := range []string{"left", "right", "front", "back"} {
			wall, lip := 25+float64(chance.IntN(300))/10, 14+float64(chance.IntN(80))/10
			sizes[side] = wall
			entry := fmt.Sprintf(`"%s":[{"leg":%v}`, side, wall)
			switch chance.IntN(4) {
			case 0:
				entry += fmt.Sprintf(`,{"leg":%v,"angle":%d}`, lip, 90-180*chance.IntN(2))
				sizes[side+".2"] = lip
			case 1:
				entry += fmt.Sprintf(`,{"leg":%v,"hem":"%s"}`, lip, []string{"open", "closed"}[chance.IntN(2)])
				sizes[side+".2"] = lip
			}
			walls = append(walls, entry+"]")
		}
		text := head(chance) + `"tray":{"base":[260,190],"walls":{` + strings.Join(walls, ",") + `}}}`
		b, ok := drafted(t, text)
		if !ok {
			continue
		}
		done++
		order := steps(chance, len(b.Joints))
		var base []float64
		for s, checks := range measure.Checks(b, order) {
			for _, c := range checks {
				want, open := sizes[c.Face]
				if c.Kind == process.HemCheck && b.Part.Sizes == part.Inside {
					want += float64(b.Sheet.Thickness) // over the fold, not in it
				}
				switch {
				case c.Face == "base" && c.Kind == process.OverallCheck && s == len(order)-1:
					base = append(base, math.Round(float64(c.Size)*1e6)/1e6)
				case !open || math.Abs(float64(c.Size)-want) > 1e-9 || c.Kind == process.OverallCheck:
					t.Fatalf("%s: %s %s %v after step %d, drawn %v", text, c.Kind, c.Face, c.Size, s, want)
				}
				delete(sizes, c.Face)
			}
		}
		if slices.Sort(base); len(sizes) > 0 || !slices.Equal(base, []float64{190, 260}) {
			t.Fatalf("%s: not checked %v, base %v", text, sizes, base)
		}
	}
}

// The shorter side of an angle is the smaller of the two legs beside it.
func TestShortest(t *testing.T) {
	b, _ := drafted(t, `{"number":"L","material":"mild-steel","thickness":1,"profile":{"length":90,"legs":[40,25,60],"bends":[90,-120]}}`)
	legs := measure.Legs(b)
	suite.Near(t, "b1", float64(measure.Shortest(legs, 0)), 25, 1e-9)
	suite.Near(t, "b2", float64(measure.Shortest(legs, 1)), 25, 1e-9)
	if got := measure.Shortest(nil, 0); got != 0 {
		t.Errorf("no legs: %v", got)
	}
}
