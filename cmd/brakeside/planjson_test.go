package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// keptPlans are the plans of parts on the demo brake: some take seconds, and
// several tests look at each.
var keptPlans sync.Map

// planText runs plan -json for a part, once when nothing more is asked.
func planText(t testing.TB, file string, more ...string) outcome {
	t.Helper()
	if kept, ok := keptPlans.Load(file); ok && more == nil {
		return kept.(outcome)
	}
	o := runs(t, append([]string{"plan", file, "-json"}, more...)...)
	if more == nil {
		keptPlans.Store(file, o)
	}
	return o
}

// planned gives the JSON of plan for a part.
func planned(t testing.TB, file string, more ...string) map[string]any {
	t.Helper()
	o := planText(t, file, more...)
	if o.err != "" || (o.code != exitFine && o.code != exitUnbendable) {
		t.Fatalf("plan %s: exit %d, %s", file, o.code, o.err)
	}
	var plan map[string]any
	if err := json.Unmarshal([]byte(o.out), &plan); err != nil {
		t.Fatalf("plan %s: %v", file, err)
	}
	if feasible := plan["feasible"].(bool); feasible != (o.code == exitFine) {
		t.Errorf("plan %s: feasible %t with exit code %d", file, feasible, o.code)
	}
	return plan
}

// partFiles are the parts whose plans are kept in testdata/expected.
func partFiles(t *testing.T) []string {
	t.Helper()
	var files []string
	for _, at := range []struct {
		pattern string
		fewest  int
	}{{"../../testdata/suite/parts/*.json", 12}, {"../../testdata/parts/*.json", 12}, {"shop/*-*.json", 3}} {
		found, err := filepath.Glob(at.pattern)
		if err != nil || len(found) < at.fewest {
			t.Fatalf("%s: %d parts, %v; want at least %d", at.pattern, len(found), err, at.fewest)
		}
		files = append(files, found...)
	}
	return files
}

func nameOf(file string) string { return strings.TrimSuffix(filepath.Base(file), ".json") }

