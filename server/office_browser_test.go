package server

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
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
	for _, fill := range shops {
		s, session, samples := fill(t)
		tab := s.tabs(t, screen{1280, 900, false}, session)
		for i, v := range samples {
			d, _ := tab(i)
			d.opens(v)
			d.do(chromedp.Evaluate[chromedp.Void](script))
			for _, f := range d.violations(axeRules) {
				t.Errorf("%s: %s", v.name, f)
			}
			d.colours("dark")
			for _, f := range d.violations(axeDarkRules) {
				t.Errorf("%s, dark: %s", v.name, f)
			}
			d.colours("light")
		}
	}
}

// violations gives what axe finds on the page that is open.
func (d *device) violations(rules string) (found []string) {
	d.t.Helper()
	d.eval("window.found = 0, axe.run(" + rules + ").then(r => window.found = JSON.stringify(r.violations.map(v => v.id + ': ' + v.nodes.map(n => n.target + ' ' + n.failureSummary).join(' | '))))")
	d.until("typeof window.found === 'string'")
	if err := json.Unmarshal([]byte(d.eval("window.found")), &found); err != nil {
		d.t.Fatal(err)
	}
	return found
}

// watch notes what a tab asks for outside the service, what its console
// complains of, and what goes wrong in its scripts, over all pages it opens.
func (d *device) watch() (complaints func() []string) {
	d.t.Helper()
	var lock sync.Mutex
	var said []string
	note := func(words string, values ...any) {
		lock.Lock()
		defer lock.Unlock()
		said = append(said, fmt.Sprintf(words, values...))
	}
	err := chromedp.Listen(d.tab, func(event any) {
		switch e := event.(type) {
		case *network.EventRequestWillBeSent:
			if u := e.Request.URL; !strings.HasPrefix(u, d.base) && !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "blob:") && u != "about:blank" {
				note("asked outside for %s", u)
			}
		case *runtime.EventConsoleAPICalled:
			note("console: %s", e.Type)
		case *runtime.EventExceptionThrown:
			note("script: %s", e.ExceptionDetails.Text)
		case *log.EventEntryAdded:
			if e.Entry.Level != log.EntryLevelVerbose { // hints to developers, about password stores for example
				note("browser: %s %s", e.Entry.Text, e.Entry.URL)
			}
		}
	})
	if err == nil {
		_, err = chromedp.Call(d.tab, network.Enable, network.EnableParams{})
	}
	if err == nil {
		_, err = chromedp.Call(d.tab, log.Enable, cdp.Empty{})
	}
	if err == nil {
		_, err = chromedp.Call(d.tab, runtime.Enable, cdp.Empty{})
	}
	if err != nil {
		d.t.Fatal(err)
	}
	return func() []string {
		lock.Lock()
		defer lock.Unlock()
		out := said
		said = nil
		return out
	}
}
