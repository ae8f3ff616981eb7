package server

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/store"
)

// atDesk opens a tab of the size of a desk, signed in with a session.
func (s *shop) atDesk(t *testing.T, session *http.Cookie) (desk *device, refused func(status int)) {
	t.Helper()
	desk = s.use(t, screen{1280, 900, false})
	desk.signInWith(session.Value)
	return desk, desk.quiet()
}

// quiet fails the test for what the browser complains of in a tab, except for
// the refusals that the test asks for: each is named once it has been seen.
func (d *device) quiet() (refused func(status int)) {
	d.t.Helper()
	complaints := d.watch()
	d.t.Cleanup(func() {
		for _, said := range complaints() {
			d.t.Errorf("the browser complains, or asked outside the service: %s", said)
		}
	})
	return func(status int) {
		d.t.Helper()
		said := complaints()
		if len(said) == 0 {
			d.t.Errorf("nothing was refused, want a status of %d", status)
		}
		for _, s := range said {
			if !strings.Contains(s, fmt.Sprintf("status of %d", status)) {
				d.t.Errorf("besides the refusal the browser complains: %s", s)
			}
		}
	}
}

// keyIn types into a field key by key, over what is in it.
func (d *device) keyIn(selector, text string) {
	d.t.Helper()
	d.do(chromedp.Click(selector))
	d.eval(fmt.Sprintf("document.querySelector(%q).select()", selector))
	d.do(chromedp.KeyEvent(text))
	if got := d.eval(fmt.Sprintf("document.querySelector(%q).value", selector)); got != text {
		d.t.Fatalf("%s holds %q, want %q; page: %s", selector, got, text, d.text())
	}
}

// turn presses a button or a link and waits for the page that comes of it, also
// where that has the address of the one before.
func (d *device) turn(selector string) {
	d.t.Helper()
	d.eval("window.before = true")
	d.do(chromedp.Click(selector))
	d.until("window.before === undefined")
}

// lacks checks that the page holds none of the elements.
func (d *device) lacks(selectors ...string) {
	d.t.Helper()
	for _, selector := range selectors {
		if n := d.eval(fmt.Sprintf("document.querySelectorAll(%q).length", selector)); n != "0" {
			d.t.Errorf("%s: %s of them on the page, want none; it says:\n%s", selector, n, d.text())
		}
	}
}

// holds checks how many of an element the page has.
func (d *device) holds(count int, selector string) {
	d.t.Helper()
	if n := d.eval(fmt.Sprintf("document.querySelectorAll(%q).length", selector)); n != fmt.Sprint(count) {
		d.t.Errorf("%s: %s of them on the page, want %d; it says:\n%s", selector, n, count, d.text())
	}
}

// fact gives what the page says beside a word of its list of facts.
func (d *device) fact(word string) string {
	d.t.Helper()
	return d.eval(fmt.Sprintf("[...document.querySelectorAll('dl.facts > div')].filter(f => f.querySelector('dt').innerText === %q).map(f => f.querySelector('dd').innerText).join('|')", word))
}

// saves logs an angle on the page of a bend.
func (d *device) saves(angle string) {
	d.t.Helper()
	d.keyIn("#typed", angle)
	d.tap("button.main")
}

// decides fills in what may be decided about a sheet, and sends it.
func (d *device) decides(kind, detail string) {
	d.t.Helper()
	d.keyIn("#"+kind, detail)
	d.turn("form.act:has(#" + kind + ") button")
}

// What the owner decides about a run by the forms of its page stands on that
// page, and the phone at the brake goes by it.
func TestRunDecidedByHand(t *testing.T) {
	s, session := openOffice(t)
	desk, _ := s.atDesk(t, session)
	phone := s.use(t, phoneScreen)
	letGoOn(desk, phone)
	moreAndFewer(desk, phone)
	closeJob(desk, phone)
	desk.decides(store.EventVoided, "drawn from the wrong side")
	desk.says("This sheet is void", "made void: drawn from the wrong side (owner)")
	desk.lacks("form.act")
	phone.open("/t/" + channelCode)
	phone.says("Stop. This sheet is void.")
	phone.lacks("form.log")
}

// letGoOn bends a first piece that is out of tolerance: the owner lets the run go
// on, and what was bent of the second piece before is written down.
func letGoOn(desk, phone *device) {
	desk.t.Helper()
	for i, measured := range []string{"47", "90", "90"} {
		desk.record(channelCode, fmt.Sprintf(`{"id":"g%d","piece":1,"step":%d,"measured":%s}`, i, i+1, measured))
	}
	phone.open("/t/" + channelCode + "/1?piece=2")
	phone.saves("45")
	phone.until(`location.search.startsWith("?saved=")`)
	desk.open("/")
	desk.turn("a[href='/jobs/" + channelCode + "']")
	if got := desk.fact("First piece"); got != "not yet" {
		desk.t.Errorf("before anything was decided the first piece is %q, want not yet", got)
	}
	desk.decides(store.EventOverride, "the lip is trimmed anyway")
	desk.says("run let go on: the lip is trimmed anyway")
	if got := desk.fact("First piece"); got != "let through by the owner" {
		desk.t.Errorf("the first piece is %q, want it let through", got)
	}
	desk.lacks("#" + store.EventOverride)
	if n := phone.stored(channelCode); n != 4 {
		phone.t.Errorf("%d readings are stored, want that of the second piece as the fourth", n)
	}
}

