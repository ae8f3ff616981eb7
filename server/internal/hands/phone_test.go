package hands_test

import (
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/traveler/standing"
)

// The whole way of a reading in one tap, on the machine's network address: browsers
// treat it otherwise than the loopback. Verdict and next stop come in place.
func TestPhoneLogsABendInOneTap(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + strings.ToUpper(shoptest.ChannelCode))
	if d.Eval("isSecureContext") != "false" {
		t.Fatal("this page counts as secure: the test does not show what a phone on plain http can do")
	}
	d.Says("STOP", "47.0", "45.0°", "opening 135.0°", "Bar wide", "Lay it face A up", "1.8 mm", "Rail foot")
	d.Do(chromedp.SendKeys("#by", "AB"))
	d.Ready()
	d.Eval("window.same = true")
	d.TapKey("45.2")
	d.See(".verdict.right")
	d.Says("In tolerance", "45.2°, piece 1, step 1", "Undo")
	d.OnStep(1, 2)
	d.Sent()
	var state struct{ Next struct{ Stop float64 } }
	if _, body := d.Get("/t/" + shoptest.ChannelCode + "/state"); json.Unmarshal([]byte(body), &state) != nil || state.Next.Stop < 90 {
		t.Fatalf("the state is %s", body)
	}
	d.SaysSoon(fmt.Sprintf("%.1f", state.Next.Stop)) // the page follows what the service tells
	readings, err := d.Store.Readings(t.Context(), shoptest.ChannelCode)
	if err != nil || len(readings) != 1 || d.Posts.Value() != 1 || readings[0].By != "AB" || readings[0].Measured != 4520 || readings[0].StopBend != 4700 {
		t.Errorf("stored %+v, %v, from %d posts; want one reading by AB at 47.0", readings, err, d.Posts.Value())
	}
	d.Open("/t/" + shoptest.ChannelCode)
	if by := d.Eval(`document.querySelector("#by").value`); by != "AB" {
		t.Errorf("the initials on the next page are %q, want AB remembered", by)
	}
}

// A run of bends is logged with one tap each, on one page, and with few bytes on the
// wire: headers, questions and answers all counted.
func TestPhoneTapsAndBytes(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Eval("window.same = true")
	taps := 0
	tap := func(key string) {
		d.TapKey(key)
		taps++
		d.Logged(shoptest.ChannelCode, taps)
	}
	tap("45.0")
	d.OnStep(1, 2)
	before, rest := d.Wire.Value(), []string{"90.0", "90.1", "45.1", "45.0", "90.2", "89.9", "90.0", "89.8"}
	for _, key := range rest {
		tap(key)
	}
	d.Says("Every step is in.")
	each := (d.Wire.Value() - before) / len(rest)
	t.Logf("%d taps for %d readings; %d bytes a reading on the wire after the first", taps, d.Stored(shoptest.ChannelCode), each)
	if n := d.Stored(shoptest.ChannelCode); n != taps || taps != 9 || d.Eval("window.same") != "true" {
		t.Errorf("%d readings from %d taps, same page %s; want 9 from 9 on one page", n, taps, d.Eval("window.same"))
	}
	if each >= 2000 {
		t.Errorf("%d bytes a reading on the wire, want less than 2,000", each)
	}
}

// At 360 by 640 the stop, the pad and Save are seen without a flick, whatever the page
// has to say besides, by day of the first step and in rework.
func TestPhoneOneScreen(t *testing.T) {
	t.Parallel()
	s, _ := shoptest.BusyShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	for _, path := range []string{
		"/t/" + shoptest.ChannelCode, "/t/" + shoptest.TrayCode, "/t/" + shoptest.TrayCode + "/3?piece=1", "/t/" + shoptest.ChannelCode + "/3?piece=2",
		"/t/" + shoptest.ManyCode + "/2?piece=20",
	} {
		d.Open(path)
		oneScreen(d, path)
	}
	fresh := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	fresh.Open("/t/" + shoptest.ChannelCode)
	fresh.Ready()
	fresh.TapKey("45.1")
	fresh.OnStep(1, 2)
	oneScreen(fresh, "after a bend in tolerance")
	fresh.Network(false)
	fresh.Enter("87.2")
	fresh.See(".verdict.under")
	fresh.Until(`!document.querySelector("[data-unsent]").hidden`)
	oneScreen(fresh, "in rework without a network")
	fresh.Pass(5 * time.Second)
	fresh.Until(`document.querySelector("[data-undo]").hidden`)
	oneScreen(fresh, "once it cannot be undone any more")
}