// TestPlanJSON compares every plan with the one kept. After a change that is
// meant to alter plans, run with -update and read the difference.
func TestPlanJSON(t *testing.T) {
	const folder = "../../testdata/expected"
	if *update {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	var used []string
	for _, file := range partFiles(t) {
		name := nameOf(file) + ".json"
		used = append(used, name)
		t.Run(name, func(t *testing.T) {
			got := steady(planText(t, file).out)
			kept := filepath.Join(folder, name)
			if *update {
				if err := os.WriteFile(kept, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(kept)
			if err != nil {
				t.Fatalf("no plan is kept for this part: %v", err)
			}
			if difference := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); difference != "" {
				t.Errorf("plan %s -json (-want +got):\n%s", file, difference)
			}
		})
	}
	slices.Sort(used)
	wantListing(t, folder, used...)
}

var (
	longNumber = regexp.MustCompile(`-?\d+(\.\d{7,}(e[-+]\d+)?|(\.\d+)?e[-+]\d+)\b`)
	pointLines = regexp.MustCompile(`\[\s+(-?[\d.]+),\s+(-?[\d.]+)\s+\]`)
	searchedOf = regexp.MustCompile(`,\s+"searched": \{[^}]*\}`)
)

// steady is a plan without what may differ between machines and from run to
// run: digits past the millionth, and how much was searched in what time.
// Points are put on one line, for reading.
func steady(text string) string {
	text = longNumber.ReplaceAllStringFunc(text, func(n string) string {
		v, err := strconv.ParseFloat(n, 64)
		if err != nil {
			return n
		}
		return strconv.FormatFloat(math.Round(v*1e6)/1e6+0, 'f', -1, 64)
	})
	return pointLines.ReplaceAllString(searchedOf.ReplaceAllString(text, ""), "[$1, $2]")
}

// kinds of JSON values.
const (
	aText   = "string"
	aNumber = "float64"
	aTruth  = "bool"
	aList   = "[]interface {}"
	aThing  = "map[string]interface {}"
	none    = "<nil>"
)

// promised are the fields of plan -json that others rely on, by their path; *
// stands for every element. The first kind is that of a feasible plan.
var promised = []struct{ path, kinds string }{
	{"part", aText}, {"revision", aText}, {"material", aText}, {"thickness", aNumber},
	{"blank.size", aList}, {"blank.size.*", aNumber}, {"blank.area", aNumber}, {"blank.mass_kg", aNumber},
	{"blank.outline", aList}, {"blank.outline.*", aList}, {"blank.outline.*.*", aNumber},
	{"blank.bend_lines", aList}, {"blank.bend_lines.*.bend", aText}, {"blank.bend_lines.*.line.*.*", aNumber},
	{"blank.bend_lines.*.tangents.*.*.*", aNumber}, {"blank.bend_lines.*.nose", aList + " " + none},
	{"bends.*.id", aText}, {"bends.*.angle", aNumber}, {"bends.*.radius", aNumber}, {"bends.*.k", aNumber}, {"bends.*.allowance", aNumber},
	{"bends.*.deduction", aNumber}, {"bends.*.outside_setback", aNumber}, {"bends.*.least_flange", aNumber}, {"bends.*.springback", aNumber},
	{"feasible", aTruth}, {"proven_cheapest", aTruth}, {"minutes", aNumber},
	{"order.*.step", aNumber}, {"order.*.bend", aText}, {"order.*.turn_over", aTruth}, {"order.*.rotate", aNumber}, {"order.*.clamped", aText},
	{"order.*.bar", aText}, {"order.*.segments", aList}, {"order.*.segments.*", aNumber}, {"order.*.leaf", aText}, {"order.*.place", aText},
	{"order.*.nose_setback", aNumber}, {"order.*.stop", aNumber}, {"order.*.target", aNumber}, {"order.*.clearance", aNumber + " " + none},
	{"order.*.clearance_between", aList}, {"order.*.clearance_between.*", aText}, {"order.*.tight", aTruth}, {"order.*.cautions", aList}, {"order.*.cautions.*", aText},
	{"blocked", aList}, {"blocked.*.bends", aList}, {"blocked.*.bends.*", aText}, {"blocked.*.reason", aText}, {"blocked.*.why", aList}, {"blocked.*.why.*", aText},
	{"blocked.*.cures", aList}, {"blocked.*.cures.*.change", aText}, {"blocked.*.cures.*.kind", aText},
	{"blocked.*.cures.*.of", aText}, {"blocked.*.cures.*.frees", aText}, {"blocked.*.cures.*.patch", aList},
	{"searched.states", aNumber}, {"searched.checks", aNumber}, {"searched.ms", aNumber},
}

// TestPlanJSONFields: every promised field is there and of its kind, in every
// plan; each is seen at least once.
func TestPlanJSONFields(t *testing.T) {
	seen := map[string]bool{}
	for _, file := range partFiles(t) {
		plan := planned(t, file)
		for _, p := range promised {
			for _, value := range every(plan, strings.Split(p.path, ".")) {
				seen[p.path] = true
				if kind := fmt.Sprintf("%T", value); !slices.Contains(strings.Split(strings.ReplaceAll(p.kinds, " {}", "{}"), " "), strings.ReplaceAll(kind, " {}", "{}")) {
					t.Errorf("%s: %s is %v, a %s; want %s", file, p.path, value, kind, p.kinds)
				}
			}
		}
	}
	for _, p := range promised {
		if !seen[p.path] {
			t.Errorf("no plan has %s", p.path)
		}
	}
}

// missing stands for a field that is not there.
type missing struct{ name string }

// every gives the values at a path.
func every(value any, path []string) []any {
	if len(path) == 0 {
		return []any{value}
	}
	switch v := value.(type) {
	case map[string]any:
		inside, ok := v[path[0]]
		if !ok {
			return []any{missing{path[0]}}
		}
		return every(inside, path[1:])
	case []any:
		if path[0] != "*" {
			return []any{missing{path[0]}}
		}
		var all []any
		for _, e := range v {
			all = append(all, every(e, path[1:])...)
		}
		return all
	case nil:
		return nil
	}
	return []any{missing{path[0]}}
}

// TestPlanJSONValues holds the words and bounds that fields may have.
func TestPlanJSONValues(t *testing.T) {
	words := map[string][]string{
		"order.*.leaf": {"full", "slim"}, "order.*.place": {"middle", "past-left", "past-right"},
		"order.*.rotate": {"0", "90", "180", "270"}, "blocked.*.cures.*.kind": {"setup", "stock", "drawing", "split"},
	}
	for _, file := range partFiles(t) {
		plan := planned(t, file)
		for path, known := range words {
			for _, v := range every(plan, strings.Split(path, ".")) {
				if !slices.Contains(known, fmt.Sprint(v)) {
					t.Errorf("%s: %s is %v, want one of %q", file, path, v, known)
				}
			}
		}
		feasible := plan["feasible"].(bool)
		if blocked := plan["blocked"].([]any); feasible != (len(blocked) == 0) {
			t.Errorf("%s: feasible %t with %d blocked sets", file, feasible, len(blocked))
		}
		if order := plan["order"].([]any); feasible != (len(order) > 0) {
			t.Errorf("%s: feasible %t with %d steps", file, feasible, len(order))
		}
		for _, path := range []string{"searched.states", "searched.checks", "searched.ms"} {
			if v := every(plan, strings.Split(path, "."))[0].(float64); v <= 0 {
				t.Errorf("%s: %s is %v, want more than nothing", file, path, v)
			}
		}
	}
}

// TestPlanTwice: equal input gives equal bytes, also in another process.
func TestPlanTwice(t *testing.T) {
	timeTaken := regexp.MustCompile(`"ms": [0-9.]+`)
	for _, file := range partFiles(t) {
		first := timeTaken.ReplaceAllString(planText(t, file).out, "")
		apart := timeTaken.ReplaceAllString(runsAs(t, "brakeside", "plan", file, "-json").out, "")
		if first != apart || len(first) < 100 {
			t.Errorf("plan %s -json: two runs differ, of %d and %d bytes", file, len(first), len(apart))
		}
	}
}

// TestPlanQuantity: minutes that set the brake are shared over the pieces, so
// more pieces never cost more each, and the arithmetic of the metal stays.
func TestPlanQuantity(t *testing.T) {
	for _, file := range []string{"shop/drip-tray.json", "shop/rail-bracket.json", "shop/cable-cover.json"} {
		last := math.Inf(1)
		var blank any
		for _, quantity := range []string{"1", "6", "100", "1000000"} {
			plan := planned(t, file, "-qty", quantity)
			if minutes := plan["minutes"].(float64); minutes > last || minutes <= 0 {
				t.Errorf("%s: %v minutes a piece of %s, %v of fewer", file, minutes, quantity, last)
			} else {
				last = minutes
			}
			if got := fmt.Sprint(plan["quantity"]); got != quantity && got != "1e+06" {
				t.Errorf("%s: quantity %s, want %s", file, got, quantity)
			}
			lines := every(plan, []string{"blank", "bend_lines", "*", "line"})
			if blank != nil && !cmp.Equal(blank, any(lines)) {
				t.Errorf("%s: the bend lines change with the quantity", file)
			}
			blank = lines
		}
		if one := planned(t, file)["minutes"].(float64); last >= one {
			t.Errorf("%s: %v minutes a piece of a million, %v of one; want fewer", file, last, one)
		}
	}
}

// TestPlanOnSeveralBrakes: an array, an object a brake, in the order they were
// named, each as when it was asked for alone.
func TestPlanOnSeveralBrakes(t *testing.T) {
	const part, brakes = "shop/drip-tray.json", 2
	o := runs(t, "plan", "-brake", "../../testdata/suite/brake.json", part, "-json", "-brake", "shop/brake.json")
	var plans []map[string]any
	if err := json.Unmarshal([]byte(o.out), &plans); err != nil || len(plans) != brakes {
		t.Fatalf("%d plans, %v; want an array of %d", len(plans), err, brakes)
	}
	for i, file := range []string{"../../testdata/suite/brake.json", "shop/brake.json"} {
		alone := planned(t, part, "-brake", file)
		short, ok := plans[i]["in_short"].(map[string]any)
		size := alone["blank"].(map[string]any)["size"]
		if !ok || short["radius"] != "as drawn" || short["radius_true"] != true || short["no"] != "" || !cmp.Equal(short["blank"], size) {
			t.Errorf("in short: %v", plans[i]["in_short"])
		}
		delete(plans[i], "in_short")
		for _, plan := range []map[string]any{alone, plans[i]} {
			delete(plan, "searched")
		}
		if !cmp.Equal(alone, plans[i]) {
			t.Errorf("plan %d of several differs from that of %s alone: %s", i, file, cmp.Diff(alone, plans[i]))
		}
	}
	if names := slices.Sorted(maps.Keys(plans[0])); len(names) < 12 {
		t.Errorf("a plan of several has the fields %q only", names)
	}
}
