//go:build unix

package hands_test

import (
	"context"
	"flag"
	"fmt"
	"math/rand"
	"os"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

var (
	anyhowRuns  = flag.Int("anyhow", usualRuns(), "how often a phone is used anyhow")
	anyhowFirst = flag.Int64("anyhow-first", 0, "the seed of the first of these runs; each has the next one")
	anyhowSteps = flag.Int("anyhow-steps", 16, "how many things are done in a run; fewer do the same at the beginning")
)

// usualRuns is how often a phone is used anyhow where nobody says.
func usualRuns() int {
	if os.Getenv("CI") == "true" {
		return 20
	}
	return 1
}

// anyhow is a phone that is used anyhow, at a service that is as well, with what
// neither may forget.
type anyhow struct {
	*shoptest.Device
	t, top  *testing.T // of this run, and of all
	random  *rand.Rand
	service *ownService
	folder  string // of the browser
	kill    func() // the browser

	complaints func() []string // of the browser

	offline  bool
	wrong    time.Duration // the phone's clock
	sheets   []string      // codes of the sheets that were issued, the newest last
	released bool
	held     bool

	kept   []told // what the phone showed as saved, in its order
	doubts []told // what it asked about, and was not told
	last   told   // what the page has said about last
	others int    // readings of another phone
	killed int    // the browser and the service, together
	done   []string
}

// A phone and a service that are used anyhow lose nothing that was shown as saved and
// double nothing; every reading stands on the sheet, piece and bend, in the convention,
// under the initials and with the stop that were on the screen; and there is always a
// way on.
func TestPhoneUsedAnyhow(t *testing.T) {
	t.Parallel()
	top, folder, sum := t, t.TempDir(), tally{}
	t.Cleanup(func() { t.Logf("%+v", sum) })
	tab, kill := ownBrowser(t, folder)
	for run := range int64(*anyhowRuns) {
		seed := *anyhowFirst + run
		begun := t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			a := &anyhow{t: t, top: top, random: rand.New(rand.NewSource(seed)), folder: folder, kill: kill, service: startService(t)}
			defer func() {
				tab, kill = a.Tab, a.kill
				sum.add(a)
			}()
			a.use(tab)
			t.Cleanup(func() {
				if t.Failed() {
					t.Logf("again with -anyhow 1 -anyhow-first %d -anyhow-steps %d: %q", seed, len(a.done), a.done)
				}
			})
			a.run()
		})
		if !begun {
			return
		}
	}
}

// tally is how much was done in all runs.
type tally struct{ Runs, Saved, TakenBack, Corrected, Unanswered, ByOthers, Killed int }

func (sum *tally) add(a *anyhow) {
	sum.Runs++
	sum.Unanswered += len(a.doubts)
	sum.ByOthers += a.others
	sum.Killed += a.killed
	for _, r := range a.kept {
		switch {
		case r.withdrawn:
			sum.TakenBack++
		case r.corrects:
			sum.Corrected++
		default:
			sum.Saved++
		}
	}
}

func (a *anyhow) run() {
	a.t.Helper()
	a.issue("")
	a.open()
	for range *anyhowSteps {
		a.act()
		a.check()
	}
	a.atTheEnd()
}

// use takes a tab of a browser for the phone; whatever it warns of when it leaves a
// page is answered with yes.
func (a *anyhow) use(tab context.Context) {
	a.t.Helper()
	a.Device = shoptest.On(a.t, tab, shoptest.PhoneScreen, "http://"+a.service.address)
	err := chromedp.Listen(tab, func(event any) {
		if _, ok := event.(*page.EventJavascriptDialogOpening); ok {
			go chromedp.Call(tab, page.HandleJavaScriptDialog, page.HandleJavaScriptDialogParams{Accept: true})
		}
	})
	if err != nil {
		a.t.Fatal(err)
	}
	a.complaints = a.Watch()
}

// up reports whether the phone reaches the service.
func (a *anyhow) up() bool { return !a.offline && a.service.process != nil }

// act does one thing by chance; what has a larger share is done more often.
func (a *anyhow) act() {
	a.t.Helper()
	acts := []struct {
		name  string
		share int
		do    func()
	}{
		{"tap", 6, a.tap}, {"type", 2, a.near}, {"under", 1, a.under}, {"nonsense", 1, a.nonsense}, {"slip", 2, a.slip},
		{"questions", 1, a.questions}, {"undo", 1, a.undo}, {"correct", 1, a.correct}, {"another stop", 1, a.otherStop},
		{"convention", 1, a.convention}, {"initials", 1, a.initials}, {"turn", 1, a.turn}, {"go on", 1, a.goOn},
		{"network", 2, a.network}, {"scan", 1, a.open}, {"time", 1, a.time}, {"other phone", 2, a.other}, {"release", 1, a.release},
		{"stop the run", 1, a.halt}, {"replace", 1, a.replace}, {"kill browser", 1, a.killBrowser},
		{"kill service", 1, a.killService}, {"start service", 2, a.service.start}, {"phone's clock", 1, a.phoneClock},
		{"service's clock", 1, a.serviceClock}, {"tap, kill service", 1, a.tapAndKill},
		{"tap offline, kill browser", 1, a.tapAndBreak},
	}
	all := 0
	for _, act := range acts {
		all += act.share
	}
	chosen := a.random.Intn(all)
	for _, act := range acts {
		if chosen -= act.share; chosen < 0 {
			a.done = append(a.done, act.name)
			act.do()
			return
		}
	}
}

// What is done to the world about the phone --------------------------------

func (a *anyhow) issue(replaces string) {
	a.t.Helper()
	code := fmt.Sprintf("k7m4xq2pvr9tabc%c%c", 'd'+rune(len(a.sheets)), 'e')
	a.service.told(order{Issue: code, Replaces: replaces})
	a.sheets = append(a.sheets, code)
}

func (a *anyhow) replace() {
	a.t.Helper()
	if a.service.process != nil && len(a.sheets) < 3 {
		a.issue(a.sheets[len(a.sheets)-1])
		a.released, a.held = false, false
	}
}

func (a *anyhow) network() {
	a.t.Helper()
	a.offline = !a.offline
	a.Network(!a.offline)
}

func (a *anyhow) killService() {
	if a.service.process != nil {
		a.killed++
	}
	a.service.kill()
}

// killBrowser ends the browser as a flat battery does. It comes back where there is a
// network and a service: without either there is no page.
func (a *anyhow) killBrowser() {
	a.t.Helper()
	a.kill()
	a.killed++
	a.service.start()
	tab, kill := ownBrowser(a.top, a.folder)
	a.kill, a.offline, a.wrong = kill, false, 0
	a.use(tab)
	a.open()
}

func (a *anyhow) clock() time.Duration {
	const day = 24 * time.Hour
	return []time.Duration{-400 * day, -time.Hour, -11 * time.Minute, 0, 11 * time.Minute, 3 * time.Hour, 40 * day}[a.random.Intn(7)]
}

func (a *anyhow) phoneClock() {
	a.t.Helper()
	a.wrong = a.clock()
	a.Wrong(a.wrong)
}

func (a *anyhow) serviceClock() {
	a.t.Helper()
	a.service.ahead = a.clock()
	if a.service.process != nil {
		a.service.told(order{})
	}
}

// time lets a while go by in which the phone lies beside the brake.
func (a *anyhow) time() {
	a.t.Helper()
	a.Pass([]time.Duration{6 * time.Second, 11 * time.Second, time.Minute}[a.random.Intn(3)])
}
