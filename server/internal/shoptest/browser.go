package shoptest

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

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"brakeside/server/operator"
	"brakeside/server/web"
	"brakeside/traveler/progress"
)

// Pictures names a folder to write pictures of the pages to, for looking at.
var Pictures = flag.String("pictures", "", "folder to write pictures of the pages to")

// Patience bounds every wait for the browser.
const Patience = 20 * time.Second

// chromium is one browser for all tests of the package, started when first
// needed and stopped by Main.
var chromium = struct {
	sync.Once
	context context.Context
	stop    []context.CancelFunc
	err     error
}{}

// Main runs the tests of a package, and stops the browser they have shared.
func Main(m *testing.M) {
	flag.Parse()
	code := m.Run()
	for i := len(chromium.stop) - 1; i >= 0; i-- {
		chromium.stop[i]()
	}
	os.Exit(code)
}

// unseen are parts of the browser that no test looks at: pages it readies beside
// each tab, for its own address line and for whatever is opened next. They cost
// as much as the pages that are tested.
const unseen = "SpareRendererForSitePerProcess,PreloadTopChromeWebUI,WebUIOmniboxPopup,WebUIOmniboxFullPopup,WebUIOmniboxAimPopup," +
	"AimServerEligibilityEnabled"

func browser(t *testing.T) context.Context {
	t.Helper()
	options := Chromium(t)
	chromium.Do(func() {
		allocated, stop := chromedp.NewExecAllocator(context.Background(), options...)
		tab, close := chromedp.NewContext(allocated)
		chromium.context, chromium.stop = tab, []context.CancelFunc{stop, close}
		chromium.err = chromedp.Do(tab, chromedp.Navigate("about:blank"))
	})
	if chromium.err != nil {
		t.Fatalf("start chromium: %v", chromium.err)
	}
	return chromium.context
}

// Chromium gives what a browser is started with. Without one the test is skipped, but
// not where nothing may be.
func Chromium(t *testing.T) []chromedp.ExecAllocatorOption {
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
	return []chromedp.ExecAllocatorOption{chromedp.ExecPath(path), chromedp.Headless, chromedp.DisableGPU,
		chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck, chromedp.Flag("disable-features", unseen)}
}

// LANAddress is an address of this machine that is not its loopback: browsers
// treat the two differently, and phones use the former.
func LANAddress(t *testing.T) string {
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

// Device is a browser tab on a running shop.
type Device struct {
	*Shop
	T     *testing.T
	Tab   context.Context
	Base  string
	Posts *counter // of readings
	Wire  *counter // of bytes, both ways
}

// Screen is the size of a device, and whether fingers are used on it.
type Screen struct {
	Width, Height int64
	Touch         bool
}

// PhoneScreen is that of a small phone.
var PhoneScreen = Screen{360, 640, true}

// tabLasts bounds the life of a tab.
const tabLasts = 5 * time.Minute

// Use serves the shop on the network and opens a tab of a fresh browser profile.
func (s *Shop) Use(t *testing.T, size Screen) *Device {
	t.Helper()
	return s.UseBehind(t, size, s.Server.Handler().ServeHTTP)
}

// UseBehind is Use with something else before the pages.
func (s *Shop) UseBehind(t *testing.T, size Screen, pages http.HandlerFunc) *Device {
	t.Helper()
	parent := browser(t)
	base, posts, bytes := s.Serve(t, pages)
	tab, close := chromedp.NewContext(parent, chromedp.WithNewBrowserContext())
	t.Cleanup(close)
	tab, cancel := context.WithTimeout(tab, tabLasts)
	t.Cleanup(cancel)
	d := On(t, tab, size, base)
	d.Shop, d.Posts, d.Wire = s, posts, bytes
	return d
}

// On makes a tab a device whose protractor is known. It holds no shop.
func On(t *testing.T, tab context.Context, size Screen, base string) *Device {
	t.Helper()
	d := &Device{T: t, Tab: tab, Base: base}
	// The first use of a tab opens it, and it lives as long as the context of
	// that use.
	if err := chromedp.Do(tab, size.emulated()); err != nil {
		t.Fatal(err)
	}
	d.MovesClock()
	d.Cookie(operator.ProtractorCookie, progress.GivenBend)
	return d
}

// MovesClock gives all further pages of the tab a clock that can be moved.
func (d *Device) MovesClock() {
	d.T.Helper()
	script := page.AddScriptToEvaluateOnNewDocumentParams{Source: movable}
	if _, err := chromedp.Call(d.Tab, page.AddScriptToEvaluateOnNewDocument, script); err != nil {
		d.T.Fatal(err)
	}
}

// Serve serves the shop on the network until the test ends. It gives the address,
// and counts the readings that are posted and the bytes that go both ways.
func (s *Shop) Serve(t *testing.T, pages http.HandlerFunc) (base string, posts, bytes *counter) {
	t.Helper()
	listener, err := net.Listen("tcp", net.JoinHostPort(LANAddress(t), "0"))
	if err != nil {
		t.Fatal(err)
	}
	posts, bytes = new(counter), new(counter)
	running := s.Server.HTTP()
	running.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost && strings.HasSuffix(r.URL.Path, "/readings") {
			posts.add(1)
		}
		pages.ServeHTTP(w, r)
	})
	go running.Serve(wire{listener, bytes})
	t.Cleanup(func() { running.Close() })
	return "http://" + listener.Addr().String(), posts, bytes
}

