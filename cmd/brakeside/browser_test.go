package main

import (
	"context"
	"net"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// window is a window of a browser with a profile of its own.
type window struct {
	t   *testing.T
	tab context.Context
}

// browser starts a browser without a screen; the test ends it.
func browser(t *testing.T) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium-headless-shell") // the same engine without the window around it, at half the work
	if err != nil {
		path, err = exec.LookPath("chromium")
	}
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is not installed, and this run must not skip the browser tests")
		}
		t.Skip("chromium is not installed: apt-get install chromium")
	}
	allocated, stop := chromedp.NewExecAllocator(context.Background(), chromedp.ExecPath(path), chromedp.Headless, chromedp.DisableGPU,
		chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck)
	t.Cleanup(stop)
	started, end := chromedp.NewContext(allocated)
	t.Cleanup(end)
	if err := chromedp.Do(started, chromedp.Navigate("about:blank")); err != nil {
		t.Fatalf("start chromium: %v", err)
	}
	return started
}

// opened opens a window of some size.
func opened(t *testing.T, parent context.Context, width, height int64, options ...chromedp.EmulateViewportOption) window {
	t.Helper()
	tab, end := chromedp.NewContext(parent, chromedp.WithNewBrowserContext())
	t.Cleanup(end)
	tab, cancel := context.WithTimeout(tab, 4*testPatience)
	t.Cleanup(cancel)
	w := window{t, tab}
	if err := chromedp.Do(tab, chromedp.EmulateViewport(width, height, options...)); err != nil {
		t.Fatal(err)
	}
	return w
}

func (w window) do(steps ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	tab, cancel := context.WithTimeout(w.tab, testPatience)
	defer cancel()
	if err := chromedp.Do(tab, steps...); err != nil {
		w.t.Fatalf("in the browser: %v\npage: %s", err, w.text())
	}
}

// until waits until an expression is true in the page. A page that makes way for
// another while it is asked is no answer.
func (w window) until(expression string) {
	w.t.Helper()
	tab, cancel := context.WithTimeout(w.tab, testPatience)
	defer cancel()
	look := func() error {
		once, end := context.WithTimeout(tab, testPatience/10)
		defer end()
		_, err := chromedp.Run(once, chromedp.Poll[bool](`document.readyState === "complete" && (`+expression+`)`))
		return err
	}
	err := look()
	for err != nil && tab.Err() == nil {
		err = look()
	}
	if err != nil {
		w.t.Fatalf("waiting for %s: %v\npage: %s", expression, err, w.text())
	}
}

// text is what the page says, on one line.
func (w window) text() string {
	w.t.Helper()
	tab, cancel := context.WithTimeout(w.tab, testPatience)
	defer cancel()
	text, err := chromedp.Run(tab, chromedp.Evaluate[string]("document.body.innerText"))
	if err != nil {
		return err.Error()
	}
	return strings.Join(strings.Fields(text), " ")
}

func (w window) says(words ...string) {
	w.t.Helper()
	text := w.text()
	for _, each := range words {
		if !strings.Contains(text, each) {
			w.t.Errorf("the page lacks %q; it says: %s", each, text)
		}
	}
}

// TestWholePath goes through the real program as its people do: the demo is
// started, a phone opens the address that it prints, on the machine's network,
// and logs a bend; the owner signs in with the password that it prints and sees
// that bend, in the list of jobs and in the review.
func TestWholePath(t *testing.T) {
	screen := browser(t)
	r := starts(t, "demo", "-addr", net.JoinHostPort(ownAddress(t), "0"), "-data", t.TempDir())
	g := r.greeting()
	const bracket = 1 // the second job, twelve rail brackets
	sheet := g.base + "/t/" + g.codes[bracket]

	phone := opened(t, screen, 360, 740, chromedp.EmulateScale(2), chromedp.EmulatePortrait, chromedp.EmulateMobile, chromedp.EmulateTouch)
	phone.do(chromedp.Navigate(sheet))
	phone.says("Rail bracket", "Piece 1 of 12", "What does your protractor read")
	phone.do(chromedp.Tap(".convention button[value=bend]"))
	phone.until(`document.querySelector("main[data-ready]") !== null && document.querySelector(".convention") === null`)
	phone.says("STOP on the scale", "target 90.0", "Bar wide")
	phone.do(chromedp.SendKeys("#typed", "91,3"), chromedp.SendKeys("#by", "JK"), chromedp.Tap("form.log button.main"))
	phone.until(`document.querySelector(".verdict.over") !== null && queue.sent() === 1`)
	phone.says("Over-bent by 1.3°", "91.3°, piece 1, step 1", "Open it by hand")

	kept := state(t, g.base, g.codes[bracket])["readings"].([]any)
	if len(kept) != 1 || kept[0].(map[string]any)["error"] != 1.3 || kept[0].(map[string]any)["by"] != "JK" {
		t.Errorf("the service keeps %v, want one reading by JK, 1.3 over", kept)
	}

	office := opened(t, screen, 1280, 900)
	office.do(chromedp.Navigate(g.base + "/"))
	office.until(`location.pathname === "/signin"`)
	office.do(chromedp.SendKeys("#password", "not the password"), chromedp.Click("button.main"))
	office.until(`document.querySelector("[role=alert]") !== null`)
	office.do(chromedp.SendKeys("#password", g.password), chromedp.Click("button.main"))
	office.until(`location.pathname === "/"`)
	office.says("1041", "1042", "1043", "RB-120", "1012", "Ash Lane Boats")
	office.do(chromedp.Navigate(g.base + "/review"))
	office.says("mild-steel", "1.50", "wide", "DT-205")
	office.do(chromedp.Navigate(g.base + "/jobs/" + g.codes[bracket]))
	office.says("91.3°", "+1.3°", "JK")

	if _, printed := get(t, g.base+"/t/"+g.codes[0]+"/sheet.pdf"); printed != readText(t, g.sheet) {
		t.Error("the sheet that the service gives is not the one that the demo wrote")
	}

	began := time.Now()
	r.stop(syscall.SIGTERM)
	if took := time.Since(began); took > patience {
		t.Errorf("it took %s to end with two browsers open", took)
	}
}