// moreAndFewer makes more pieces than were ordered and measures fewer of them.
func moreAndFewer(desk, phone *device) {
	desk.t.Helper()
	desk.keyIn("#"+store.EventQuantity, "a few")
	desk.do(chromedp.Click("form.act:has(#" + store.EventQuantity + ") button"))
	desk.holds(1, "#"+store.EventQuantity+":invalid")
	desk.decides(store.EventQuantity, "5")
	desk.says("pieces to make 5")
	if got := desk.fact("Pieces"); got != "5" {
		desk.t.Errorf("%q pieces are to be made, want 5", got)
	}
	phone.open("/t/" + channelCode + "/1?piece=4")
	phone.says("Job J-1041 · 5 off", "Piece 4 of 5")
	phone.lacks("[data-sampling]")
	desk.decides(store.EventSampling, "3")
	desk.says("measured is one piece in 3")
	phone.open("/t/" + channelCode + "/1?piece=4")
	phone.says("Measured are the first piece, one in 3, and the last. Piece 4 need not be measured.")
	kept, err := desk.store.TravelerByCode(context.Background(), channelCode)
	if err != nil || kept.Quantity != 5 || kept.Every != 3 {
		desk.t.Errorf("the store has %d pieces, one in %d measured, %v; want 5 and 3", kept.Quantity, kept.Every, err)
	}
}

// closeJob closes the job with the words that the page begins.
func closeJob(desk, phone *device) {
	desk.t.Helper()
	summary := desk.eval("document.getElementById('closed').value")
	if want := "4 bends logged, 0 pieces scrapped, 3 of 4 in tolerance."; summary != want {
		desk.t.Errorf("the closing words begin with %q, want %q", summary, want)
	}
	desk.decides(store.EventClosed, summary+" Two went as samples.")
	desk.says("This sheet is closed", "closed: "+summary+" Two went as samples.")
	desk.lacks("#" + store.EventClosed)
	phone.open("/t/" + channelCode)
	phone.says("This job is closed.")
	phone.lacks("form.log")
	desk.turn(".crumb a")
	if state := desk.eval("[...document.querySelectorAll('table.list tr')].filter(r => r.querySelector('th a[href$=" + channelCode + "]')).map(r => r.querySelector('[data-name=State]').innerText).join()"); state != "closed" {
		desk.t.Errorf("among the jobs it is %q, want closed", state)
	}
	desk.turn("a[href='/jobs/" + channelCode + "']")
}

// A batch that was begun when its sheet was replaced is finished from the old
// sheet once the owner allows it, until the sheet is made void: also for the
// phone that stands on a bend of it.
func TestOldBatchFinishedByHand(t *testing.T) {
	s, session := openOffice(t)
	code := s.issueFor(s.makeReady(exampleOf("tray", "DT-310", "A"), session), "1041", session)
	next := exampleOf("tray", "DT-310", "B")
	next.Set("tray.walls.back[0].leg", "60")
	part := s.makeReady(next, session)
	newer := s.send("/jobs", url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {"1041"}, "quantity": {"2"}, "replaces": {code}, "reason": {"back wall was too low"}}, session)
	desk, _ := s.atDesk(t, session)
	phone := s.use(t, phoneScreen)
	phone.open("/t/" + code)
	phone.says("replaced", "back wall was too low")
	phone.lacks("form.log")
	desk.open("/jobs/" + code)
	desk.says("This sheet has been replaced: nothing can be logged on it.")
	desk.decides(store.EventFinishAllowed, "two are half bent")
	desk.says("the batch that was begun may be finished", "batch may be finished: two are half bent")
	desk.lacks("#" + store.EventFinishAllowed)
	phone.open("/t/" + code)
	phone.says("This sheet has been replaced; the batch may be finished from it.")
	phone.saves(targetOf(s, code))
	phone.until(`location.search.startsWith("?saved=")`)
	if n := phone.stored(code); n != 1 {
		t.Errorf("%d readings are stored on the old sheet, want 1", n)
	}
	phone.open("/t/" + code)
	desk.decides(store.EventVoided, "the half bent ones are scrap")
	desk.says("This sheet is void", "made void: the half bent ones are scrap")
	desk.lacks("form.act")
	phone.saves(targetOf(s, code))
	phone.until("document.querySelector('.bend, form.log') === null")
	phone.says("void")
	if n := phone.stored(code); n != 2 {
		t.Errorf("%d readings are stored on the void sheet, want the one from before and the one that was bent all the same", n)
	}
	phone.open("/t/" + newer)
	phone.see("form.log")
}

