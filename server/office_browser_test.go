package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"brakeside/server/store"
	"brakeside/traveler"
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

// axeRules are the levels of WCAG 2.2 that the pages are held to.
const axeRules = `{runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], resultTypes: ["violations"]}`

// pagesATab is how many pages one tab opens in these tests.
const pagesATab = 6

// Every page of the office passes axe-core.
func TestOfficeIsAccessible(t *testing.T) {
	script := axe(t)
	s, session, samples := officeSamples(t)
	var d *device
	for i, v := range samples {
		if i%pagesATab == 0 { // a tab lives for two minutes only
			d = s.use(t, screen{1280, 900, false})
			d.signInWith(session.Value)
		}
		d.open(v.path)
		d.do(chromedp.Evaluate[chromedp.Void](script))
		d.eval("axe.run(document, " + axeRules + ").then(r => window.found = JSON.stringify(r.violations.map(v => v.id + ': ' + v.nodes.map(n => n.target + ' ' + n.failureSummary).join(' | '))))")
		d.until("typeof window.found === 'string'")
		var found []string
		if err := json.Unmarshal([]byte(d.eval("window.found")), &found); err != nil {
			t.Fatalf("%s: %v", v.name, err)
		}
		for _, f := range found {
			t.Errorf("%s: %s", v.name, f)
		}
	}
}

// hosts notes what a tab asks for outside the service, and what its console
// complains of.
func (d *device) watch() (foreign func() []string) {
	d.t.Helper()
	if _, err := chromedp.Call(d.tab, network.Enable, network.EnableParams{}); err != nil {
		d.t.Fatal(err)
	}
	return func() []string {
		var asked []string
		text := d.eval("JSON.stringify(performance.getEntriesByType('resource').map(e => e.name))")
		if err := json.Unmarshal([]byte(text), &asked); err != nil {
			d.t.Fatalf("%v in %s", err, text)
		}
		var out []string
		for _, a := range asked {
			if !strings.HasPrefix(a, d.base) && !strings.HasPrefix(a, "data:") && !strings.HasPrefix(a, "blob:") {
				out = append(out, a)
			}
		}
		return out
	}
}

// The whole path: first run, a tray drawn in the form, planned and issued; a
// phone logs two pieces while the owner looks on; the sheet is replaced and the
// old code refused; export, backup and restore into a fresh folder give the same
// figures.
func TestWholePath(t *testing.T) {
	s, session := openOffice(t)
	ctx := context.Background()
	if err := s.store.KeepSetting(ctx, settingSetUp, ""); err != nil {
		t.Fatal(err)
	}
	desk := s.use(t, screen{1280, 900, false})
	foreign := desk.watch()
	desk.signInWith(session.Value)
	desk.open("/")
	desk.do(chromedp.SetValue("#f-shop", "Hollow Lane Sheet Works"), chromedp.SetValue("#f-address", desk.base), chromedp.Click("main button.main"))
	desk.see("#greeting")
	phone := s.use(t, phoneScreen)
	phone.open(strings.TrimPrefix(desk.eval("document.querySelector('#greeting .hint').textContent"), desk.base))
	phone.says("This phone gets there")
	desk.until("document.querySelector('#greeting.yes') !== null")

	desk.open("/parts/new?kind=tray")
	desk.do(chromedp.SetValue("#f-number", "DT-310"), chromedp.SetValue("#f-title", "Drip tray"))
	desk.do(chromedp.Evaluate[chromedp.Void]("(() => { const f = document.getElementById('f-tray-walls-back-0--leg'); f.value = '-5'; f.dispatchEvent(new Event('input', {bubbles: true})); })()"))
	desk.until("document.getElementById('f-tray-walls-back-0--leg').getAttribute('aria-invalid') === 'true'")
	desk.do(chromedp.Evaluate[chromedp.Void]("(() => { const f = document.getElementById('f-tray-walls-back-0--leg'); f.value = '60'; f.dispatchEvent(new Event('input', {bubbles: true})); })()"))
	desk.until("document.querySelectorAll('#drawing svg').length === 4 && document.getElementById('f-tray-walls-back-0--leg').getAttribute('aria-invalid') === null")
	desk.do(chromedp.Click("button[value=ready]"))
	desk.see(".state.ready")
	part := desk.eval("location.pathname.split('/').pop()")
	desk.open("/parts/" + part + "/plans")
	desk.says("can be bent", "minutes a piece")
	desk.open("/parts/" + part + "/bends?brake=" + s.newestBrake() + "&step=2")
	desk.do(chromedp.Evaluate[chromedp.Void]("(() => { const f = document.getElementById('angle'); f.value = '30'; f.dispatchEvent(new Event('input', {bubbles: true})); })()"))
	desk.until("document.getElementById('frame').src.endsWith('angle=30') && document.getElementById('frame').naturalWidth > 0")
	code := s.issueFor(part, "1041", session)
	desk.open("/jobs/" + code)

	sheet := phone.sheet(code)
	for n := range 2 * len(sheet.Steps) {
		step := sheet.Steps[n%len(sheet.Steps)]
		piece := 1 + n/len(sheet.Steps)
		s.record(code, fmt.Sprintf(`{"id":"w%d","piece":%d,"step":%d,"measured":%.1f,"by":"AB"}`, n, piece, step.Number, float64(step.Target.Deg())+0.2))
	}
	desk.until(fmt.Sprintf("document.body.innerText.includes('%d of %d')", 2, 2))
	next := exampleOf("tray", "DT-310", "B")
	newer := s.makeReady(next, session)
	s.send("/jobs", url.Values{"part": {newer}, "brake": {s.newestBrake()}, "job": {"1041"}, "quantity": {"2"}, "replaces": {code}, "reason": {"lower back wall"}}, session)
	phone.open("/t/" + code)
	phone.says("replaced")
	if asked := foreign(); len(asked) > 0 {
		t.Errorf("the page asked outside the service for %q", asked)
	}
	sameFiguresAfterRestore(t, s)
}

// sheet gives a sheet as it was issued.
func (d *device) sheet(code string) *traveler.Traveler {
	d.t.Helper()
	kept, err := d.store.TravelerByCode(context.Background(), code)
	if err != nil {
		d.t.Fatal(err)
	}
	return kept.Traveler
}

func sameFiguresAfterRestore(t *testing.T, s *shop) {
	t.Helper()
	ctx := context.Background()
	var before strings.Builder
	if err := WriteCSV(ctx, &before, s.store); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "copy.db")
	if err := s.store.Backup(ctx, copied); err != nil {
		t.Fatal(err)
	}
	fresh := filepath.Join(t.TempDir(), "fresh")
	if err := store.Restore(fresh, copied); err != nil {
		t.Fatal(err)
	}
	restored, err := store.Open(fresh, s.now)
	if err != nil {
		t.Fatal(err)
	}
	defer restored.Close()
	var after strings.Builder
	if err := WriteCSV(ctx, &after, restored); err != nil {
		t.Fatal(err)
	}
	if before.String() != after.String() || strings.Count(after.String(), "\n") < 9 {
		t.Errorf("the export after the restore differs, or is empty:\n%s\n%s", before.String(), after.String())
	}
}
