package bend

import (
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"brakeside/testdata/checks"
)

// recorder is a test that may fail without failing this one.
type recorder struct {
	testing.TB
	said []string
}

func (r *recorder) Helper() {}

func (r *recorder) Errorf(format string, values ...any) {
	r.said = append(r.said, fmt.Sprintf(format, values...))
}

func (r *recorder) Fatalf(format string, values ...any) {
	r.Errorf(format, values...)
	runtime.Goexit()
}

// watch runs a test of its own and gives what it complained of.
func watch(t *testing.T, run func(testing.TB)) string {
	t.Helper()
	r := &recorder{TB: t}
	done := make(chan bool)
	go func() {
		defer close(done)
		run(r)
	}()
	<-done
	return strings.Join(r.said, "; ")
}

// The page of checks notices what it is there to notice.
func TestPageOfChecksNotices(t *testing.T) {
	row := checks.Row{ID: "x1", Source: "a book"}
	compare := func(published any, ours float64) func(testing.TB) {
		return func(t testing.TB) {
			new(checks.Page).Compare(t, row, checks.Value{Check: "k", Published: published, Ours: ours, Tolerance: 0.001})
		}
	}
	for _, test := range []struct {
		name string
		run  func(testing.TB)
		want string // empty: nothing to complain of
	}{
		{"a value that agrees", compare(json.Number("0.330"), 0.3305), ""},
		{"a value that is off", compare(json.Number("0.330"), 0.332), "x1 k: ours 0.332, published 0.330"},
		{"not a number of ours", compare(0.33, nan()), "ours NaN"},
		{"no published value", compare(nil, 1), "is not a number"},
		{"a row left out without a reason", func(t testing.TB) { new(checks.Page).LeaveOut(t, row) }, "does not say why"},
		{"a section that compares nothing", func(t testing.TB) { (&checks.Page{Name: "empty"}).Keep(t, checks.Verify) }, "compares nothing"},
		{"a section that is not kept", func(t testing.TB) {
			page := &checks.Page{Name: "never-kept"}
			page.Compare(t, row, checks.Value{Check: "k", Published: 1.0, Ours: 1})
			page.Keep(t, checks.Verify)
		}, "write it with -update"},
		{"a section that changed", func(t testing.TB) {
			page := &checks.Page{Name: "bend", Title: "Bends"}
			page.Compare(t, row, checks.Value{Check: "k", Published: 1.0, Ours: 1})
			page.Keep(t, checks.Verify)
		}, "bend.md is not what the tests find now"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := watch(t, test.run)
			if test.want == "" && got != "" || !strings.Contains(got, test.want) {
				t.Errorf("it says %q, want %q", got, test.want)
			}
		})
	}
}

// nan is not a number.
func nan() float64 {
	var zero float64
	return zero / zero
}