// targetOf is the angle that the first bend of a sheet is to have, as typed.
func targetOf(s *shop, code string) string {
	s.Helper()
	kept, err := s.store.TravelerByCode(context.Background(), code)
	if err != nil {
		s.Fatal(err)
	}
	return kept.Traveler.Steps[0].Target.Text(1)
}

// A run that was logged on paper is typed into the grid; the job's page, open at
// another desk, moves along, and the phone finds the run done.
func TestGridByHand(t *testing.T) {
	s, session := openOffice(t)
	desk, refused := s.atDesk(t, session)
	office, _ := s.atDesk(t, session)
	office.open("/jobs/" + channelCode)
	office.says("Nothing has been logged yet.")
	desk.open("/jobs/" + channelCode)
	desk.turn("a[href='/jobs/" + channelCode + "/grid']")
	desk.holds(9, "table.paper tbody input")
	desk.keyIn("#f-by", "AB")
	desk.keyIn("#f-pack", "heat 7")
	desk.keyIn("[name=stop-2]", "93")
	for name, angle := range map[string]string{"m-1-1": "45.2", "m-1-2": "89.4", "m-1-3": "90.3", "m-2-1": "44.8", "m-2-2": "70", "m-3-1": "abc"} {
		desk.keyIn("[name="+name+"]", angle)
	}
	desk.turn("main form button.strong")
	refused(http.StatusUnprocessableEntity)
	desk.says("4 kept.", "2 angles not kept")
	desk.holds(4, "table.paper .in")
	desk.holds(2, "table.paper td.wrong")
	office.until("document.querySelectorAll('#progress table.dense tbody tr').length === 4")
	if got := office.fact("Next"); got != "piece 3, step 1" {
		t.Errorf("the job's page goes on with %q, want piece 3, step 1", got)
	}
	for name, angle := range map[string]string{"m-2-3": "90", "m-3-1": "45", "m-3-2": "90.4", "m-3-3": "89.6"} {
		desk.keyIn("[name="+name+"]", angle)
	}
	desk.do(chromedp.Click("[name=confirmed]"))
	desk.turn("main form button.strong")
	desk.says("5 kept.")
	desk.holds(9, "table.paper .in")
	desk.lacks("table.paper td.wrong", "[role=alert]")
	office.until("document.querySelectorAll('#progress table.dense tbody tr').length === 9")
	office.says("stop at 93.0", "pack heat 7")
	if got := office.fact("Next"); got != "none: all are in" {
		t.Errorf("the job's page goes on with %q, want all in", got)
	}
	phone := s.use(t, phoneScreen)
	phone.quiet()
	phone.open("/t/" + channelCode)
	phone.says("All 3 pieces are logged.")
	if n := phone.stored(channelCode); n != 9 {
		t.Errorf("%d readings are stored, want 9", n)
	}
	desk.turn("header nav a[href='/']")
	if bends := desk.eval("[...document.querySelectorAll('table.list tr')].filter(r => r.querySelector('th a[href$=" + channelCode + "]')).map(r => r.querySelector('progress').value + ' of ' + r.querySelector('progress').max).join()"); bends != "9 of 9" {
		t.Errorf("among the jobs %s bends are in, want 9 of 9", bends)
	}
}

// fetched follows a link of the page with the browser's session, and gives the
// status, the kind and the beginning of what is there.
func (d *device) fetched(selector string) string {
	d.t.Helper()
	d.eval(fmt.Sprintf(`window.fetched = 0, fetch(document.querySelector(%q).href).then(async a => window.fetched = [a.status, a.headers.get('Content-Type'), (await a.text()).slice(0, 4)].join(' '))`, selector))
	d.until("typeof window.fetched === 'string'")
	return d.eval("window.fetched")
}

// The links of a job's page lead to what is printed: the sheet, the label for
// the box and the record of the inspection, to those who may see them.
func TestJobPrintsByHand(t *testing.T) {
	s, session := openOffice(t)
	s.recordFirstPiece()
	desk, _ := s.atDesk(t, session)
	desk.open("/jobs/" + channelCode)
	for _, link := range []string{"/t/" + channelCode + "/sheet.pdf", "/jobs/" + channelCode + "/label.pdf", "/jobs/" + channelCode + "/record.pdf"} {
		if got := desk.fetched("a[href='" + link + "']"); got != "200 application/pdf %PDF" {
			t.Errorf("%s gives the owner %q, want a PDF", link, got)
		}
	}
	if got := desk.fetched("a[href$='record.csv']"); !strings.HasPrefix(got, "200 text/csv") {
		t.Errorf("the record as CSV is %q", got)
	}
	desk.turn("a[href$='/photos']")
	desk.says("No photo has been taken yet.")
	phone := s.use(t, phoneScreen)
	phone.quiet()
	phone.open("/t/" + channelCode)
	if got := phone.fetched("a[href$='/sheet.pdf']"); got != "200 application/pdf %PDF" {
		t.Errorf("the sheet is %q at the brake, want a PDF", got)
	}
	phone.open("/jobs/" + channelCode + "/label.pdf")
	phone.says("Owner's sign-in")
}