// oneScreen checks that what a reading takes is in view where the page stands.
func oneScreen(d *shoptest.Device, name string) {
	d.T.Helper()
	hidden := d.Eval(`["[data-stop]", ".dock .pad label:first-of-type", ".dock .pad label:last-of-type", "#typed", "form.log button.main"].filter((name) => {
			const box = document.querySelector(name).getBoundingClientRect();
			const seen = (share) => document.querySelector(name).contains(document.elementFromPoint((box.left + box.right) / 2, box.top + share * (box.bottom - box.top)));
			return box.top < 0 || box.bottom > innerHeight || !seen(0.2) || !seen(0.85);
		}).join(" ")`)
	if hidden != "" {
		d.T.Errorf("%s: %s not to be seen at once", name, hidden)
		d.Screen("hidden-" + name)
	}
	d.Screen("one-screen-" + name)
}

func TestPhoneWithoutScript(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.WithoutScript()
	d.Cookie(operator.ProtractorCookie, "")
	d.Open("/t/" + shoptest.ChannelCode)
	d.Tap("button[value=opening]")
	d.Tap(shoptest.Pick("pad", "135.2"))
	d.Tap(shoptest.Pick("place", "left"))
	d.Tap("form.log button.main")
	d.See(".verdict.right")
	d.Says("44.8° measured at the left", "Given as an opening of 135.2°")
	d.Tap("a.main")
	d.See(".stop")
	d.Do(chromedp.SendKeys("#typed", "９１,9°"))
	d.Tap("form.log button.main")
	d.See(".verdict.under")
	if n := d.Stored(shoptest.ChannelCode); n != 2 {
		t.Errorf("%d readings stored, want 2", n)
	}
}

// What the protractor shows is asked once, with two pictures and nothing chosen.
func TestPhoneAsksForTheConventionOnce(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Cookie(operator.ProtractorCookie, "")
	d.Open("/t/" + shoptest.ChannelCode)
	d.Holds(2, ".convention button svg")
	if d.Eval(`document.querySelector("form.log").hidden`) != "true" {
		t.Error("angles can be logged before it is known what they are")
	}
	d.Picture("convention")
	d.Tap(".convention button[value=opening]")
	d.Until(`document.querySelector(".convention") === null`)
	d.Ready()
	d.TapKey("134.8")
	d.OnStep(1, 2)
	d.Sent()
	if pad := d.Eval(`document.querySelector("[name=pad]").value`); pad != "89.3" || d.Eval(`document.querySelector("[name=pad_as]").value`) != "opening" {
		t.Errorf("the pad begins at %s, want 89.3: openings around 90", pad)
	}
	readings, err := d.Store.Readings(t.Context(), shoptest.ChannelCode)
	if err != nil || len(readings) != 1 || readings[0].Bend() != 4520 || readings[0].GivenAs != "opening" {
		t.Errorf("stored %+v, %v; want a bend of 45.2 given as opening", readings, err)
	}
}

func TestPhoneDoubleTapSavesOnce(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Eval(`(() => { const tap = () => document.querySelectorAll("[name=pad]")[7]
		.dispatchEvent(new MouseEvent("click", { bubbles: true, cancelable: true, detail: 1 })); tap(); tap(); setTimeout(tap, 150); })()`)
	d.OnStep(1, 2)
	d.Sent()
	d.Until("performance.now() > 0")
	if n := d.Stored(shoptest.ChannelCode); n != 1 || d.Posts.Value() != 1 {
		t.Errorf("%d readings stored from %d posts, want 1 from 1", n, d.Posts.Value())
	}
}

