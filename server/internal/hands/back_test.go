package hands_test

import (
	"testing"

	"brakeside/server/internal/shoptest"
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
