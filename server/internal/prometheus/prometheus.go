// Package prometheus reads a page of numbers in the Prometheus text format, for
// tests.
package prometheus

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// metricLine is a sample of the text format, version 0.0.4: a name, labels, a
// value. https://prometheus.io/docs/instrumenting/exposition_formats/
var metricLine = regexp.MustCompile(`^([a-z_]+)` +
	`(\{([a-z]+="(?:[^"\\\n]|\\\\|\\"|\\n)*"(?:,[a-z]+="(?:[^"\\\n]|\\\\|\\"|\\n)*")*)\})? ` +
	`(\S+)$`)

// Samples reads a page of metrics strictly: every sample follows the help and
// the type of its family, and no sample comes twice.
func Samples(t *testing.T, page string) map[string]float64 {
	t.Helper()
	found := make(map[string]float64)
	family, helped := "", ""
	if !strings.HasSuffix(page, "\n") {
		t.Error("the page does not end with a line end")
	}
	for line := range strings.Lines(page) {
		line = strings.TrimSuffix(line, "\n")
		if rest, is := strings.CutPrefix(line, "# HELP "); is {
			helped, _, _ = strings.Cut(rest, " ")
			continue
		}
		if rest, is := strings.CutPrefix(line, "# TYPE "); is {
			if family, _, _ = strings.Cut(rest, " "); family != helped {
				t.Errorf("type of %s after help of %s", family, helped)
			}
			continue
		}
		m := metricLine.FindStringSubmatch(line)
		if m == nil {
			t.Errorf("no sample: %q", line)
			continue
		}
		value, err := strconv.ParseFloat(m[4], 64)
		if _, twice := found[m[1]+m[2]]; err != nil || twice || !strings.HasPrefix(m[1], family) {
			t.Errorf("sample %q of family %s: %v, twice %v", line, family, err, twice)
		}
		found[m[1]+m[2]] = value
	}
	return found
}
