package hands_test

import (
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
)

// A page that comes back from the memory of the browser is asked for anew: at the
// brake the bend that is in is told, in the office nothing is shown to who has
// signed out. Chromium keeps no page that must not be stored, so the test says
// that this one was.
func TestPageFromMemoryIsAskedForAnew(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	session := s.Owner()
	d := s.Use(t, shoptest.PhoneScreen)
	back := func() {
		t.Helper()
		d.Eval(`window.before = true, dispatchEvent(new PageTransitionEvent("pageshow", { persisted: true }))`)
		d.Until(`window.before === undefined`)
	}
	d.Open("/t/" + shoptest.ChannelCode + "/1?piece=1")
	s.Record(shoptest.ChannelCode, `{"id":"x1","piece":1,"step":1,"measured":45}`)
	back()
	d.Says("In already for this bend: 45.0")
	d.Ready()
	d.Network(false)
	d.Eval(`(function ask() { fetch(location.href, { method: "HEAD" }).then(ask, () => { window.cut = true; }); })()`)
	d.Until(`window.cut === true`) // the browser may answer a question or two before it is
	d.Eval(`window.before = true, dispatchEvent(new PageTransitionEvent("pageshow", { persisted: true }))`)
	d.TapKey("45.2") // the page is still there, and takes a reading
	d.OnStep(1, 2)
	if d.Eval("window.before") != "true" {
		t.Error("without a network the page was given up")
	}
	d.Network(true)
	d.Sent()
	d.SignInWith(session.Value)
	d.Open("/jobs/" + shoptest.ChannelCode)
	d.Says("J-1041")
	d.SignInWith("gone")
	back()
	d.Until(`location.pathname === "/signin"`)
}

// Where the service does not answer, links and forms leave the page as it is and say
// why: the browser's own page would take no readings.
func TestPhoneStaysWhereTheServiceIsAway(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	pages, down := shoptest.Switched(s.Server.Handler())
	d := s.UseBehind(t, shoptest.PhoneScreen, pages)
	const away = "There is a network, but the service does not answer."
	d.Cookie(operator.ProtractorCookie, "")
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	down.Store(true)
	d.Tap(".convention button[value=opening]")
	d.SaysSoon(away)
	down.Store(false)
	d.Tap(".convention button[value=opening]")
	d.Until(`document.querySelector(".convention") === null`)
	d.Ready()
	if shows := d.Eval(`document.querySelector("[name=pad_as]").value`); shows != "opening" {
		t.Errorf("the pad is in %s, want what the button says", shows)
	}
	d.TapKey("134.8")
	d.OnStep(1, 2)
	d.Sent()
	d.Pass(5 * time.Second)
	d.Tap("[data-look]")
	d.See("form.undo")
	down.Store(true)
	d.Tap("form.undo button")
	d.SaysSoon(away)
	d.Tap("a.main")
	d.Until(`document.querySelectorAll("[data-away]").length === 1 && document.querySelector("form.undo [data-away]") === null`)
	down.Store(false)
	d.Tap("a.main")
	d.OnStep(1, 2)
	down.Store(true)
	d.Tap(".bends a:nth-of-type(3)") // turned to in place, although nothing has waited yet
	d.OnStep(1, 3)
	down.Store(false)
}
