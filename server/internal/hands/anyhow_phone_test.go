//go:build unix

package hands_test

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"brakeside/calc/unit"
	"brakeside/server/internal/shoptest"
	"brakeside/traveler/progress"
)

// open scans the code of the sheet, where there is a service that answers.
func (a *anyhow) open() {
	a.t.Helper()
	if !a.up() {
		return
	}
	a.Open("/t/" + a.sheets[a.random.Intn(len(a.sheets))])
	a.Wrong(a.wrong)
	a.settle()
}

// settle waits for a page that has come, and answers what it asks about the protractor.
func (a *anyhow) settle() {
	a.t.Helper()
	whole := func(s seen) bool { return s.Ways > 0 && (!s.Form || s.Ready) }
	if s := a.look("a whole page", whole); s.Convention {
		a.press([]string{".convention button[value=bend]", ".convention button[value=opening]"}[a.random.Intn(2)])
		a.look("the bend", func(s seen) bool { return whole(s) && !s.Convention })
	}
}

// reading is what the screen says of a reading of so many degrees.
func (a *anyhow) reading(s seen, angle, given string) told {
	a.t.Helper()
	return told{
		sheet: s.Sheet, piece: s.Piece, step: s.Step, measured: centi(a.t, angle), given: given, stop: s.Used, by: s.By, state: s.State,
	}
}

// saved waits until the page says that a reading is saved, of the angle that was typed
// or else of the key that was touched. A stop of the work may have come to the screen
// before the finger.
func (a *anyhow) saved(angle string) {
	a.t.Helper()
	s := a.look("that it is saved", func(s seen) bool { return s.Measured != "" || len(s.Answers) == 0 && s.Bent && !s.Form })
	if s.Measured == "" {
		time.Sleep(200 * time.Millisecond)
		if s = a.now(); s.Measured == "" {
			return
		}
	}
	at := a.touched()
	if angle != "" {
		a.shown(a.reading(at, angle, at.Typed))
		return
	}
	a.shown(a.reading(at, at.Key, at.Pad))
}

// shown makes sure that the page says that a reading is saved.
func (a *anyhow) shown(r told) {
	a.t.Helper()
	says := fmt.Sprintf("%s°, piece %d, step %d", r.bend().Text(1), r.piece, r.step)
	a.look(says, func(s seen) bool { return strings.HasPrefix(s.Measured, says) })
	a.kept, a.last = append(a.kept, r), r
}

func (a *anyhow) tap() {
	a.t.Helper()
	if a.touch() {
		a.saved("")
	}
}

// touch touches a key of the pad.
func (a *anyhow) touch() bool {
	a.t.Helper()
	s := a.now()
	if !s.Ready {
		return false
	}
	a.watch()
	a.Breathe()
	return a.press(fmt.Sprintf(".pad label:nth-of-type(%d)", 1+a.random.Intn(len(s.Keys))))
}

func (a *anyhow) tapAndKill() {
	a.t.Helper()
	touched := a.touch()
	a.killService()
	if touched {
		a.saved("")
	}
}

// tapAndBreak has the browser end while a reading waits on the phone.
func (a *anyhow) tapAndBreak() {
	a.t.Helper()
	if !a.offline {
		a.network()
	}
	a.tap()
	a.killBrowser()
}

// enter types an angle and saves it.
func (a *anyhow) enter(angle string) bool {
	a.t.Helper()
	a.watch()
	a.Breathe()
	if !a.press("#typed") {
		return false
	}
	a.Eval(`document.querySelector("#typed").select()`) // a touch of what has the focus already sets no caret
	a.Do(chromedp.KeyEvent(angle))
	return a.press("form.log button.main")
}

// target is that of the bend, in the convention of what is typed.
func (a *anyhow) target(s seen) unit.CentiDeg {
	a.t.Helper()
	middle := centi(a.t, s.Keys[len(s.Keys)/2])
	if s.Pad != s.Typed {
		return unit.Deg(180).CentiDeg() - middle
	}
	return middle
}

