package hands_test

import (
	"flag"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
	"brakeside/traveler/progress"
	"brakeside/traveler/standing"
)

var anyhowRuns = flag.Int("anyhow", 2, "how often a phone is used anyhow")

// anyhow is a phone that is used anyhow, with what it must not forget: the readings
// that it showed as saved, and those it took back.
type anyhow struct {
	*shoptest.Device
	random  *rand.Rand
	offline bool
	saved   []string // ids that were shown as saved
	others  int      // readings of another phone
	done    []string // what was done, for the report
}

// A phone that is used anyhow loses nothing that it showed as saved and doubles
// nothing, every reading stands on the bend that was on the screen, and there is
// always a way on.
func TestPhoneUsedAnyhow(t *testing.T) {
	for run := range *anyhowRuns {
		s := shoptest.OpenShop(t)
		a := &anyhow{Device: s.Use(t, shoptest.PhoneScreen), random: rand.New(rand.NewSource(int64(run)))}
		t.Cleanup(func() {
			if t.Failed() {
				t.Logf("run %d: %s", run, strings.Join(a.done, ", "))
			}
		})
		a.open()
		for range 14 {
			a.act()
			a.wayOn()
		}
		a.network(true)
		a.Sent()
		a.check()
		if t.Failed() {
			t.FailNow()
		}
	}
}

func (a *anyhow) open() {
	a.T.Helper()
	a.Open("/t/" + shoptest.ChannelCode)
	if a.Eval(`document.querySelector("main[data-table]") === null`) == "true" {
		return // every step is in, or the work is stopped
	}
	a.Ready()
}

func (a *anyhow) act() {
	a.T.Helper()
	acts := []struct {
		name string
		do   func()
	}{
		{"tap", a.tap}, {"tap", a.tap}, {"tap", a.tap}, {"under", func() { a.enter("under") }}, {"type", func() { a.enter("near") }},
		{"slip", a.slip}, {"undo", a.undo}, {"network", func() { a.network(a.offline) }}, {"scan", a.scan}, {"other phone", a.other},
		{"stop and go on", a.halt}, {"nonsense", func() { a.enter("nonsense") }},
	}
	act := acts[a.random.Intn(len(acts))]
	a.done = append(a.done, act.name)
	act.do()
}

// ready reports whether an angle can be given now.
func (a *anyhow) ready() bool {
	a.T.Helper()
	return a.Eval(`(() => { const form = document.querySelector("form.log"); return form !== null && !form.hidden; })()`) == "true"
}

// note remembers a reading that the page shows as saved, and checks that it is of the
// bend that was on the screen.
func (a *anyhow) note(before int, spot string) {
	a.T.Helper()
	a.Until(fmt.Sprintf("noted.length > %d", before))
	last := a.Eval(`(({ id, piece, step }) => id + " " + piece + "." + step)(noted[noted.length - 1])`)
	id, at, _ := strings.Cut(last, " ")
	if at != spot {
		a.T.Errorf("a reading given on %s was kept for %s", spot, at)
	}
	a.saved = append(a.saved, id)
}

func (a *anyhow) spot() string {
	return a.Eval(`document.querySelector("form.log [name=piece]").value + "." + document.querySelector("form.log [name=step]").value`)
}

// watched has the page note what is put on the phone's disk.
const watched = `window.noted || (() => { window.noted = []; const add = keep.add;
	keep.add = async (list, entry) => { const seq = await add(list, entry); if (list === "waiting" && entry.reading) noted.push(entry.reading); return seq; }; })()`

func (a *anyhow) count() int {
	a.T.Helper()
	a.Eval(watched)
	return shoptest.Atoi(a.Eval("noted.length"))
}

func (a *anyhow) tap() {
	a.T.Helper()
	if !a.ready() {
		return
	}
	before, spot := a.count(), a.spot()
	a.TapKey(a.Eval(fmt.Sprintf(`document.querySelectorAll("[name=pad]")[%d].value`, a.random.Intn(15))))
	a.note(before, spot)
}

