package main

import (
	"encoding/json"
	"testing"
)

// planned gives the JSON of plan for a part.
func planned(t testing.TB, file string, more ...string) map[string]any {
	t.Helper()
	o := runs(t, append([]string{"plan", file, "-json"}, more...)...)
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