func (a *anyhow) off(by unit.CentiDeg) {
	a.t.Helper()
	if s := a.now(); s.Ready {
		angle := a.target(s) + by
		if !a.enter(angle.Text(1)) {
			return
		}
		// The page may have gone on to another bend between the look and the typing: it
		// then asks whether that is right, and it is not.
		came := func(n seen) bool { return n.Measured != "" || len(n.Answers) > 0 || n.Bent && !n.Form }
		if now := a.look("that it is saved or asked about", came); len(now.Answers) > 0 && now.Step != s.Step {
			a.press("[data-no]")
			a.look("No", func(n seen) bool { return len(n.Answers) == 0 })
			return
		}
		a.saved(angle.Text(1))
	}
}

func (a *anyhow) near() { a.t.Helper(); a.off(50) }

func (a *anyhow) under() { a.t.Helper(); a.off(-300) }

func (a *anyhow) nonsense() {
	a.t.Helper()
	if s := a.now(); s.Ready && a.enter("a.b") && a.now().Ready {
		a.SaysSoon("Not saved.")
		a.Eval(`document.querySelector("#typed").value = ""`)
	}
}

// slip types an angle that cannot be meant, or hardly, and answers one way or another.
func (a *anyhow) slip() {
	a.t.Helper()
	s := a.now()
	if !s.Ready {
		return
	}
	target := a.target(s)
	angle := []unit.CentiDeg{10 * target, target / 10, unit.Deg(180).CentiDeg() - target}[a.random.Intn(3)]
	if angle == target {
		return // 90 is its own opening
	}
	if !a.enter(angle.Text(1)) {
		return
	}
	asked := a.look("a question", func(s seen) bool { return len(s.Answers) > 0 || s.Bent && !s.Form })
	if len(asked.Answers) == 0 {
		return
	}
	at := a.touched()
	r, sent := a.reading(at, angle.Text(1), at.Typed), angle <= unit.Deg(180).CentiDeg()
	if sent {
		a.doubts = append(a.doubts, r)
	}
	switch answer := a.random.Intn(len(asked.Answers) + 2); {
	case answer < len(asked.Answers):
		a.watch()
		a.press(fmt.Sprintf("[data-answers] button:nth-of-type(%d)", answer+1))
		a.drop(r)
		a.shown(r.as(a.t, asked.Answers[answer]))
	case answer == len(asked.Answers):
		a.press("[data-no]")
		a.drop(r)
		a.look("No", func(s seen) bool { return len(s.Answers) == 0 })
	}
}

var angleIn = regexp.MustCompile(`([0-9.]+)°`)

// as is a reading as the key of an answer says that it was meant.
func (r told) as(t *testing.T, words string) told {
	t.Helper()
	r.measured = centi(t, angleIn.FindStringSubmatch(words)[1])
	switch {
	case strings.Contains(words, "as opening"):
		r.given = progress.GivenOpening
	case strings.Contains(words, "as bend"):
		r.given = progress.GivenBend
	}
	return r
}

// drop forgets a question that was answered.
func (a *anyhow) drop(r told) {
	for i := range a.doubts {
		if a.doubts[i] == r {
			a.doubts = append(a.doubts[:i], a.doubts[i+1:]...)
			return
		}
	}
}

func (a *anyhow) undo() {
	a.t.Helper()
	s := a.now()
	if !s.Undo {
		return
	}
	r := a.last
	if !strings.HasPrefix(s.Measured, fmt.Sprintf("%s°, piece %d, step %d", r.bend().Text(1), r.piece, r.step)) && s.Measured != "" {
		a.t.Fatalf("Undo is offered of %q, the last was %+v", s.Measured, r)
	}
	a.press("[data-undo]")
	r.withdrawn, r.stop, r.state = true, "", progress.StateAsBent
	a.kept = append(a.kept, r)
	a.look("taken back", func(s seen) bool { return !s.Undo })
	a.SaysSoon("Taken back: " + r.bend().Text(1))
}

func centi(t *testing.T, text string) unit.CentiDeg {
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return unit.Deg(value).CentiDeg()
}

// What is done on the page besides ------------------------------------------

// correct looks at the reading that was saved last and puts another in its place.
func (a *anyhow) correct() {
	a.t.Helper()
	if a.now().Undo {
		a.Pass(5 * time.Second) // as long as it is offered; then the reading can be looked at
	}
	if s := a.now(); !s.Look || !a.up() || len(s.Waiting) > 0 {
		return
	}
	a.press("[data-look]")
	a.look("the reading", func(s seen) bool { return !s.Form && s.Ways > 0 })
	if a.Eval(`document.querySelector("nav.after a[href*=corrects]") === null`) == "true" {
		return // another reading has come since that took its place
	}
	a.press("nav.after a[href*=corrects]")
	s := a.look("the correction", func(s seen) bool { return s.Ready })
	angle := (a.target(s) + 20).Text(1)
	if !a.enter(angle) {
		return
	}
	r := a.reading(s, angle, s.Typed)
	r.corrects = true
	a.kept = append(a.kept, r)
	a.look("the reading", func(s seen) bool { return !s.Form && s.Ways > 0 })
}