// Cookie keeps something in the tab, as an earlier page would have; with no value
// the cookie goes.
func (d *Device) Cookie(name, value string) {
	d.T.Helper()
	if value == "" {
		if _, err := chromedp.Call(d.Tab, network.DeleteCookies, network.DeleteCookiesParams{Name: name, URL: d.Base + "/t/"}); err != nil {
			d.T.Fatal(err)
		}
		return
	}
	cookie := network.SetCookieParams{Name: name, Value: value, URL: d.Base + "/t/", Path: "/t/"}
	if _, err := chromedp.Call(d.Tab, network.SetCookie, cookie); err != nil {
		d.T.Fatal(err)
	}
}

// emulated makes a tab a device of that size.
func (s Screen) emulated() chromedp.Action[chromedp.Void] {
	var options []chromedp.EmulateViewportOption
	if s.Touch {
		options = append(options, chromedp.EmulateScale(2), chromedp.EmulatePortrait, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	return chromedp.EmulateViewport(s.Width, s.Height, options...)
}

// Becomes makes the device one of another size, with the page that is open laid
// out anew: there may be a bar to scroll with at its side.
func (d *Device) Becomes(size Screen) {
	d.T.Helper()
	d.Do(size.emulated())
	d.Until(fmt.Sprintf("Math.abs(document.documentElement.clientWidth - %d + 10) <= 10", size.Width))
}

// Do takes some steps, or fails the test.
func (d *Device) Do(steps ...chromedp.Action[chromedp.Void]) {
	d.T.Helper()
	if err := d.try(steps...); err != nil {
		d.fail(err)
	}
}

func (d *Device) try(steps ...chromedp.Action[chromedp.Void]) error {
	tab, cancel := context.WithTimeout(d.Tab, Patience)
	defer cancel()
	return chromedp.Do(tab, steps...)
}

func (d *Device) fail(err error) {
	d.T.Helper()
	d.Picture("failed-" + d.T.Name())
	d.T.Fatalf("in the browser: %v\npage: %s", err, d.Text())
}

// Open opens a page.
func (d *Device) Open(path string) { d.T.Helper(); d.Do(chromedp.Navigate(d.Base + path)) }

// Tap touches what a selector names; see waits for it to be seen. Where a script puts
// another in its place before the finger comes down, that is touched.
func (d *Device) Tap(selector string) {
	d.T.Helper()
	touch := []chromedp.Action[chromedp.Void]{chromedp.ScrollIntoView(selector), chromedp.Tap(selector)}
	switch err := d.try(touch...); {
	case err == nil:
	case strings.Contains(err.Error(), "Could not find node with given id"):
		d.Do(touch...)
	default:
		d.fail(err)
	}
}

// See waits until something is there to be seen.
func (d *Device) See(selector string) { d.T.Helper(); d.Do(chromedp.WaitVisible(selector)) }

// Until waits until a page is loaded whole and an expression is true in it. A
// page that goes away while it is watched is no failure: the next one is
// watched. No look takes longer than a part of the patience, since the browser
// does not always say that the page it was asked about is gone.
func (d *Device) Until(expression string) {
	d.T.Helper()
	tab, cancel := context.WithTimeout(d.Tab, Patience)
	defer cancel()
	for {
		look, end := context.WithTimeout(tab, Patience/10)
		_, err := chromedp.Run(look, chromedp.Poll[bool](`document.readyState === "complete" && (`+expression+`)`))
		end()
		if err == nil {
			return
		}
		if tab.Err() != nil {
			d.Picture("failed-" + d.T.Name())
			d.T.Fatalf("waiting for %s: %v\npage: %s", expression, err, d.Text())
		}
	}
}

// Text is what the page says.
func (d *Device) Text() string { return d.Eval("document.body.innerText") }

// Eval gives the value of an expression of the page, as text.
func (d *Device) Eval(expression string) string {
	d.T.Helper()
	tab, cancel := context.WithTimeout(d.Tab, Patience)
	defer cancel()
	text, err := chromedp.Run(tab, chromedp.Evaluate[string]("String("+expression+")"))
	if err != nil {
		return fmt.Sprintf("(%v)", err)
	}
	return text
}

// Says checks that the page holds each of the words.
func (d *Device) Says(words ...string) {
	d.T.Helper()
	text := d.Text()
	for _, w := range words {
		if !strings.Contains(text, w) {
			d.T.Errorf("the page lacks %q; it says:\n%s", w, text)
		}
	}
}

// SaysSoon waits until the page says a text, also one without script.
func (d *Device) SaysSoon(words string) {
	d.T.Helper()
	for end := time.Now().Add(Patience); !strings.Contains(d.Text(), words); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			d.T.Fatalf("the page never says %q; it says:\n%s", words, d.Text())
		}
	}
}

