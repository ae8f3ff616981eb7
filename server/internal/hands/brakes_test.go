package hands_test

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
)

// choose picks an entry of a list by its words.
func choose(d *shoptest.Device, selector, words string) {
	d.T.Helper()
	value := d.Eval(fmt.Sprintf("[...document.querySelector(%q).options].filter(o => o.text === %q).map(o => o.value).join('|')", selector, words))
	d.Do(chromedp.SetValue(selector, value))
	if got := d.Eval(fmt.Sprintf("document.querySelector(%q).selectedOptions[0]?.text", selector)); got != words {
		d.T.Fatalf("%s is on %q, want %q", selector, got, words)
	}
}

// drawnBars lists the bars whose sections are drawn on the page.
func drawnBars(d *shoptest.Device) string {
	d.T.Helper()
	return d.Eval("[...document.querySelectorAll('.drawn figure, .onebar')].filter(f => f.querySelector('svg')).map(f => f.querySelector('h2, h3').innerText).join(', ')")
}

// fingerOf finds a finger that a sheet uses: its width in millimetres.
func fingerOf(t *testing.T, s *shoptest.Shop, code string) string {
	t.Helper()
	kept, err := s.Store.TravelerByCode(t.Context(), code)
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
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	code := s.IssueFor(s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), session), "1041", session)
	finger := fingerOf(t, s, code)
	desk, _ := s.AtDesk(t, session)
	desk.Open("/brakes")
	desk.Turn("table.list tbody th a")
	addTube(desk)
	desk.Lacks(".note.bad")
	missesFinger(desk, code, finger)
	desk.Open("/brakes/" + s.NewestBrake())
	dropBarOf(desk, "tube", "wide, narrow, slotted, fingers")
	desk.Lacks(".note.bad")
	dropBarOf(desk, "fingers", "wide, narrow, slotted")
	desk.Says("Open sheets rely on what has changed", "Job 1041", "the bar fingers is gone, and the sheet uses it")
	desk.Turn(".note.bad a[href='/jobs/" + code + "']")
	desk.Says("The brake has been changed since this sheet was issued.", "the bar fingers is gone, and the sheet uses it")
	phone := s.Use(t, shoptest.PhoneScreen)
	phone.Quiet()
	phone.Open("/t/" + code)
	phone.See("form.log")
}

// addTube makes a round bar out of a copy of the first one.
func addTube(desk *shoptest.Device) {
	desk.T.Helper()
	desk.Turn("a[href^='/brakes/new?from=']:not([href*=file])")
	if got := drawnBars(desk); got != "wide, narrow, slotted, fingers" {
		desk.T.Errorf("the form begins with the bars %q", got)
	}
	choose(desk, "#f-bar", "wide")
	desk.Turn("button[value=add-bar]")
	if got := drawnBars(desk); got != "wide, narrow, slotted, fingers, wide 2" {
		desk.T.Errorf("after one was added the bars are %q", got)
	}
	desk.KeyIn("#f-bars-4--name", "tube")
	desk.KeyIn("#f-bars-4--rating-t", "1.1")
	desk.Turn("button[value=draw]")
	if got := drawnBars(desk); got != "wide, narrow, slotted, fingers, tube" {
		desk.T.Errorf("with another name the bars are %q", got)
	}
	before := desk.NewestBrake()
	desk.Turn("button[value=keep]")
	if got := drawnBars(desk); got != "wide, narrow, slotted, fingers, tube" || desk.NewestBrake() == before {
		desk.T.Errorf("the brake that is kept has the bars %q", got)
	}
	desk.Says("1.10 mm")
	desk.Turn("a[href*='/changes?from=']")
	desk.Says("bars[tube].rating_t", "not there")
	desk.Turn(".crumb a")
	desk.Turn("a[href='/brakes/" + desk.NewestBrake() + "']")
}

// missesFinger ticks a finger as missing that a sheet uses, and unticks it.
func missesFinger(desk *shoptest.Device, code, width string) {
	desk.T.Helper()
	box := fmt.Sprintf("[...document.querySelectorAll('.fingers label')].find(l => l.innerText.trim() === %q)", width)
	tick := desk.Eval(box + ".querySelector('input').name")
	words := "finger " + width + " of fingers is missing, and the sheet uses it"
	desk.Do(chromedp.Click(".fingers label:has([name=" + tick + "])"))
	desk.Turn("form[action$='/fingers'] button")
	desk.Holds(1, ".fingers input:checked")
	desk.Holds(1, "[name="+tick+"]:checked")
	desk.Says("Open sheets rely on what has changed", words)
	desk.Turn(".note.bad a[href='/jobs/" + code + "']")
	desk.Says("The brake has been changed since this sheet was issued.", words)
	desk.Open("/brakes/" + desk.NewestBrake())
	desk.Do(chromedp.Click(".fingers label:has([name=" + tick + "])"))
	desk.Turn("form[action$='/fingers'] button")
	desk.Lacks(".fingers input:checked", ".note.bad")
	desk.Open("/jobs/" + code)
	desk.Lacks("#progress .note.bad")
}

// dropBarOf takes a bar away and keeps the brake.
func dropBarOf(desk *shoptest.Device, name, left string) {
	desk.T.Helper()
	desk.Turn("a[href^='/brakes/new?from=']:not([href*=file])")
	choose(desk, "#f-bar", name)
	desk.Turn("button[value=drop-bar]")
	if got := drawnBars(desk); got != left {
		desk.T.Errorf("without %s the bars are %q, want %q", name, got, left)
	}
	desk.Turn("button[value=keep]")
	if got := drawnBars(desk); got != left {
		desk.T.Errorf("kept without %s the brake has the bars %q, want %q", name, got, left)
	}
}
