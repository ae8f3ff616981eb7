package server

import (
	"context"
	"flag"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// pictures names a folder to write pictures of the pages to, for looking at.
var pictures = flag.String("pictures", "", "folder to write pictures of the pages to")

// patience bounds every wait for the browser.
const patience = 20 * time.Second

// chromium is one browser for all tests of the package, started when first
// needed and stopped by TestMain.
var chromium = struct {
	sync.Once
	context context.Context
	stop    []context.CancelFunc
	err     error
}{}

func TestMain(m *testing.M) {
	flag.Parse()
	code := m.Run()
	for i := len(chromium.stop) - 1; i >= 0; i-- {
		chromium.stop[i]()
	}
	os.Exit(code)
}

func browser(t *testing.T) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is not installed, and this run must not skip the browser tests")
		}
		t.Skip("chromium is not installed: apt-get install chromium")
	}
	chromium.Do(func() {
		allocated, stop := chromedp.NewExecAllocator(context.Background(), chromedp.ExecPath(path), chromedp.Headless, chromedp.DisableGPU,
			chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck)
		tab, close := chromedp.NewContext(allocated)
		chromium.context, chromium.stop = tab, []context.CancelFunc{stop, close}
		chromium.err = chromedp.Do(tab, chromedp.Navigate("about:blank"))
	})
	if chromium.err != nil {
		t.Fatalf("start chromium: %v", chromium.err)
	}
	return chromium.context
}

// lanAddress is an address of this machine that is not its loopback: browsers
// treat the two differently, and phones use the former.
func lanAddress(t *testing.T) string {
	t.Helper()
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range addresses {
		if own, ok := a.(*net.IPNet); ok && own.IP.To4() != nil && !own.IP.IsLoopback() {
			return own.IP.String()
		}
	}
	t.Skip("this machine has no network address besides its loopback")
	return ""
}

// device is a browser tab on a running shop.
type device struct {
	*shop
	t     *testing.T
	tab   context.Context
	base  string
	posts *counter
}

// counter counts the readings that were posted.
type counter struct {
	sync.Mutex
	n int
}

func (c *counter) add() {
	c.Lock()
	defer c.Unlock()
	c.n++
}

func (c *counter) value() int {
	c.Lock()
	defer c.Unlock()
	return c.n
}

// screen is the size of a device, and whether fingers are used on it.
type screen struct {
	width, height int64
	touch         bool
}

var phoneScreen = screen{360, 740, true}

// use serves the shop on the network and opens a tab of a fresh browser profile.
func (s *shop) use(t *testing.T, size screen) *device {
	t.Helper()
	return s.useBehind(t, size, s.server.Handler().ServeHTTP)
}

