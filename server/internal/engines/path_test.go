package engines_test

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
)

// used is a shop that a browser is at.
type used struct {
	*driven
	*shoptest.Shop
	down atomic.Bool // the service does not answer
}

// In the engines of Firefox and WebKit the main path of the phone works as in that
// of Chromium, nothing is lost while the service is away, and Back never leads to
// a page that is stuck or shows what it must not. The windows are as narrow as
// these browsers let them be: 500 and 447 pixels.
func TestEveryEngine(t *testing.T) {
	for name, begin := range map[string]func(*testing.T) line{"firefox": firefox, "webkit": webkit} {
		t.Run(name, func(t *testing.T) {
			browser := begin(t)
			for _, way := range []struct {
				name string
				goes func(*used)
			}{
				{"log", logsBends}, {"away", losesNothing}, {"back", comesBack}, {"signed out", showsNothing},
			} {
				t.Run(way.name, func(t *testing.T) { way.goes(atShop(t, browser)) })
			}
		})
	}
}

// atShop opens a fresh shop in a browser.
func atShop(t *testing.T, browser line) *used {
	t.Helper()
	u := &used{Shop: shoptest.OpenShop(t)}
	pages := u.Server.Handler()
	base, _, _ := u.Serve(t, func(w http.ResponseWriter, r *http.Request) {
		if u.down.Load() {
			panic(http.ErrAbortHandler)
		}
		pages.ServeHTTP(w, r)
	})
	u.driven = &driven{t, browser, base}
	u.do(setRect, params{"width": 360, "height": 640})
	u.open("/t/" + shoptest.ChannelCode)
	u.Logf("window %s x %s", u.eval("innerWidth"), u.eval("innerHeight"))
	return u
}

// atBend opens a page of the traveler, and answers what its protractor shows where
// that is not known yet.
func (u *used) atBend(path string) {
	u.T.Helper()
	u.open("/t/" + shoptest.ChannelCode + path)
	if u.eval(`document.querySelector("button[value=bend]") !== null`) == "true" {
		u.tap("button[value=bend]")
	}
	u.until(`document.querySelector("main[data-ready=yes]")`)
}

func (u *used) tapKey(angle string) {
	u.T.Helper()
	time.Sleep(800 * time.Millisecond) // a second tap right after the first is none
	u.tap(`input[name=pad][value="` + angle + `"]`)
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
	u.keyIn("#photo", file)
	u.says("1 photo waits on this phone")
	u.down.Store(false)
	u.eval(`document.querySelector("[data-send]").click()`)
	u.stored(1)
	u.says("The photo is kept.")
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
	u.open("/t/" + shoptest.ChannelCode + "?saved=none")
	u.back()
	u.until(`document.querySelector("main[data-ready=yes]")`)
	u.until(`document.querySelector("form.log button.main").disabled === false && !document.querySelector("form.log").hidden`)
	u.onStep(2)
	u.tapKey("90.0")
	u.stored(2)
}

// showsNothing signs out and goes back.
func showsNothing(u *used) {
	u.T.Helper()
	u.SetPassword()
	u.open("/signin")
	u.keyIn("#password", shoptest.Password)
	u.tap("button.main")
	u.until(`document.querySelector("#jobs") !== null`)
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