func (a *anyhow) enter(kind string) {
	a.T.Helper()
	if !a.ready() {
		return
	}
	before, spot := a.count(), a.spot()
	target := a.Eval(`Number(document.querySelectorAll("[name=pad]")[7].value)`)
	switch kind {
	case "nonsense":
		a.Enter("a.b")
		a.Says("Not saved.")
		return
	case "under":
		a.Enter(a.Eval(target + " - 3"))
	default:
		a.Enter(a.Eval(target+" + 0.5") + "°")
	}
	a.note(before, spot)
}

// slip types an angle that cannot be meant, and answers or says No.
func (a *anyhow) slip() {
	a.T.Helper()
	if !a.ready() {
		return
	}
	before, spot := a.count(), a.spot()
	a.Enter(a.Eval(`(Number(document.querySelectorAll("[name=pad]")[7].value) / 10).toFixed(1)`))
	a.See("[data-answers] .main")
	if a.random.Intn(2) == 0 {
		a.Tap("[data-no]")
		a.Until(`document.querySelector("[data-answers]") === null`)
		return
	}
	a.Tap("[data-answers] .main")
	a.note(before+1, spot)
}

func (a *anyhow) undo() {
	a.T.Helper()
	if a.Eval(`(() => { const key = document.querySelector("[data-undo]"); return key !== null && !key.hidden; })()`) != "true" {
		return
	}
	before := a.count()
	a.Do(chromedp.Evaluate[chromedp.Void](`void document.querySelector("[data-undo]").click()`))
	a.Until(fmt.Sprintf("noted.length > %d", before))
	a.saved = append(a.saved, a.Eval("noted[noted.length - 1].id"))
}

func (a *anyhow) network(on bool) {
	a.T.Helper()
	a.offline = !on
	a.Network(on)
}

func (a *anyhow) scan() {
	a.T.Helper()
	if a.offline {
		return // the page cannot be fetched
	}
	a.Sent()
	a.open()
}

// other logs a good bend on another phone: what is due next.
func (a *anyhow) other() {
	a.T.Helper()
	job, err := a.Store.Progress(a.T.Context(), shoptest.ChannelCode)
	if err != nil {
		a.T.Fatal(err)
	}
	due := progress.NextDue(job)
	if due == nil {
		return
	}
	a.others++
	state := map[bool]string{true: "as-bent", false: "reworked"}[due.Do == progress.DoBend]
	step, _ := progress.StepOf(job.Traveler, due.Step)
	a.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"other%d","piece":%d,"step":%d,"measured":%s,"state":%q}`, a.others, due.Piece, due.Step, step.Target.Text(1), state))
}

// halt has the office stop the run and let it go on.
func (a *anyhow) halt() {
	a.T.Helper()
	a.Decide(shoptest.ChannelCode, standing.Held, "wrong sheet")
	a.tap()
	if !a.offline {
		a.Sent()
	}
	a.Decide(shoptest.ChannelCode, standing.Resumed, "the right one is here")
	if !a.offline {
		a.open()
	}
}

// wayOn makes sure that the phone is not wedged: an angle can be given, a question
// answered, or a link leads on.
func (a *anyhow) wayOn() {
	a.T.Helper()
	ways := a.Eval(`[...document.querySelectorAll("form.log button.main, [data-answers] button, [data-bent], a.main, nav.bends a, form.ask button")]
		.filter((e) => e.offsetParent !== null && !e.disabled).length`)
	if ways == "0" {
		a.Picture("wedged")
		a.T.Fatalf("no way on after %v: %s", a.done, a.Text())
	}
}

func (a *anyhow) check() {
	a.T.Helper()
	stored, err := a.Store.Readings(a.T.Context(), shoptest.ChannelCode)
	if err != nil {
		a.T.Fatal(err)
	}
	var ids []string
	for _, r := range stored {
		ids = append(ids, r.ID)
	}
	for _, id := range a.saved {
		if !slices.Contains(ids, id) {
			a.T.Errorf("the reading %s was shown as saved and is not stored", id)
		}
	}
	if len(ids) != len(a.saved)+a.others {
		a.T.Errorf("%d readings are stored, %d were shown as saved and %d came from another phone: %v", len(ids), len(a.saved), a.others, ids)
	}
}
