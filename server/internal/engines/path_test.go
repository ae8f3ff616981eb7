package engines_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
	"brakeside/traveler/standing"
)

// used is a shop that a browser is at.
type used struct {
	*driven
	*shoptest.Shop
	down *atomic.Bool // the service does not answer
}

// way is one of the things that is done with the pages.
type way struct {
	name string
	goes func(*used)
}

// In the engines of Firefox and WebKit what is done at the brake and in the office works
// as in that of Chromium, in a window as narrow as a phone: nothing is lost while the
// service is away, and Back never leads to a page that is stuck or shows what it must
// not.
func TestEveryEngine(t *testing.T) {
	for name, begin := range map[string]func(*testing.T, bool) line{"firefox": firefox, "webkit": webkit} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			goWays(t, begin(t, true), usualWays())
		})
		t.Run(name+" without script", func(t *testing.T) {
			t.Parallel()
			goWays(t, begin(t, false), []way{{"log", logsByForms}})
		})
	}
}

// usualWays are what is done in each engine: all of it where CI=true, in a plain run
// what engines were seen to do each its way.
func usualWays() []way {
	ways := []way{{"log", logsBends}, {"away", losesNothing}, {"back", comesBack}, {"forms", formsStandStill}}
	if os.Getenv("CI") == "true" {
		ways = append(ways, []way{
			{"undo", takesBack}, {"slip", asks}, {"stop", hearsOfAStop}, {"office", followsTheWork}, {"signed out", showsNothing},
		}...)
	}
	return ways
}

func goWays(t *testing.T, browser line, ways []way) {
	t.Helper()
	for _, w := range ways {
		t.Run(w.name, func(t *testing.T) { w.goes(atShop(t, browser)) })
	}
}

// atShop opens a fresh shop in a browser.
func atShop(t *testing.T, browser line) *used {
	t.Helper()
	u := &used{Shop: shoptest.OpenShop(t)}
	pages, down := shoptest.Switched(u.Server.Handler())
	base, _, _ := u.Serve(t, pages)
	u.down = down
	u.driven = &driven{t, browser, base}
	u.do(setRect, params{"width": 360, "height": 640})
	u.open("/t/" + shoptest.ChannelCode)
	if size := u.eval(`innerWidth + " by " + innerHeight`); size != "360 by 640" {
		t.Errorf("the window is %s, want 360 by 640", size)
	}
	if u.eval("document.documentElement.scrollWidth > 360") != "false" {
		t.Errorf("the page is %s wide in a window of 360", u.eval("document.documentElement.scrollWidth"))
	}
	return u
}

// atBend opens a page of the traveler, and answers what its protractor shows where
// that is not known yet.
func (u *used) atBend(path string) {
	u.T.Helper()
	u.open("/t/" + shoptest.ChannelCode + path)
	if u.eval(`document.querySelector("button[value=bend]") !== null`) == "true" {
		u.tap("button[value=bend]")
		u.until(`document.querySelector("button[value=bend]") === null`)
	}
	u.until(`document.querySelector("main[data-ready=yes]")`)
}

// deaf is longer than a page hears no second tap after a reading.
const deaf = 800 * time.Millisecond

// tapKey taps a key, and as a person would once more where nothing came of it: on a
// busy machine a browser may lose a tap.
func (u *used) tapKey(angle string) {
	u.T.Helper()
	before := u.text()
	for range 3 {
		time.Sleep(deaf)
		u.tap(`input[name=pad][value="` + angle + `"]`)
		for end := time.Now().Add(patience / 8); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
			if u.text() != before {
				return
			}
		}
	}
}

func (u *used) onStep(step int) {
	u.T.Helper()
	u.until(fmt.Sprintf(`document.querySelector("[data-step-number]").textContent === "%d"`, step))
}

// stored waits until the store has as many readings, and no more.
func (u *used) stored(want int) {
	u.T.Helper()
	got := -1
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		readings, err := u.Store.Readings(u.T.Context(), shoptest.ChannelCode)
		if err != nil {
			u.T.Fatal(err)
		}
		if got = len(readings); got == want {
			return
		}
	}
	u.T.Fatalf("%d readings are stored, want %d; the page says:\n%s", got, want, u.text())
}

