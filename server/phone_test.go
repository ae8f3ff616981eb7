package server

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/store"
)

// pick is the key of the pad for an angle, and its like.
func pick(name, value string) string {
	return `label:has(input[name=` + name + `][value="` + value + `"])`
}

// The whole way of a reading in three taps, on the machine's network address:
// browsers treat it otherwise than the loopback.
func TestPhoneLogsABendInThreeTaps(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + strings.ToUpper(channelCode))
	if d.eval("isSecureContext") != "false" {
		t.Fatal("this page counts as secure: the test does not show what a phone on plain http can do")
	}
	d.says("STOP", "47.0", "45.0°", "opening 135.0°", "wide bar", "1.8 mm", "Rail foot")
	d.do(chromedp.SendKeys("#by", "AB"))
	d.tap(pick("pad", "45.2"))
	d.tap(pick("place", "right"))
	d.tap("button.main")
	d.until(`location.search.startsWith("?saved=")`)
	d.says("Right", "45.2° measured at the right", "45.0° wanted", "Next: piece 1, bend 2")
	if n := d.stored(channelCode); n != 1 || d.posts.value() != 1 {
		t.Errorf("%d readings stored from %d posts, want 1 from 1", n, d.posts.value())
	}
	d.tap("a.main")
	d.until(`document.title.startsWith("Piece 1, bend 2")`)
	if by := d.eval(`document.querySelector("#by").value`); by != "AB" {
		t.Errorf("the initials on the next page are %q, want AB remembered", by)
	}
}

func TestPhoneWithoutScript(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.withoutScript()
	d.open("/t/" + channelCode)
	d.tap(pick("pad", "44.8"))
	d.tap(pick("place", "left"))
	d.tap("button.main")
	d.see(".verdict.right")
	if n := d.stored(channelCode); n != 1 {
		t.Errorf("%d readings stored, want 1", n)
	}
	d.tap("a.main")
	d.see(".stop")
	d.do(chromedp.SendKeys("#typed", "88,1"))
	d.tap("button.main")
	d.see(".verdict.under")
	if n := d.stored(channelCode); n != 2 {
		t.Errorf("%d readings stored, want 2", n)
	}
}

func TestPhoneDoubleTapSavesOnce(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	d.tap(pick("pad", "45.0"))
	d.eval(`(() => { const save = document.querySelector("button.main"); save.click(); save.click(); save.form.requestSubmit(); })()`)
	d.until(`location.search.startsWith("?saved=")`)
	if n := d.stored(channelCode); n != 1 || d.posts.value() != 1 {
		t.Errorf("%d readings stored from %d posts, want 1 from 1", n, d.posts.value())
	}
}

// Readings made without a network wait on the phone, in their order, and are
// sent once when it is back.
func TestPhoneOffline(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	d.until(`performance.getEntriesByType("resource").filter((e) => /\/[123]$/.test(e.name)).length >= 3`)
	d.network(false)
	d.tap(pick("pad", "45.3"))
	d.tap("button.main")
	d.see("[data-go]")
	d.says("Right", "45.3°", "kept on this phone", "1 reading", "Next: piece 1, bend 2")
	d.picture("offline")
	d.tap("[data-go]")
	d.until(`document.querySelector("form.log [name=step]").value === "2" && !document.querySelector("form.log").hidden`)
	d.tap(pick("pad", "89.5"))
	d.tap("[data-nudge='-1']")
	d.tap("button.main")
	d.see(".verdict.under")
	d.says("Under-bent by 1.5°", "2 readings")
	if n := d.stored(channelCode); n != 0 || d.posts.value() != 0 {
		t.Fatalf("%d readings stored and %d posts without a network, want none", n, d.posts.value())
	}
	d.network(true)
	d.until(`location.search.startsWith("?saved=") && localStorage.getItem("brakeside-unsent") === "[]"`)
	d.says("Under-bent by 1.5°")
	if n := d.stored(channelCode); n != 2 || d.posts.value() != 2 {
		t.Errorf("%d readings stored from %d posts, want 2 from 2", n, d.posts.value())
	}
}

// A phone that was put away with unsent readings sends them when a page of the
// service is opened again.
func TestPhoneSendsWhatWasLeft(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	d.network(false)
	d.tap(pick("pad", "45.1"))
	d.tap("button.main")
	d.see(".verdict.right")
	// The page would send by itself the moment the network is back, and turn.
	d.eval(`window.fetch = () => new Promise(() => {})`)
	d.network(true)
	d.open("/t/" + trayCode)
	d.until(`localStorage.getItem("brakeside-unsent") === "[]"`)
	if n := d.stored(channelCode); n != 1 {
		t.Errorf("%d readings stored, want 1", n)
	}
}