// Network switches the network of the tab off and on.
func (d *Device) Network(on bool) {
	d.T.Helper()
	state := network.OverrideNetworkStateParams{Offline: !on, DownloadThroughput: -1, UploadThroughput: -1}
	conditions := network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{}}
	if !on {
		conditions.MatchedNetworkConditions = append(conditions.MatchedNetworkConditions,
			&network.Conditions{Offline: true, DownloadThroughput: -1, UploadThroughput: -1})
	}
	if _, err := chromedp.Call(d.Tab, network.EmulateNetworkConditionsByRule, conditions); err != nil {
		d.T.Fatal(err)
	}
	if _, err := chromedp.Call(d.Tab, network.OverrideNetworkState, state); err != nil {
		d.T.Fatal(err)
	}
}

// WithoutScript turns scripts off.
func (d *Device) WithoutScript() {
	d.T.Helper()
	off := emulation.SetScriptExecutionDisabledParams{Value: true}
	if _, err := chromedp.Call(d.Tab, emulation.SetScriptExecutionDisabled, off); err != nil {
		d.T.Fatal(err)
	}
}

// Picture writes what the whole page looks like, when asked for.
func (d *Device) Picture(name string) { d.T.Helper(); d.picture(name, chromedp.FullScreenshot(100)) }

// Screen writes what is on the screen, when asked for.
func (d *Device) Screen(name string) { d.T.Helper(); d.picture(name, chromedp.CaptureScreenshot()) }

func (d *Device) picture(name string, shot chromedp.Action[[]byte]) {
	d.T.Helper()
	if *Pictures == "" {
		return
	}
	tab, cancel := context.WithTimeout(d.Tab, Patience)
	defer cancel()
	image, err := chromedp.Run(tab, shot)
	if err != nil {
		d.T.Logf("picture %s: %v", name, err)
		return
	}
	if err := os.WriteFile(filepath.Join(*Pictures, strings.ReplaceAll(name, "/", "-")+".png"), image, 0o644); err != nil {
		d.T.Fatal(err)
	}
}