// logsBends logs one bend by a tap and one by typing.
func logsBends(u *used) {
	u.T.Helper()
	u.atBend("")
	u.tapKey("45.2")
	u.onStep(2)
	u.says("45.2°, piece 1, step 1")
	u.keyIn("#typed", "90,4")
	u.tap("form.log button.main")
	u.onStep(3)
	u.stored(2)
}

// takesBack logs a bend, takes it back and logs it anew.
func takesBack(u *used) {
	u.T.Helper()
	u.atBend("")
	u.tapKey("45.4")
	u.onStep(2)
	u.tap("[data-undo]")
	u.says("Taken back: 45.4°")
	u.onStep(1)
	u.tapKey("45.1")
	u.onStep(2)
	u.stored(3)
}

// asks answers two slips of the thumb, one with No.
func asks(u *used) {
	u.T.Helper()
	u.atBend("")
	u.keyIn("#typed", "135")
	u.tap("form.log button.main")
	u.says("Save it as opening 135.0°")
	u.tap("[data-no]")
	u.until(`document.querySelector("[data-answers]") === null`)
	time.Sleep(deaf)
	u.keyIn("#typed", "４,5°")
	u.tap("form.log button.main")
	u.says("45.0°?")
	u.tap("[data-answers] .main")
	u.onStep(2)
	u.stored(1)
	if readings, err := u.Store.Readings(u.T.Context(), shoptest.ChannelCode); err != nil || readings[0].Measured != 4500 {
		u.T.Errorf("stored %+v, %v; want 45.0", readings, err)
	}
}

// hearsOfAStop sees that the office stops the run, and logs what was bent all the same.
func hearsOfAStop(u *used) {
	u.T.Helper()
	u.atBend("")
	u.Decide(shoptest.ChannelCode, standing.Held, "wrong sheet")
	u.eval(`document.dispatchEvent(new Event("visibilitychange"))`)
	u.says("The run is stopped")
	u.until(`document.querySelector("form.log").hidden`)
	u.tap("[data-bent]")
	u.tapKey("45.0")
	u.stored(1)
}

// followsTheWork sees the list of jobs move with what is logged, and closes a sheet.
func followsTheWork(u *used) {
	u.T.Helper()
	u.signIn()
	u.says("0 / 9")
	u.Record(shoptest.ChannelCode, `{"id":"x1","piece":1,"step":1,"measured":45}`)
	u.says("1 / 9")
	u.open("/jobs/" + shoptest.ChannelCode)
	u.keyIn("#"+standing.Closed, "all made")
	u.tap("form:has(#" + standing.Closed + ") button")
	u.says("This traveler is closed")
}

// formsStandStill opens the forms of the office on a phone, everything unfolded: none
// can be pushed to the side, nor can anything in it.
func formsStandStill(u *used) {
	u.T.Helper()
	u.signIn()
	for _, form := range []string{
		"/parts/new", "/parts/new?kind=z", "/parts/new?kind=profile", "/parts/new?kind=tray", "/parts/new?kind=box", "/parts/new?kind=file",
		"/brakes/new", "/brakes/new?file=yes", "/jobs/new", "/stock", "/stock/trial", "/shop", "/review/measuring",
		"/jobs/" + shoptest.ChannelCode + "/grid",
	} {
		u.open(form)
		u.until("document.querySelector('form')")
		if wide := u.eval(pushed); wide != "" {
			u.T.Errorf("%s is pushed to the side by:\n%s", form, wide)
		}
	}
}

// pushed unfolds the page and lists what sticks out of it; a table that is scrolled on
// purpose does not.
const pushed = `(() => {
	document.querySelectorAll("details").forEach((d) => { d.open = true; });
	const root = document.documentElement, held = ".wide-table, .fingers, svg, select, input"; // these clip what is in them
	const out = [...document.querySelectorAll("main *")].filter((e) => !e.closest(held) && e.offsetParent && e.scrollWidth + e.getBoundingClientRect().left > root.clientWidth + 1);
	const seen = out.map((e) => e.tagName + " " + (e.getAttribute("name") || e.className) + ", to " + Math.round(e.scrollWidth + e.getBoundingClientRect().left));
	return root.scrollWidth > root.clientWidth ? "the page: " + root.scrollWidth + "\n" + seen.join("\n") : seen.join("\n");
})()`