// 135 for a bend of 45 is the opening; the page asks and takes either answer.
func TestPhoneAsksBeforeItSavesAnOddAngle(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	d.do(chromedp.SendKeys("#typed", "135"))
	d.tap("button.main")
	d.see(".verdict.ask")
	d.says("Not saved yet", "Save it as opening 135")
	d.picture("ask")
	if n := d.stored(channelCode); n != 0 {
		t.Fatalf("%d readings stored before the answer, want none", n)
	}
	d.tap("button.main")
	d.see(".verdict.right")
	d.says("45.0° measured", "Given as an opening of 135.0°")
	d.until(`localStorage.getItem("brakeside-unsent") === "[]"`)
	d.tap("a.main")
	d.until(`document.title.startsWith("Piece 1, bend 2")`)
	if pad := d.eval(`document.querySelector("[name=pad_as]").value`); pad != "opening" {
		t.Errorf("the pad shows the %s angle next time, want opening as was chosen", pad)
	}
}

func TestPhoneStopsOnAReplacedSheet(t *testing.T) {
	s := openShop(t)
	d := s.use(t, phoneScreen)
	d.open("/t/" + channelCode)
	newer := channel()
	newer.Code, newer.Part.Revision = "newerm4xq2pvr9tab", "D"
	s.issue(newer, channelCode)
	d.tap(pick("pad", "45.0"))
	d.tap("button.main")
	d.see(".verdict.halt")
	d.says("This sheet has been replaced", "Revision: D, was C")
	d.tap("a.main")
	d.until(`location.pathname === "/t/newerm4xq2pvr9tab"`)
	d.until(`localStorage.getItem("brakeside-unsent") === "[]"`)
	if n := d.stored(channelCode); n != 1 {
		t.Errorf("%d readings stored on a replaced sheet, want the one that was bent", n)
	}
}

// Going back to a page that was sent gives a fresh one, with an id of its own.
func TestPhoneBackButton(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	first := d.eval(`document.querySelector("form.log [name=id]").value`)
	d.tap(pick("pad", "45.0"))
	d.tap("button.main")
	d.until(`location.search.startsWith("?saved=")`)
	d.do(chromedp.NavigateBack())
	d.see("form.log")
	if again := d.eval(`document.querySelector("form.log [name=id]").value`); again == first || again == "" {
		t.Errorf("the page has the id %q after going back, want another than %q", again, first)
	}
}

func TestPhoneTargetsAreLargeEnough(t *testing.T) {
	d := openShop(t).use(t, phoneScreen)
	d.open("/t/" + channelCode)
	small := d.eval(`[...document.querySelectorAll("button, a, .pad label, .pick label, input[type=text], summary")]
		.filter((e) => e.offsetParent && (e.getBoundingClientRect().height < 55.5 || e.getBoundingClientRect().width < 48))
		.map((e) => e.outerHTML.slice(0, 80)).join("\n")`)
	if small != "" {
		t.Errorf("too small for a gloved finger (56 high, 48 wide):\n%s", small)
	}
}

func TestOwnerSignsInAndSeesProgressMove(t *testing.T) {
	s := openShop(t)
	s.setPassword()
	d := s.use(t, screen{1280, 800, false})
	d.open("/")
	d.until(`location.pathname === "/signin"`)
	d.do(chromedp.SendKeys("#password", password))
	d.do(chromedp.Click("button.main"))
	d.until(`location.pathname === "/" && document.querySelector("#jobs") !== null`)
	d.says("J-1041", "0 / 9")
	s.record(channelCode, `{"id":"x1","piece":1,"step":1,"measured":45}`)
	d.until(`document.querySelector("#jobs").innerText.includes("1 / 9")`)
	d.open("/jobs/" + channelCode)
	d.do(chromedp.SendKeys("#"+store.EventClosed, "all made"), chromedp.Click(`form:has(#`+store.EventClosed+`) button`))
	d.until(`document.body.innerText.includes("This sheet is closed")`)
}

// No page may ask another host for anything, and none may break its own policy.
func TestPagesKeepToThemselves(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	s.recordFirstPiece()
	d := s.use(t, screen{1280, 800, false})
	d.signInWith(session.Value)
	for _, path := range []string{"/", "/jobs/" + channelCode, "/review", "/parts", "/t/" + channelCode, "/t/" + channelCode + "?saved=f2"} {
		d.do(chromedp.Navigate("about:blank"))
		d.open(path)
		foreign := d.eval(`performance.getEntriesByType("resource").map((e) => new URL(e.name)).filter((u) => u.host !== location.host).join(" ")`)
		if foreign != "" {
			t.Errorf("%s asks for %s", path, foreign)
		}
		if n := d.eval(`document.querySelectorAll("script:not([src]), style, [style], [onclick]").length`); n != "0" {
			t.Errorf("%s has %s inline scripts or styles", path, n)
		}
	}
}