// Readings made without a network wait on the phone, in their order, and are sent once
// when it is back. The phone judges and knows what is next.
func TestPhoneOffline(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Do(chromedp.SendKeys("#by", "AB"))
	d.Ready()
	d.Network(false)
	d.TapKey("45.3")
	d.OnStep(1, 2)
	d.Until(`!document.querySelector("[data-unsent]").hidden`)
	d.Says("In tolerance", "45.3°", "1 reading kept on this phone", "No network.")
	d.Picture("offline")
	told := number(t, d.Eval(`document.querySelector("[data-stop]").textContent`))
	d.Enter("87,5 °")
	d.See(".verdict.under")
	d.Says("Under-bent by 2.5°", "2 readings", fmt.Sprintf("Bend again at %.1f, then measure.", told+2.5))
	d.OnStep(1, 2)
	if d.Eval(`document.querySelector("[name=state]:checked").value + document.querySelector("#by").value + document.title`) != "reworkedABPiece 1, step 2 · BR-210 rev C" {
		t.Errorf("after an under-bent bend the page is %s", d.Eval(`document.querySelector("[name=state]:checked").value + document.querySelector("#by").value + document.title`))
	}
	d.Picture("offline-rework")
	d.TapKey("89.9")
	d.OnStep(1, 3)
	d.Says("ROTATE 180", "Bar narrow")
	d.Eval(`document.querySelector(".bends a:nth-child(2)").click()`)
	d.OnStep(1, 2)
	d.Eval(`document.querySelector("[data-step-piece='1']").click()`)
	d.Says("Piece 1 is not accepted") // the first-piece gate, without a network
	d.OnStep(1, 2)
	d.Eval(`document.querySelector(".bends a:nth-child(3)").click()`)
	d.OnStep(1, 3)
	if n := d.Stored(shoptest.ChannelCode); n != 0 || d.Posts.Value() != 0 {
		t.Fatalf("%d readings stored and %d posts without a network, want none", n, d.Posts.Value())
	}
	d.Network(true)
	d.Sent()
	if n := d.Stored(shoptest.ChannelCode); n != 3 || d.Posts.Value() != 3 {
		t.Errorf("%d readings stored from %d posts, want 3 from 3", n, d.Posts.Value())
	}
	d.OnStep(1, 3)
}

// A service that is down while the network is up is told as that.
func TestPhoneTellsTheServiceFromTheNetwork(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	pages, down := shoptest.Switched(s.Server.Handler())
	d := s.UseBehind(t, shoptest.PhoneScreen, pages)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	down.Store(true)
	d.TapKey("45.3")
	d.Until(`document.querySelector("[data-unsent]").innerText.includes("does not answer")`)
	d.Says("There is a network, but the service does not answer.")
	down.Store(false)
	d.Eval(`document.querySelector("[data-send]").click()`)
	d.Sent()
	if n := d.Stored(shoptest.ChannelCode); n != 1 {
		t.Errorf("%d readings stored, want 1", n)
	}
}

// A phone that was put away with unsent readings sends them when a page of the
// service is opened again; what an older page left counts too.
func TestPhoneSendsWhatWasLeft(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Network(false)
	d.TapKey("45.1")
	d.See(".verdict.right")
	d.Eval(`localStorage.setItem("brakeside-unsent", JSON.stringify([{ sheet: "/t/` + shoptest.ChannelCode + `", reading: { id: "old1", piece: 1, step: 2, measured: 90 } }]))`)
	// The page would send by itself the moment the network is back.
	d.Eval(`window.fetch = () => new Promise(() => {})`)
	d.Network(true)
	d.Leave("/t/" + shoptest.TrayCode)
	d.Sent()
	if n := d.Stored(shoptest.ChannelCode); n != 2 {
		t.Errorf("%d readings stored, want 2", n)
	}
}

// What a phone kept for a day without a network is more than the service takes at
// once. All of it gets through, and the phone makes no trouble of it.
func TestPhoneSendsAWholeRunThatItKept(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "90")
	var refused atomic.Int32
	d := s.UseBehind(t, shoptest.PhoneScreen, func(w http.ResponseWriter, r *http.Request) {
		s.Pages.ServeHTTP(w, r)
		if w.Header().Get("Retry-After") != "" {
			refused.Add(1)
			s.Later(5 * time.Second) // a clock that runs faster than the phone's
		}
	})
	sentBefore := 0 // from the same phone: nothing more is taken at once
	for answer := http.StatusCreated; answer == http.StatusCreated; sentBefore++ {
		body := fmt.Sprintf(`{"id":"before-%d","piece":%d,"step":%d,"measured":45,"confirmed":true}`, sentBefore, 1+sentBefore%90, 1+sentBefore/90)
		r := httptest.NewRequest("POST", shoptest.ChannelReadings, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		r.RemoteAddr = net.JoinHostPort(shoptest.LANAddress(t), "99")
		got, _ := s.Ask(r)
		answer = got.StatusCode
	}
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Network(false)
	d.Eval(`(async () => {
		for (let n = 0; n < 25; n++) {
			const reading = { id: "kept-" + n, piece: 60 + n, step: 3, measured: 90, by: "AB" };
			await queue.add({ sheet: location.pathname, reading });
		}
		document.body.dataset.trouble = "";
		queue.on("changed", () => { document.body.dataset.trouble += queue.trouble(); });
		document.body.dataset.kept = "all";
	})()`)
	d.Until(`document.body.dataset.kept === "all"`)
	d.Network(true)
	d.Until(`queue.waiting().length === 0`)
	if n := d.Stored(shoptest.ChannelCode); n != sentBefore-1+25 {
		t.Errorf("%d readings are stored, want %d", n, sentBefore-1+25)
	}
	if refused.Load() == 0 {
		t.Error("the service took all at once: nothing was tried here")
	}
	if got := d.Eval("`${document.body.dataset.trouble}${queue.refused().length}`"); got != "0" {
		t.Errorf("the phone speaks of trouble, or keeps readings as refused: %s", got)
	}
}

