package calc_test

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	jsonpatch "github.com/evanphx/json-patch/v5"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/testdata/suite"
)

var curedParts = flag.Int("cures", 5, "how many random parts have their cures made; from 20 on those of the cases too")

// files are a part file beside the file of the brake it is to be bent on.
type files struct {
	name        string
	part, brake []byte
}

// Every cure is true: its patch, applied to the file by a library that nothing else of
// this test shares with the planner, gives a part or a brake with which the part can
// be bent, or with which none of the named bends is in the way any more.
func TestCuresAreTrue(t *testing.T) {
	suite.Unraced(t)
	all := cureBenches(t)
	count := map[process.Freed]int{}
	for _, b := range all {
		plan := workFiles(t, b)
		if plan == nil || plan.Feasible {
			continue
		}
		for _, blocked := range plan.Blocked {
			for _, cure := range blocked.Cures {
				count[cure.Frees]++
				made(t, b, blocked, cure)
			}
		}
	}
	if count[process.FreesPart] < 20 {
		t.Errorf("%d cures free a part, too few to tell anything", count[process.FreesPart])
	}
	t.Logf("%d files, cures by what they free: %v", len(all), count)
}

// made makes one cure and plans what comes of it.
func made(t *testing.T, b files, blocked process.Blocked, cure process.Cure) {
	t.Helper()
	text, err := json.Marshal(cure.Patch)
	if err != nil {
		t.Fatal(err)
	}
	patch, err := jsonpatch.DecodePatch(text)
	if err != nil {
		t.Fatalf("%s: %s: %v", b.name, text, err)
	}
	file := map[process.Subject]*[]byte{process.OfPart: &b.part, process.OfBrake: &b.brake}[cure.Of]
	if *file, err = patch.Apply(*file); err != nil {
		t.Errorf("%s: %q does not apply: %v", b.name, cure.Change, err)
		return
	}
	plan := workFiles(t, b)
	switch {
	case plan == nil:
		t.Errorf("%s: %q gives a part that is refused", b.name, cure.Change)
	case cure.Frees == process.FreesPart && !plan.Feasible:
		t.Errorf("%s: %q does not free the part: %v", b.name, cure.Change, bendsOf(plan))
	case cure.Frees == process.FreesBends && !strings.Contains(cure.Change, "these bends only"):
		t.Errorf("%s: %q does not say that it frees some bends only", b.name, cure.Change)
	}
	for _, id := range blocked.Bends {
		if plan != nil && cure.Frees == process.FreesBends && slices.Contains(bendsOf(plan), id) {
			t.Errorf("%s: %q leaves bend %s in the way", b.name, cure.Change, id)
		}
	}
}

// bendsOf lists the bends that stand in the way.
func bendsOf(p *process.Plan) (ids []string) {
	for _, b := range p.Blocked {
		ids = append(ids, b.Bends...)
	}
	return ids
}

// workFiles plans a part file on a brake file; nil for what is refused.
func workFiles(t *testing.T, b files) *process.Plan {
	t.Helper()
	k, err := brake.Read(b.brake)
	if err != nil {
		t.Fatalf("%s: %v", b.name, err)
	}
	p, err := part.Read(b.part)
	if err != nil {
		return nil
	}
	plan, err := calc.Work(p, k, calc.Options{})
	if err != nil {
		return nil
	}
	return plan
}

// cureBenches are the suite, the cases that are not too long, and random parts.
func cureBenches(t *testing.T) []files {
	t.Helper()
	read := func(name string) []byte {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	reference, shop := read("../testdata/suite/brake.json"), read("../cmd/brakeside/shop/brake.json")
	var out []files
	patterns := []string{"../testdata/suite/parts/*.json", "../testdata/cases/*.json"}
	if *curedParts < 20 {
		patterns = patterns[:1]
	}
	for _, pattern := range patterns {
		found, err := filepath.Glob(pattern)
		if err != nil || found == nil {
			t.Fatalf("%s: %v", pattern, err)
		}
		for _, file := range found {
			name := filepath.Base(file)
			if strings.HasPrefix(name, "long-") || strings.HasPrefix(name, "recess") {
				continue // they can be bent, and take long
			}
			b := files{name, read(file), reference}
			if name[0] >= '0' && name[0] <= '9' {
				b.brake = shop
			}
			out = append(out, b)
		}
	}
	for seed := range *curedParts {
		out = append(out, files{fmt.Sprintf("seed %d", seed), hardPart(uint64(seed)), reference})
	}
	return out
}

// hardPart draws a part of up to five bends that is likely to be hard to bend: small
// legs, bends to and fro, thick sheet, long parts, trays with lips.
func hardPart(seed uint64) []byte {
	draw := rand.New(rand.NewPCG(seed, 20))
	pick := func(from, to int) int { return from + draw.IntN(to-from+1) }
	head := fmt.Sprintf(`{"number":"R-%d","material":%q,"thickness":%.1f,"sizes":%q,`, seed,
		[]string{"mild-steel", "304", "5251-H22"}[draw.IntN(3)], []float64{0.8, 1, 1.2, 1.5, 2}[draw.IntN(5)],
		[]string{"outside", "inside"}[draw.IntN(2)])
	if draw.IntN(3) == 0 {
		wall := func() string {
			w := fmt.Sprintf(`{"leg":%d,"angle":%d}`, pick(20, 120), pick(80, 110))
			if draw.IntN(3) == 0 {
				w += fmt.Sprintf(`,{"leg":%d,"angle":%d}`, pick(8, 25), []int{90, -90, 45}[draw.IntN(3)])
			}
			return w
		}
		return []byte(head + fmt.Sprintf(`"tray":{"base":[%d,%d],"walls":{"left":[%s],"front":[%s],"back":[%s]}}}`,
			pick(60, 400), pick(60, 400), wall(), wall(), wall()))
	}
	n := pick(1, 5)
	legs, bends := []string{}, []string{}
	for i := range n + 1 {
		legs = append(legs, fmt.Sprint(pick(9, 70)))
		if i > 0 {
			bends = append(bends, fmt.Sprint([]int{1, -1}[draw.IntN(2)]*[]int{90, 90, 90, 60, 120, 135}[draw.IntN(6)]))
		}
	}
	return []byte(head + fmt.Sprintf(`"profile":{"length":%d,"legs":[%s],"bends":[%s]}}`, pick(80, 1400), strings.Join(legs, ","), strings.Join(bends, ",")))
}