// otherStop says that the next bend was made at another stop than told.
func (a *anyhow) otherStop() {
	a.t.Helper()
	if s := a.now(); s.Ready {
		stop := (centi(a.t, s.Stop) + 150).Text(1)
		a.KeyIn("#stop", stop)
		a.tap()
		if now := a.now(); now.Used != now.Stop {
			a.press("form.log label:has([data-told])") // as told, after all
		}
	}
}

func (a *anyhow) convention() {
	a.t.Helper()
	s := a.now()
	if !s.Ready {
		return
	}
	given := map[string]string{progress.GivenBend: progress.GivenOpening, progress.GivenOpening: progress.GivenBend}[s.Typed]
	a.press(shoptest.Pick("given_as", given))
	a.look("the pad in the other convention", func(s seen) bool { return s.Pad == given && s.Typed == given })
}

func (a *anyhow) initials() {
	a.t.Helper()
	if a.now().Ready {
		a.KeyIn("#by", []string{"AB", "CD", "EF"}[a.random.Intn(3)])
	}
}

// turn goes to another bend by one of the links of the page.
func (a *anyhow) turn() {
	a.t.Helper()
	s := a.now()
	if !s.Ready && !a.up() {
		return
	}
	links := []string{"[data-step-piece='-1']", "[data-step-piece='1']",
		".bends a:nth-of-type(1)", ".bends a:nth-of-type(2)", ".bends a:nth-of-type(3)"}
	a.press(links[a.random.Intn(len(links))])
	a.came()
}

// came waits for a page that may be on its way.
func (a *anyhow) came() {
	a.t.Helper()
	time.Sleep(30 * time.Millisecond)
	a.settle()
}

// goOn follows what the page offers where no angle can be given.
func (a *anyhow) goOn() {
	a.t.Helper()
	switch s := a.now(); {
	case s.Convention:
		a.settle()
	case s.Form || len(s.Answers) > 0:
		return
	case s.Bent:
		a.press("[data-bent]")
		a.settle()
	case a.up():
		a.press("a.main, a.plain, nav.bends a")
		a.came()
	}
}

// groups gives the questions of their page: what each is about, and its keys.
const groups = `JSON.stringify([...document.querySelectorAll("section.ask")].map((e) => {
	const keys = [];
	let next = e;
	while ((next = next.nextElementSibling) && next.matches("form")) keys.push(next.querySelector("button"));
	const all = [...document.querySelectorAll("button")];
	return { About: e.innerText, Keys: keys.map((key) => key.innerText), At: keys.map((key) => all.indexOf(key)) };
}))`

// questions answers one that waits, on the page of them.
func (a *anyhow) questions() {
	a.t.Helper()
	if len(a.doubts) == 0 || !a.up() || len(a.now().Waiting) > 0 {
		return
	}
	r := a.doubts[0]
	a.Open("/t/" + r.sheet + "/questions")
	a.Wrong(a.wrong)
	var asked []struct {
		About string
		Keys  []string
		At    []int
	}
	if err := json.Unmarshal([]byte(a.Eval(groups)), &asked); err != nil {
		a.t.Fatal(err)
	}
	for _, q := range asked {
		yes := len(q.Keys) - 2 // before No
		if !strings.Contains(q.About, fmt.Sprintf("Piece %d, step %d", r.piece, r.step)) || r.as(a.t, q.Keys[yes]) != r {
			continue
		}
		key := a.random.Intn(len(q.Keys))
		a.drop(r)
		if key <= yes {
			a.kept = append(a.kept, r.as(a.t, q.Keys[key]))
		}
		a.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`void (document.querySelectorAll("button")[%d].id = "answer")`, q.At[key])))
		a.Tap("#answer")
		a.look("what comes of it", func(s seen) bool { return s.Ways > 0 && s.Sheet != "" })
		break
	}
	a.open()
}