// 135 for a bend of 45 is the opening; the page asks in place, the likely answer first,
// and takes either. No takes the question away; a comma too many does not destroy the page.
func TestPhoneAsksBeforeItSavesAnOddAngle(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Enter("135")
	d.See(".verdict.ask")
	d.Says("Not saved yet", "Save it as opening 135.0°", "Yes, it is 135.0°")
	d.Picture("ask")
	d.Tap("[data-no]")
	d.Until(`document.querySelector(".verdict") === null`)
	d.Sent()
	if n := d.Stored(shoptest.ChannelCode); n != 0 {
		t.Fatalf("%d readings stored before the answer, want none", n)
	}
	if waiting, err := s.Store.Questions(t.Context(), shoptest.ChannelCode); err != nil || len(waiting) != 0 {
		t.Errorf("%d questions wait after No, %v; want none", len(waiting), err)
	}
	d.Enter("4.5")
	d.Until(`document.querySelector("[data-answers] .main") !== null`)
	if first := d.Eval(`document.querySelector("[data-answers] button").textContent`); first != "45.0°?" {
		t.Errorf("the first answer is %q, want 45.0°?", first)
	}
	d.Tap("[data-answers] .main")
	d.See(".verdict.right")
	d.OnStep(1, 2)
	d.Sent()
	if readings, err := s.Store.Readings(t.Context(), shoptest.ChannelCode); err != nil || len(readings) != 1 || readings[0].Measured != 4500 {
		t.Errorf("stored %+v, %v; want 45.0 alone", readings, err)
	}
}

// A traveler that is replaced while the phone is at it: STOP comes at once, and what
// was bent is still taken.
func TestPhoneStopsOnAReplacedSheet(t *testing.T) {
	t.Parallel()
	s := shoptest.OpenShop(t)
	d := s.Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Network(false)
	d.TapKey("45.0")
	d.OnStep(1, 2)
	newer := shoptest.Channel()
	newer.Code, newer.Part.Revision = "newerm4xq2pvr9tab", "D"
	s.Issue(newer, shoptest.ChannelCode)
	d.Network(true)
	d.See(".verdict.halt")
	d.Sent()
	d.Says("This traveler has been replaced")
	d.Picture("replaced-meanwhile")
	d.Tap("[data-bent]")
	d.TapKey("90.0")
	d.Logged(shoptest.ChannelCode, 2)
	d.Tap("[data-newer]")
	d.Until(`location.pathname === "/t/newerm4xq2pvr9tab"`)
}

// A digit typed anywhere goes into the field, and Enter saves: a gauge that types as a
// keyboard needs no touch.
func TestGaugeThatTypes(t *testing.T) {
	t.Parallel()
	d := shoptest.OpenShop(t).Use(t, shoptest.PhoneScreen)
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Do(chromedp.KeyEvent("45.6"), chromedp.KeyEvent("\r"))
	d.OnStep(1, 2)
	d.Eval(`document.querySelector("#typed").focus()`)
	d.Do(chromedp.KeyEvent("\r")) // sent twice by the gauge
	d.Do(chromedp.KeyEvent("90"), chromedp.KeyEvent("\r"))
	d.OnStep(1, 3)
	d.Sent()
	if n := d.Stored(shoptest.ChannelCode); n != 2 {
		t.Errorf("%d readings stored, want 2", n)
	}
	d.Open("/t/" + shoptest.ChannelCode)
	d.Ready()
	d.Tap("form.log button.main")
	d.Says("Not saved. Tap an angle, or type one such as 89.4.")
}

func TestPhoneTargetsAreLargeEnough(t *testing.T) {
	t.Parallel()
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
	t.Parallel()
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
	d.Do(chromedp.SendKeys("#"+standing.Closed, "all made"), chromedp.Click(`form:has(#`+standing.Closed+`) button`))
	d.Until(`document.body.innerText.includes("This traveler is closed")`)
}

// No page may ask another host for anything, and none may break its own policy.
func TestPagesKeepToThemselves(t *testing.T) {
	t.Parallel()
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
