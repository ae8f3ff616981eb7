package looks_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

// axe gives the text of axe-core. It is not ours and not fetched by a test: the
// environment names the file, as .ci/run does with one of npm.
func axe(t *testing.T) string {
	t.Helper()
	file := os.Getenv("AXE_CORE")
	if file == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("AXE_CORE does not name the file axe.min.js of axe-core, and this run must not skip the check")
		}
		t.Skip("AXE_CORE names no file: npm install axe-core@4.10.2 and give its axe.min.js")
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// axeRules are all rules of axe-core, WCAG 2.2 and best practice; axeDarkRules are
// what is looked at again in dark colours. Drawings are left out of that: they are black
// on white in both, and axe does not see the white behind them.
const (
	axeRules     = `document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"]}`
	axeDarkRules = `{exclude: [["svg"]]}, {runOnly: {type: "rule", values: ["color-contrast"]}, resultTypes: ["violations"]}`
)

// Every page of the office passes axe-core, its rules of best practice too.
func TestOfficeIsAccessible(t *testing.T) {
	script := axe(t)
	for _, fill := range shoptest.Shops {
		s, session, samples := fill(t)
		tab := tabs(s, t, shoptest.Screen{Width: 1280, Height: 900, Touch: false}, session)
		for i, v := range samples {
			d, _ := tab(i)
			opens(d, v)
			accessible(d, v.Name, script)
		}
	}
}

// Every page at the brake passes axe-core as well.
func TestPhoneIsAccessible(t *testing.T) {
	script := axe(t)
	s, _ := shoptest.BusyShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	for _, v := range shoptest.PhoneViews {
		d.Open(v.Path)
		accessible(d, v.Name, script)
	}
}

// accessible fails for all that axe finds on the page that is open, light and dark.
func accessible(d *shoptest.Device, name, script string) {
	d.T.Helper()
	d.Do(chromedp.Evaluate[chromedp.Void](script))
	for _, f := range violations(d, axeRules) {
		d.T.Errorf("%s: %s", name, f)
	}
	d.Colours("dark")
	for _, f := range violations(d, axeDarkRules) {
		d.T.Errorf("%s, dark: %s", name, f)
	}
	d.Colours("light")
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
