package looks_test

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

// axeVersion is the release of axe-core that the pages are checked with.
const axeVersion = "4.10.2"

// axe gives the text of axe-core, fetched once through npm into a folder of the
// machine's own temporary files.
func axe(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(os.TempDir(), "brakeside-axe-"+axeVersion)
	file := filepath.Join(folder, "node_modules", "axe-core", "axe.min.js")
	if _, err := os.Stat(file); err != nil {
		npm, err := exec.LookPath("npm")
		if err == nil {
			ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
			defer cancel()
			err = exec.CommandContext(ctx, npm, "install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", folder, "axe-core@"+axeVersion).Run()
		}
		if err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("axe-core cannot be had from npm, and this run must not skip the check: %v", err)
			}
			t.Skipf("axe-core cannot be had from npm: %v", err)
		}
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// axeRules are the levels of WCAG 2.2 that the pages are held to, and what is
// looked at again in dark colours. Drawings are left out of that: they are black
// on white in both, and axe does not see the white behind them.
const (
	axeRules     = `document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], resultTypes: ["violations"]}`
	axeDarkRules = `{exclude: [["svg"]]}, {runOnly: {type: "rule", values: ["color-contrast"]}, resultTypes: ["violations"]}`
)

// pagesATab is how many pages one tab opens in these tests.
const pagesATab = 6

// Every page of the office passes axe-core.
func TestOfficeIsAccessible(t *testing.T) {
	script := axe(t)
	for _, fill := range shoptest.Shops {
		s, session, samples := fill(t)
		tab := tabs(s, t, shoptest.Screen{Width: 1280, Height: 900, Touch: false}, session)
		for i, v := range samples {
			d, _ := tab(i)
			opens(d, v)
			d.Do(chromedp.Evaluate[chromedp.Void](script))
			for _, f := range violations(d, axeRules) {
				t.Errorf("%s: %s", v.Name, f)
			}
			d.Colours("dark")
			for _, f := range violations(d, axeDarkRules) {
				t.Errorf("%s, dark: %s", v.Name, f)
			}
			d.Colours("light")
		}
	}
}

// violations gives what axe finds on the page that is open.
func violations(d *shoptest.Device, rules string) (found []string) {
	d.T.Helper()
	d.Eval("window.found = 0, axe.run(" + rules + ").then(r => window.found = JSON.stringify(r.violations.map(v => v.id + ': ' + v.nodes.map(n => n.target + ' ' + n.failureSummary).join(' | '))))")
	d.Until("typeof window.found === 'string'")
	if err := json.Unmarshal([]byte(d.Eval("window.found")), &found); err != nil {
		d.T.Fatal(err)
	}
	return found
}