// logsByForms logs two bends with no script at all, one of them as an opening.
func logsByForms(u *used) {
	u.T.Helper()
	u.tap("button[value=opening]")
	u.tap(`input[name=pad][value="135.2"]`)
	u.tap(`input[name=place][value=left]`)
	u.tap("form.log button.main")
	u.says("44.8° measured at the left")
	u.says("Given as an opening of 135.2°")
	u.tap("a.main")
	u.keyIn("#typed", "９１,9°")
	u.tap("form.log button.main")
	u.until(`document.querySelector(".verdict.under") !== null`)
	u.stored(2)
	if u.eval(`document.querySelector("main").dataset.ready`) == "yes" {
		u.T.Error("scripts run: the test does not show what forms do")
	}
}

// losesNothing logs a bend and takes a photo while the service is away.
func losesNothing(u *used) {
	u.T.Helper()
	file := filepath.Join(u.T.TempDir(), "photo.jpg")
	if err := os.WriteFile(file, shoptest.JpegPhoto(u.T), 0o600); err != nil {
		u.T.Fatal(err)
	}
	u.atBend("")
	u.down.Store(true)
	u.tapKey("45.0")
	u.onStep(2)
	u.says("kept on this phone, not sent yet")
	u.tap(".bends a:nth-of-type(3)")
	u.onStep(3)
	u.tap(".bends a:nth-of-type(2)")
	u.onStep(2)
	u.keyIn("#photo", file)
	u.says("1 photo waits on this phone")
	u.tapKey("90.1")
	u.onStep(3)
	u.says("2 readings kept on this phone")
	u.down.Store(false)
	u.eval(`document.querySelector("[data-send]").click()`) // unless it has just been sent by itself
	u.stored(2)
	u.says("The photo is saved.")
	photos, err := u.Store.Photos(u.T.Context(), shoptest.ChannelCode)
	if err != nil || len(photos) != 1 || photos[0].Step != 2 {
		u.T.Errorf("stored %+v, %v; want the photo of step 2", photos, err)
	}
}

// comesBack saves, goes on to another page and back, and saves again.
func comesBack(u *used) {
	u.T.Helper()
	u.atBend("/1?piece=1")
	u.tapKey("45.0")
	u.stored(1)
	u.eval(`addEventListener("pageshow", (event) => sessionStorage.setItem("kept", event.persisted))`)
	u.open("/hello")
	u.back()
	u.until(`document.querySelector("main[data-ready=yes]")`)
	u.until(`document.querySelector("form.log button.main").disabled === false && !document.querySelector("form.log").hidden`)
	u.onStep(2)
	if strings.Contains(u.eval("navigator.userAgent"), "AppleWebKit") && u.eval(`sessionStorage.getItem("kept")`) != "true" {
		u.T.Error("WebKit has asked for the page anew: the test does not show what a kept page does")
	}
	u.tapKey("90.0")
	u.stored(2)
}

// signIn signs the owner in.
func (u *used) signIn() {
	u.T.Helper()
	u.SetPassword()
	u.open("/signin")
	u.keyIn("#password", shoptest.Password)
	u.tap("button.main")
	u.until(`document.querySelector("#jobs") !== null`)
}

// showsNothing signs out and goes back.
func showsNothing(u *used) {
	u.T.Helper()
	u.signIn()
	u.open("/jobs/" + shoptest.ChannelCode)
	u.says("J-1041")
	u.tap("form[action='/signout'] button")
	u.until(`location.pathname === "/signin"`)
	u.back()
	u.until(`location.pathname === "/signin" && document.querySelector("#password") !== null`)
	if u.eval(`document.body.innerText.includes("J-1041")`) != "false" {
		u.T.Error("Back shows the owner's page to who has signed out")
	}
}
