package hands_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
)

// The whole way of a reading in three taps, on the machine's network address:
// browsers treat it otherwise than the loopback.
func TestPhoneLogsABendInThreeTaps(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + strings.ToUpper(shoptest.ChannelCode))
	if d.Eval("isSecureContext") != "false" {
		t.Fatal("this page counts as secure: the test does not show what a phone on plain http can do")
	}
	d.Says("STOP", "47.0", "45.0°", "opening 135.0°", "wide bar", "1.8 mm", "Rail foot")
	d.Do(chromedp.SendKeys("#by", "AB"))
	d.Tap(shoptest.Pick("pad", "45.2"))
	d.Tap(shoptest.Pick("place", "right"))
	d.Tap("button.main")
	d.Until(`location.search.startsWith("?saved=")`)
	d.Says("Right", "45.2° measured at the right", "45.0° wanted", "Next: piece 1, bend 2")
	if n := d.Stored(shoptest.ChannelCode); n != 1 || d.Posts.Value() != 1 {
		t.Errorf("%d readings stored from %d posts, want 1 from 1", n, d.Posts.Value())
	}
	d.Tap("a.main")
	d.Until(`document.title.startsWith("Piece 1, bend 2")`)
	if by := d.Eval(`document.querySelector("#by").value`); by != "AB" {
		t.Errorf("the initials on the next page are %q, want AB remembered", by)
	}
}

func TestPhoneWithoutScript(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.WithoutScript()
	d.Open("/t/" + shoptest.ChannelCode)
	d.Tap(shoptest.Pick("pad", "44.8"))
	d.Tap(shoptest.Pick("place", "left"))
	d.Tap("button.main")
	d.See(".verdict.right")
	if n := d.Stored(shoptest.ChannelCode); n != 1 {
		t.Errorf("%d readings stored, want 1", n)
	}
	d.Tap("a.main")
	d.See(".stop")
	d.Do(chromedp.SendKeys("#typed", "88,1"))
	d.Tap("button.main")
	d.See(".verdict.under")
	if n := d.Stored(shoptest.ChannelCode); n != 2 {
		t.Errorf("%d readings stored, want 2", n)
	}
}

func TestPhoneDoubleTapSavesOnce(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Tap(shoptest.Pick("pad", "45.0"))
	d.Eval(`(() => { const save = document.querySelector("button.main"); save.click(); save.click(); save.form.requestSubmit(); })()`)
	d.Until(`location.search.startsWith("?saved=")`)
	if n := d.Stored(shoptest.ChannelCode); n != 1 || d.Posts.Value() != 1 {
		t.Errorf("%d readings stored from %d posts, want 1 from 1", n, d.Posts.Value())
	}
}

// Readings made without a network wait on the phone, in their order, and are
// sent once when it is back.
func TestPhoneOffline(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Until(`performance.getEntriesByType("resource").filter((e) => /\/[123]$/.test(e.name)).length >= 3`)
	d.Network(false)
	d.Tap(shoptest.Pick("pad", "45.3"))
	d.Tap("button.main")
	d.See("[data-go]")
	d.Says("Right", "45.3°", "kept on this phone", "1 reading", "Next: piece 1, bend 2")
	d.Picture("offline")
	d.Tap("[data-go]")
	d.Until(`document.querySelector("form.log [name=step]").value === "2" && !document.querySelector("form.log").hidden`)
	d.Tap(shoptest.Pick("pad", "89.5"))
	d.Tap("[data-nudge='-1']")
	d.Tap("button.main")
	d.See(".verdict.under")
	d.Says("Under-bent by 1.5°", "2 readings")
	if n := d.Stored(shoptest.ChannelCode); n != 0 || d.Posts.Value() != 0 {
		t.Fatalf("%d readings stored and %d posts without a network, want none", n, d.Posts.Value())
	}
	d.Network(true)
	d.Until(`location.search.startsWith("?saved=") && localStorage.getItem("brakeside-unsent") === "[]"`)
	d.Says("Under-bent by 1.5°")
	if n := d.Stored(shoptest.ChannelCode); n != 2 || d.Posts.Value() != 2 {
		t.Errorf("%d readings stored from %d posts, want 2 from 2", n, d.Posts.Value())
	}
}

// A phone that was put away with unsent readings sends them when a page of the
// service is opened again.
func TestPhoneSendsWhatWasLeft(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Network(false)
	d.Tap(shoptest.Pick("pad", "45.1"))
	d.Tap("button.main")
	d.See(".verdict.right")
	// The page would send by itself the moment the network is back, and turn.
	d.Eval(`window.fetch = () => new Promise(() => {})`)
	d.Network(true)
	d.Open("/t/" + shoptest.TrayCode)
	d.Until(`localStorage.getItem("brakeside-unsent") === "[]"`)
	if n := d.Stored(shoptest.ChannelCode); n != 1 {
		t.Errorf("%d readings stored, want 1", n)
	}
}

