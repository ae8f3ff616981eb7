package review_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"brakeside/server/internal/shoptest"
)

// exported are the errors of the readings that count in an export, in degrees and
// in their order, and how many of them are in tolerance.
func exported(t *testing.T, file string) (errors []float64, good, made int) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(file)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	for _, row := range rows[1:] {
		if row[at["corrected"]] != "yes" && row[at["state"]] != "reworked" { // as it came off the brake
			if made++; row[at["in_tolerance"]] == "yes" {
				good++
			}
		}
		if row[at["counts"]] != "yes" {
			continue
		}
		e, err := strconv.ParseFloat(row[at["error_deg"]], 64)
		if err != nil {
			t.Fatal(err)
		}
		errors = append(errors, e)
	}
	return errors, good, made
}

// Every figure that the review gives of a group is worked out once more from its own
// export, by a general library and by the textbook's constants: nothing here is
// taken from the room of statistics. Constants for single readings (1.128, 2.66) and
// for groups of five (2.326 and 0.577): NIST/SEMATECH e-Handbook, 6.3.2, from memory.
func TestFiguresFromTheExport(t *testing.T) {
	s, session := shoptest.Many(t)
	_, file := s.Get("/review.csv", session)
	errors, good, made := exported(t, file)
	n := float64(len(errors))
	mean, spread := stat.MeanStdDev(errors, nil)
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(0.975) * spread / math.Sqrt(n)
	worst, range1 := 0.0, 0.0
	for i, e := range errors {
		if math.Abs(e) > math.Abs(worst) {
			worst = e
		}
		if i > 0 {
			range1 += math.Abs(e-errors[i-1]) / (n - 1)
		}
	}
	groups, ranges, middle := 0.0, 0.0, 0.0
	for i := 0; i+5 <= len(errors); i += 5 {
		low, high := math.Inf(1), math.Inf(-1)
		for _, e := range errors[i : i+5] {
			low, high = min(low, e), max(high, e)
		}
		groups, ranges, middle = groups+1, ranges+high-low, middle+stat.Mean(errors[i:i+5], nil)
	}
	ranges, middle = ranges/groups, middle/groups

	root, _ := s.OwnerPage(session, "/review/cell?material=mild-steel&thickness=1.50+mm&bar=wide&brake=leaf+brake+1.2+m")
	words := shoptest.WordsIn(root)
	figure := `([-+]?[0-9]+\.[0-9]+)`
	for _, c := range []struct {
		name, pattern string
		want          []float64
		within        float64
	}{
		{"mean", `Mean error ` + figure + `°`, []float64{mean}, 0.006},
		{"worst", `Worst ` + figure + `°`, []float64{worst}, 0.051},
		{"spread", `Spread ` + figure + `°`, []float64{spread}, 0.006},
		{"interval", `True mean, 95 % ` + figure + `° to ` + figure + `°`, []float64{mean - half, mean + half}, 0.011}, // the rounding to tenths has a share in it
		{"limits", `three standard deviations away: ` + figure + `° to ` + figure + `°`, []float64{mean - 2.66*range1, mean + 2.66*range1}, 0.011},
		{"spread in groups", `Spread inside a group ` + figure + `°`, []float64{ranges / 2.326}, 0.006},
		{"limits of groups", `Limits ` + figure + `° to ` + figure + `°, from the spread inside the groups`, []float64{middle - 0.577*ranges, middle + 0.577*ranges}, 0.011},
	} {
		found := regexp.MustCompile(c.pattern).FindStringSubmatch(words)
		if found == nil {
			t.Errorf("the page gives no %s: %s", c.name, words)
			continue
		}
		for i, want := range c.want {
			if got, _ := strconv.ParseFloat(found[i+1], 64); math.Abs(got-want) > c.within {
				t.Errorf("%s: %v, from the export %v", c.name, found[i+1], want)
			}
		}
	}
	if want := fmt.Sprintf("n %d ", len(errors)); !strings.Contains(words, want) {
		t.Errorf("the page does not say %q", want)
	}
	root, _ = s.OwnerPage(session, "/review")
	row := shoptest.Row(t, shoptest.All(root, shoptest.Named("table"))[0], "mild-steel")
	for at, want := range map[int]string{4: fmt.Sprint(len(errors)), 8: fmt.Sprintf("%d of %d", good, made)} {
		if !strings.HasPrefix(row[at], want) {
			t.Errorf("column %d of the group is %q, from the export %q", at, row[at], want)
		}
	}
	for at, want := range map[int]float64{5: mean, 7: spread} {
		if got, err := strconv.ParseFloat(strings.TrimSuffix(row[at], "°"), 64); err != nil || math.Abs(got-want) > 0.0051 {
			t.Errorf("column %d of the group is %q, from the export %v", at, row[at], want)
		}
	}
}
