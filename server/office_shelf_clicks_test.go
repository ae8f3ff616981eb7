package server

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// choose picks an entry of a list by its words.
func (d *device) choose(selector, words string) {
	d.t.Helper()
	value := d.eval(fmt.Sprintf("[...document.querySelector(%q).options].filter(o => o.text === %q).map(o => o.value).join('|')", selector, words))
	d.do(chromedp.SetValue(selector, value))
	if got := d.eval(fmt.Sprintf("document.querySelector(%q).selectedOptions[0]?.text", selector)); got != words {
		d.t.Fatalf("%s is on %q, want %q", selector, got, words)
	}
}

// drawnBars lists the bars whose sections are drawn on the page.
func (d *device) drawnBars() string {
	d.t.Helper()
	return d.eval("[...document.querySelectorAll('.drawn figure, .onebar')].filter(f => f.querySelector('svg')).map(f => f.querySelector('h3').innerText).join(', ')")
}

// fingerOf finds a finger that a sheet uses: its width in millimetres.
func fingerOf(t *testing.T, s *shop, code string) string {
	t.Helper()
	kept, err := s.store.TravelerByCode(t.Context(), code)
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range kept.Traveler.Steps {
		for _, g := range step.Segments {
			return g.Width.Text(0)
		}
	}
	t.Fatalf("%s is made without fingers", kept.Traveler.Part.Number)
	return ""
}

// A bar is added in the form of the brake, drawn and kept, and taken away again;
// a finger goes missing and comes back. The open sheet that relies on what is
// gone is named on the page of the brake and on its own, and stays as it was
// issued.
func TestBrakeByHand(t *testing.T) {
	s, session := openOffice(t)
	code := s.issueFor(s.makeReady(exampleOf("tray", "DT-310", "A"), session), "1041", session)
	finger := fingerOf(t, s, code)
	desk, _ := s.atDesk(t, session)
	desk.open("/brakes")
	desk.turn("table.list th a")
	addTube(desk)
	desk.lacks(".note.bad")
	missesFinger(desk, code, finger)
	desk.open("/brakes/" + s.newestBrake())
	dropBarOf(desk, "tube", "wide, narrow, slotted, fingers")
	desk.lacks(".note.bad")
	dropBarOf(desk, "fingers", "wide, narrow, slotted")
	desk.says("Open sheets rely on what has changed", "Job 1041", "the bar fingers is gone, and the sheet uses it")
	desk.turn(".note.bad a[href='/jobs/" + code + "']")
	desk.says("The brake has been changed since this sheet was issued.", "the bar fingers is gone, and the sheet uses it")
	phone := s.use(t, phoneScreen)
	phone.quiet()
	phone.open("/t/" + code)
	phone.see("form.log")
}

// addTube makes a round bar out of a copy of the first one.
func addTube(desk *device) {
	desk.t.Helper()
	desk.turn("a[href^='/brakes/new?from=']:not([href*=file])")
	if got := desk.drawnBars(); got != "wide, narrow, slotted, fingers" {
		desk.t.Errorf("the form begins with the bars %q", got)
	}
	desk.choose("#f-bar", "wide")
	desk.turn("button[value=add-bar]")
	if got := desk.drawnBars(); got != "wide, narrow, slotted, fingers, wide 2" {
		desk.t.Errorf("after one was added the bars are %q", got)
	}
	desk.keyIn("#f-bars-4--name", "tube")
	desk.keyIn("#f-bars-4--rating-t", "1.1")
	desk.turn("button[value=draw]")
	if got := desk.drawnBars(); got != "wide, narrow, slotted, fingers, tube" {
		desk.t.Errorf("with another name the bars are %q", got)
	}
	before := desk.newestBrake()
	desk.turn("button[value=keep]")
	if got := desk.drawnBars(); got != "wide, narrow, slotted, fingers, tube" || desk.newestBrake() == before {
		desk.t.Errorf("the brake that is kept has the bars %q", got)
	}
	desk.says("1.10 mm")
	desk.turn("a[href*='/changes?from=']")
	desk.says("bars[tube].rating_t", "not there")
	desk.turn(".crumb a")
	desk.turn("a[href='/brakes/" + desk.newestBrake() + "']")
}

// missesFinger ticks a finger as missing that a sheet uses, and unticks it.
func missesFinger(desk *device, code, width string) {
	desk.t.Helper()
	box := fmt.Sprintf("[...document.querySelectorAll('.fingers label')].find(l => l.innerText.trim() === %q)", width)
	tick := desk.eval(box + ".querySelector('input').name")
	words := "finger " + width + " of fingers is missing, and the sheet uses it"
	desk.do(chromedp.Click(".fingers label:has([name=" + tick + "])"))
	desk.turn("form[action$='/fingers'] button")
	desk.holds(1, ".fingers input:checked")
	desk.holds(1, "[name="+tick+"]:checked")
	desk.says("Open sheets rely on what has changed", words)
	desk.turn(".note.bad a[href='/jobs/" + code + "']")
	desk.says("The brake has been changed since this sheet was issued.", words)
	desk.open("/brakes/" + desk.newestBrake())
	desk.do(chromedp.Click(".fingers label:has([name=" + tick + "])"))
	desk.turn("form[action$='/fingers'] button")
	desk.lacks(".fingers input:checked", ".note.bad")
	desk.open("/jobs/" + code)
	desk.lacks("#progress .note.bad")
}

// dropBarOf takes a bar away and keeps the brake.
func dropBarOf(desk *device, name, left string) {
	desk.t.Helper()
	desk.turn("a[href^='/brakes/new?from=']:not([href*=file])")
	desk.choose("#f-bar", name)
	desk.turn("button[value=drop-bar]")
	if got := desk.drawnBars(); got != left {
		desk.t.Errorf("without %s the bars are %q, want %q", name, got, left)
	}
	desk.turn("button[value=keep]")
	if got := desk.drawnBars(); got != left {
		desk.t.Errorf("kept without %s the brake has the bars %q, want %q", name, got, left)
	}
}