// 135 for a bend of 45 is the opening; the page asks and takes either answer.
func TestPhoneAsksBeforeItSavesAnOddAngle(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Do(chromedp.SendKeys("#typed", "135"))
	d.Tap("button.main")
	d.See(".verdict.ask")
	d.SaysSoon("Save it as opening 135")
	d.Says("are not stored yet")
	d.Picture("ask")
	if n := d.Stored(shoptest.ChannelCode); n != 0 {
		t.Fatalf("%d readings stored before the answer, want none", n)
	}
	d.Tap("button.main")
	d.See(".verdict.right")
	d.Says("45.0° measured", "Given as an opening of 135.0°")
	d.Until(`localStorage.getItem("brakeside-unsent") === "[]"`)
	d.Tap("a.main")
	d.Until(`document.title.startsWith("Piece 1, bend 2")`)
	if pad := d.Eval(`document.querySelector("[name=pad_as]").value`); pad != "opening" {
		t.Errorf("the pad shows the %s angle next time, want opening as was chosen", pad)
	}
}

func TestPhoneStopsOnAReplacedSheet(t *testing.T) {
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	newer := shoptest.Channel()
	newer.Code, newer.Part.Revision = "newerm4xq2pvr9tab", "D"
	s.Issue(newer, shoptest.ChannelCode)
	d.Tap(shoptest.Pick("pad", "45.0"))
	d.Tap("button.main")
	d.See(".verdict.halt")
	d.Says("This traveler has been replaced")
	d.Tap("a.main")
	d.Until(`location.pathname === "/t/newerm4xq2pvr9tab"`)
	d.Until(`localStorage.getItem("brakeside-unsent") === "[]"`)
	if n := d.Stored(shoptest.ChannelCode); n != 1 {
		t.Errorf("%d readings stored on a replaced sheet, want the one that was bent", n)
	}
}

// Going back to a page that was sent gives a fresh one, with an id of its own.
func TestPhoneBackButton(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	first := d.Eval(`document.querySelector("form.log [name=id]").value`)
	d.Tap(shoptest.Pick("pad", "45.0"))
	d.Tap("button.main")
	d.Until(`location.search.startsWith("?saved=")`)
	d.Do(chromedp.NavigateBack())
	d.See("form.log")
	if again := d.Eval(`document.querySelector("form.log [name=id]").value`); again == first || again == "" {
		t.Errorf("the page has the id %q after going back, want another than %q", again, first)
	}
}

func TestPhoneTargetsAreLargeEnough(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	small := d.Eval(`[...document.querySelectorAll("button, a, .pad label, .pick label, input[type=text], summary")]
		.filter((e) => e.checkVisibility({ contentVisibilityAuto: true }) && (e.getBoundingClientRect().height < 55.5 || e.getBoundingClientRect().width < 48))
		.map((e) => e.outerHTML.slice(0, 80)).join("\n")`)
	if small != "" {
		t.Errorf("too small for a gloved finger (56 high, 48 wide):\n%s", small)
	}
}

func TestOwnerSignsInAndSeesProgressMove(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.SetPassword()
	d := s.Use(t, shoptest.Screen{Width: 1280, Height: 800, Touch: false})
	d.Open("/")
	d.Until(`location.pathname === "/signin"`)
	d.Do(chromedp.SendKeys("#password", shoptest.Password))
	d.Do(chromedp.Click("button.main"))
	d.Until(`location.pathname === "/" && document.querySelector("#jobs") !== null`)
	d.Says("J-1041", "0 / 9")
	s.Record(shoptest.ChannelCode, `{"id":"x1","piece":1,"step":1,"measured":45}`)
	d.Until(`document.querySelector("#jobs").innerText.includes("1 / 9")`)
	d.Open("/jobs/" + shoptest.ChannelCode)
	d.Do(chromedp.SendKeys("#"+store.EventClosed, "all made"), chromedp.Click(`form:has(#`+store.EventClosed+`) button`))
	d.Until(`document.body.innerText.includes("This traveler is closed")`)
}

// No page may ask another host for anything, and none may break its own policy.
func TestPagesKeepToThemselves(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.RecordFirstPiece()
	d := s.Use(t, shoptest.Screen{Width: 1280, Height: 800, Touch: false})
	d.SignInWith(session.Value)
	for _, path := range []string{"/", "/jobs/" + shoptest.ChannelCode, "/review", "/parts", "/t/" + shoptest.ChannelCode, "/t/" + shoptest.ChannelCode + "?saved=f2"} {
		d.Do(chromedp.Navigate("about:blank"))
		d.Open(path)
		foreign := d.Eval(`performance.getEntriesByType("resource").map((e) => new URL(e.name)).filter((u) => u.host !== location.host).join(" ")`)
		if foreign != "" {
			t.Errorf("%s asks for %s", path, foreign)
		}
		if n := d.Eval(`document.querySelectorAll("script:not([src]), style, [style], [onclick]").length`); n != "0" {
			t.Errorf("%s has %s inline scripts or styles", path, n)
		}
	}
}
