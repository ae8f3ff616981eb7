package hands_test

import (
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

// heading waits for what the page says a reading came out as.
func heading(d *shoptest.Device, words string) {
	d.T.Helper()
	d.Until(`document.querySelector("[data-last] h2") !== null && document.querySelector("[data-last] h2").textContent === "` + words + `"`)
}

// inView checks that what a selector finds is on the screen.
func inView(d *shoptest.Device, selector string) {
	d.T.Helper()
	if d.Eval(`(({ top, bottom }) => top >= 0 && bottom <= innerHeight)(document.querySelector("`+selector+`").getBoundingClientRect())`) != "true" {
		d.T.Errorf("%s is not on the screen", selector)
		d.Screen("not-in-view")
	}
}

// Without a network a bend out of tolerance is followed by its rework; another piece is
// not begun before the first one is accepted, and the page says what is to be done first.
func TestPhoneReworksBeforeItGoesOn(t *testing.T) {
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Network(false)
	d.Enter("43.5")
	heading(d, "Under-bent by 1.5°")
	d.OnStep(1, 1)
	d.Says("Bend again at 48.5, then measure.")
	oneScreen(d, "rework")
	d.Lacks("[data-go-on]:not([hidden])")
	d.Eval(`document.querySelector("[data-step-piece='1']").click()`)
	d.Until(`document.querySelector("[data-kept-note]") !== null`)
	d.Says("Piece 1 is not accepted", "Piece 1, step 1: Bend again at 48.5, then measure.")
	if d.Eval(`document.body.innerText.includes("Not saved") || document.querySelector("#typed").matches("[aria-invalid]")`) != "false" {
		t.Error("another piece that must wait reads like an angle that was not saved")
	}
	inView(d, "[data-kept-note]")
	inView(d, "#typed")
	d.OnStep(1, 1)
	d.Screen("not-now")
	d.Enter("48.5")
	heading(d, "Over-bent by 3.5°")
	d.Says("Scrap piece 1, or ask for the release of the run.")
	d.Do(chromedp.SendKeys("[data-release] [name=detail]", "it fits all the same"))
	d.Eval(`document.querySelector("[data-release] button").click()`)
	d.Until(`document.querySelector("[data-release] [role=alert]") !== null`)
	d.Says("Not sent: say it in person, or try again later.", "2 readings")
	d.Enter("46.5")
	heading(d, "Over-bent by 1.5°")
	d.Says("Open it by hand")
	for i, key := range []string{"45.0", "90.0", "90.0"} {
		d.OnStep(1, i+1)
		d.TapKey(key)
	}
	d.OnStep(2, 1)
}

// A further piece that came out wrong stays before the operator too; who leaves it as
// it is goes on.
func TestPhoneLeavesAFurtherPiece(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Network(false)
	d.OnStep(2, 1)
	d.Enter("43.6")
	heading(d, "Under-bent by 1.4°")
	d.OnStep(2, 1)
	d.Says("Bend again at")
	d.Tap("[data-go-on] button")
	d.OnStep(3, 1)
	d.Lacks("[data-go-on]:not([hidden])")
	d.Network(true)
	d.Sent()
	d.OnStep(3, 1)
	d.Enter("43.8")
	heading(d, "Under-bent by 1.2°")
	d.OnStep(3, 1)
	d.Sent()
	d.OnStep(3, 1)
	d.Tap("[data-go-on] button")
	d.OnStep(2, 2)
}