// useBehind is use with something else before the pages.
func (s *shop) useBehind(t *testing.T, size screen, pages http.HandlerFunc) *device {
	t.Helper()
	parent := browser(t)
	listener, err := net.Listen("tcp", net.JoinHostPort(lanAddress(t), "0"))
	if err != nil {
		t.Fatal(err)
	}
	posts := new(counter)
	running := s.server.HTTP()
	running.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/readings") {
			posts.add()
		}
		pages.ServeHTTP(w, r)
	})
	go running.Serve(listener)
	t.Cleanup(func() { running.Close() })
	tab, close := chromedp.NewContext(parent, chromedp.WithNewBrowserContext())
	t.Cleanup(close)
	tab, cancel := context.WithTimeout(tab, 2*time.Minute)
	t.Cleanup(cancel)
	d := &device{shop: s, t: t, tab: tab, base: "http://" + listener.Addr().String(), posts: posts}
	var options []chromedp.EmulateViewportOption
	if size.touch {
		options = append(options, chromedp.EmulateScale(2), chromedp.EmulatePortrait, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	// The first use of a tab opens it, and it lives as long as the context of
	// that use.
	if err := chromedp.Do(tab, chromedp.EmulateViewport(size.width, size.height, options...)); err != nil {
		t.Fatal(err)
	}
	return d
}

func (d *device) do(steps ...chromedp.Action[chromedp.Void]) {
	d.t.Helper()
	tab, cancel := context.WithTimeout(d.tab, patience)
	defer cancel()
	if err := chromedp.Do(tab, steps...); err != nil {
		d.picture("failed-" + d.t.Name())
		d.t.Fatalf("in the browser: %v\npage: %s", err, d.text())
	}
}

func (d *device) open(path string) { d.t.Helper(); d.do(chromedp.Navigate(d.base + path)) }

// tap touches what a selector names; see waits for it to be seen.
func (d *device) tap(selector string) {
	d.t.Helper()
	d.do(chromedp.ScrollIntoView(selector), chromedp.Tap(selector))
}

func (d *device) see(selector string) { d.t.Helper(); d.do(chromedp.WaitVisible(selector)) }

// until waits until a page is loaded whole and an expression is true in it. A
// page that goes away while it is watched is no failure: the next one is
// watched. No look takes longer than a part of the patience, since the browser
// does not always say that the page it was asked about is gone.
func (d *device) until(expression string) {
	d.t.Helper()
	tab, cancel := context.WithTimeout(d.tab, patience)
	defer cancel()
	for {
		look, end := context.WithTimeout(tab, patience/10)
		_, err := chromedp.Run(look, chromedp.Poll[bool](`document.readyState === "complete" && (`+expression+`)`))
		end()
		if err == nil {
			return
		}
		if tab.Err() != nil {
			d.picture("failed-" + d.t.Name())
			d.t.Fatalf("waiting for %s: %v\npage: %s", expression, err, d.text())
		}
	}
}

// text is what the page says.
func (d *device) text() string { return d.eval("document.body.innerText") }

func (d *device) eval(expression string) string {
	d.t.Helper()
	tab, cancel := context.WithTimeout(d.tab, patience)
	defer cancel()
	text, err := chromedp.Run(tab, chromedp.Evaluate[string]("String("+expression+")"))
	if err != nil {
		return fmt.Sprintf("(%v)", err)
	}
	return text
}

// says checks that the page holds each of the words.
func (d *device) says(words ...string) {
	d.t.Helper()
	text := d.text()
	for _, w := range words {
		if !strings.Contains(text, w) {
			d.t.Errorf("the page lacks %q; it says:\n%s", w, text)
		}
	}
}

// saysSoon waits until the page says a text, also one without script.
func (d *device) saysSoon(words string) {
	d.t.Helper()
	for end := time.Now().Add(patience); !strings.Contains(d.text(), words); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			d.t.Fatalf("the page never says %q; it says:\n%s", words, d.text())
		}
	}
}

// network switches the network of the tab off and on.
func (d *device) network(on bool) {
	d.t.Helper()
	state := network.OverrideNetworkStateParams{Offline: !on, DownloadThroughput: -1, UploadThroughput: -1}
	conditions := network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{}}
	if !on {
		conditions.MatchedNetworkConditions = append(conditions.MatchedNetworkConditions,
			&network.Conditions{Offline: true, DownloadThroughput: -1, UploadThroughput: -1})
	}
	if _, err := chromedp.Call(d.tab, network.EmulateNetworkConditionsByRule, conditions); err != nil {
		d.t.Fatal(err)
	}
	if _, err := chromedp.Call(d.tab, network.OverrideNetworkState, state); err != nil {
		d.t.Fatal(err)
	}
}

func (d *device) withoutScript() {
	d.t.Helper()
	if _, err := chromedp.Call(d.tab, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		d.t.Fatal(err)
	}
}

func (d *device) dark() { d.t.Helper(); d.colours("dark") }

// colours sets what the device prefers: light or dark.
func (d *device) colours(scheme string) {
	d.t.Helper()
	media := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}
	if _, err := chromedp.Call(d.tab, emulation.SetEmulatedMedia, media); err != nil {
		d.t.Fatal(err)
	}
}

// picture writes what the whole page looks like, when asked for.
func (d *device) picture(name string) {
	d.t.Helper()
	if *pictures == "" {
		return
	}
	tab, cancel := context.WithTimeout(d.tab, patience)
	defer cancel()
	image, err := chromedp.Run(tab, chromedp.FullScreenshot(100))
	if err != nil {
		d.t.Logf("picture %s: %v", name, err)
		return
	}
	if err := os.WriteFile(filepath.Join(*pictures, strings.ReplaceAll(name, "/", "-")+".png"), image, 0o644); err != nil {
		d.t.Fatal(err)
	}
}

// stored gives how many readings the store has of a sheet.
func (d *device) stored(code string) int {
	d.t.Helper()
	readings, err := d.store.Readings(context.Background(), code)
	if err != nil {
		d.t.Fatal(err)
	}
	return len(readings)
}

// signInWith puts the owner's session into the tab.
func (d *device) signInWith(token string) {
	d.t.Helper()
	cookie := network.SetCookieParams{Name: sessionCookie, Value: token, URL: d.base + "/"}
	if _, err := chromedp.Call(d.tab, network.SetCookie, cookie); err != nil {
		d.t.Fatal(err)
	}
}