// Stored gives how many readings the store has of a sheet.
func (d *Device) Stored(code string) int {
	d.T.Helper()
	readings, err := d.Store.Readings(context.Background(), code)
	if err != nil {
		d.T.Fatal(err)
	}
	return len(readings)
}

// SignInWith puts the owner's session into the tab.
func (d *Device) SignInWith(token string) {
	d.T.Helper()
	cookie := network.SetCookieParams{Name: web.SessionCookie, Value: token, URL: d.Base + "/"}
	if _, err := chromedp.Call(d.Tab, network.SetCookie, cookie); err != nil {
		d.T.Fatal(err)
	}
}

// Watch notes what a tab asks for outside the service, what its console
// complains of, and what goes wrong in its scripts, over all pages it opens.
func (d *Device) Watch() (complaints func() []string) {
	d.T.Helper()
	var lock sync.Mutex
	var said []string
	note := func(words string, values ...any) {
		lock.Lock()
		defer lock.Unlock()
		said = append(said, fmt.Sprintf(words, values...))
	}
	err := chromedp.Listen(d.Tab, func(event any) {
		switch e := event.(type) {
		case *network.EventRequestWillBeSent:
			u := e.Request.URL
			inside := strings.HasPrefix(u, d.Base) || strings.HasPrefix(u, "data:") || strings.HasPrefix(u, "blob:")
			if !inside && u != "about:blank" {
				note("asked outside for %s", u)
			}
		case *runtime.EventConsoleAPICalled:
			note("console: %s", e.Type)
		case *runtime.EventExceptionThrown:
			words := e.ExceptionDetails.Text
			if e.ExceptionDetails.Exception != nil {
				words += " " + e.ExceptionDetails.Exception.Description
			}
			note("script: %s", words)
		case *log.EventEntryAdded:
			// Hints to developers, about password stores for example; and that a test was in
			// a field before the page came to put the focus somewhere.
			hint := e.Entry.Level == log.EntryLevelVerbose || strings.HasPrefix(e.Entry.Text, "Autofocus processing was blocked")
			if !hint {
				note("browser: %s %s", e.Entry.Text, e.Entry.URL)
			}
		}
	})
	if err == nil {
		_, err = chromedp.Call(d.Tab, network.Enable, network.EnableParams{})
	}
	if err == nil {
		_, err = chromedp.Call(d.Tab, log.Enable, cdp.Empty{})
	}
	if err == nil {
		_, err = chromedp.Call(d.Tab, runtime.Enable, cdp.Empty{})
	}
	if err != nil {
		d.T.Fatal(err)
	}
	return func() []string {
		lock.Lock()
		defer lock.Unlock()
		out := said
		said = nil
		return out
	}
}

// AtDesk opens a tab of the size of a desk, signed in with a session.
func (s *Shop) AtDesk(t *testing.T, session *http.Cookie) (desk *Device, refused func(status int)) {
	t.Helper()
	desk = s.Use(t, Screen{1280, 900, false})
	desk.SignInWith(session.Value)
	return desk, desk.Quiet()
}

// Quiet fails the test for what the browser complains of in a tab, except for
// the refusals that the test asks for: each is named once it has been seen.
func (d *Device) Quiet() (refused func(status int)) {
	d.T.Helper()
	complaints := d.Watch()
	d.T.Cleanup(func() {
		for _, said := range complaints() {
			d.T.Errorf("the browser complains, or asked outside the service: %s", said)
		}
	})
	return func(status int) {
		d.T.Helper()
		said := complaints()
		if len(said) == 0 {
			d.T.Errorf("nothing was refused, want a status of %d", status)
		}
		for _, s := range said {
			if !strings.Contains(s, fmt.Sprintf("status of %d", status)) {
				d.T.Errorf("besides the refusal the browser complains: %s", s)
			}
		}
	}
}
