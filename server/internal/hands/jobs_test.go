package hands_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"brakeside/server/internal/shoptest"
	"brakeside/traveler/standing"
)

// saves logs an angle on the page of a bend.
func saves(d *shoptest.Device, angle string) {
	d.T.Helper()
	d.Ready()
	d.Enter(angle)
}

// decides fills in what may be decided about a sheet, and sends it.
func decides(d *shoptest.Device, kind, detail string) {
	d.T.Helper()
	d.KeyIn("#"+kind, detail)
	d.Turn("form.act:has(#" + kind + ") button")
}

// What the owner decides about a run by the forms of its page stands on that
// page, and the phone at the brake goes by it.
func TestRunDecidedByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	desk, _ := s.AtDesk(t, session)
	phone := s.Use(t, shoptest.PhoneScreen)
	letGoOn(desk, phone)
	moreAndFewer(desk, phone)
	closeJob(desk, phone)
	decides(desk, standing.Voided, "drawn from the wrong side")
	desk.Says("This traveler is void", "made void: drawn from the wrong side (owner)")
	desk.Lacks("form.act input[value=closed]")
	phone.Open("/t/" + shoptest.ChannelCode)
	phone.Says("Stop. This traveler is void.")
	phone.Lacks("form.log")
}

// letGoOn bends a first piece that is out of tolerance: the owner lets the run go
// on, and what was bent of the second piece before is written down.
func letGoOn(desk, phone *shoptest.Device) {
	desk.T.Helper()
	for i, measured := range []string{"47", "90", "90"} {
		desk.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"g%d","piece":1,"step":%d,"measured":%s}`, i, i+1, measured))
	}
	phone.Open("/t/" + shoptest.ChannelCode + "/1?piece=2")
	phone.Says("First piece first.", "Piece 1, step 1: Open it by hand")
	phone.KeyIn("#ask-"+standing.ReleaseAsked, "the lip is trimmed")
	phone.Turn("form.ask button")
	phone.Open("/t/" + shoptest.ChannelCode + "/1?piece=2")
	phone.Says("The release was asked for.")
	phone.Turn("a[href$='bent=yes']")
	saves(phone, "45")
	phone.Logged(shoptest.ChannelCode, 4)
	phone.OnStep(1, 1)
	desk.Open("/")
	desk.Turn("a[href='/jobs/" + shoptest.ChannelCode + "']")
	desk.Says("The release of the run is asked for")
	if got := desk.Fact("First piece"); got != "not yet" {
		desk.T.Errorf("before anything was decided the first piece is %q, want not yet", got)
	}
	decides(desk, standing.Released, "the lip is trimmed anyway")
	desk.Says("run released: the lip is trimmed anyway")
	if got := desk.Fact("First piece"); got != "released by the owner" {
		desk.T.Errorf("the first piece is %q, want it released", got)
	}
	desk.Lacks("#" + standing.Released)
	if n := phone.Stored(shoptest.ChannelCode); n != 4 {
		phone.T.Errorf("%d readings are stored, want that of the second piece as the fourth", n)
	}
}

// moreAndFewer makes more pieces than were ordered and measures fewer of them.
func moreAndFewer(desk, phone *shoptest.Device) {
	desk.T.Helper()
	desk.KeyIn("#"+standing.Requantified, "a few")
	desk.Do(chromedp.Click("form.act:has(#" + standing.Requantified + ") button"))
	desk.Holds(1, "#"+standing.Requantified+":invalid")
	decides(desk, standing.Requantified, "5")
	desk.Says("pieces to make 5")
	if got := desk.Fact("Pieces"); got != "5" {
		desk.T.Errorf("%q pieces are to be made, want 5", got)
	}
	phone.Open("/t/" + shoptest.ChannelCode + "/1?piece=4")
	phone.Says("Job J-1041 · qty 5", "Piece 4 of 5")
	phone.Lacks("[data-sampling]:not([hidden])")
	decides(desk, standing.Resampled, "3")
	desk.Says("measured is one piece in 3")
	phone.Open("/t/" + shoptest.ChannelCode + "/1?piece=4")
	phone.Says("Measured are the first piece, one in 3, and the last. Piece 4 need not be measured.")
	kept, err := desk.Store.TravelerByCode(context.Background(), shoptest.ChannelCode)
	if err != nil || kept.Quantity != 5 || kept.Every != 3 {
		desk.T.Errorf("the store has %d pieces, one in %d measured, %v; want 5 and 3", kept.Quantity, kept.Every, err)
	}
}

// closeJob closes the job with the words that the page begins.
func closeJob(desk, phone *shoptest.Device) {
	desk.T.Helper()
	summary := desk.Eval("document.getElementById('closed').value")
	if want := "4 bends logged, 0 pieces scrapped, 3 of 4 in tolerance."; summary != want {
		desk.T.Errorf("the closing words begin with %q, want %q", summary, want)
	}
	decides(desk, standing.Closed, summary+" Two went as samples.")
	desk.Says("This traveler is closed", "closed: "+summary+" Two went as samples.")
	desk.Lacks("#" + standing.Closed)
	phone.Open("/t/" + shoptest.ChannelCode)
	phone.Says("This traveler is closed.")
	phone.Lacks("form.log")
	desk.Turn(".crumb a")
	if state := desk.Eval("[...document.querySelectorAll('table.list tr')].filter(r => r.querySelector('th a[href$=" + shoptest.ChannelCode + "]')).map(r => r.querySelector('[data-name=State]').innerText).join()"); state != "closed" {
		desk.T.Errorf("among the jobs it is %q, want closed", state)
	}
	desk.Turn("a[href='/jobs/" + shoptest.ChannelCode + "']")
}

// A batch that was begun when its sheet was replaced is finished from the old
// sheet once the owner allows it, until the sheet is made void: also for the
// phone that stands on a bend of it.
func TestOldBatchFinishedByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	code := s.IssueFor(s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), session), "1041", session)
	next := shoptest.ExampleOf("tray", "DT-310", "B")
	next.Set("tray.walls.back[0].leg", "60")
	part := s.MakeReady(next, session)
	newer := s.Send("/jobs", url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {"1041"}, "quantity": {"2"}, "replaces": {code}, "reason": {"back wall was too low"}}, session)
	desk, _ := s.AtDesk(t, session)
	phone := s.Use(t, shoptest.PhoneScreen)
	phone.Open("/t/" + code)
	phone.Says("replaced", "back wall was too low")
	phone.Lacks("form.log")
	desk.Open("/jobs/" + code)
	desk.Says("This traveler has been replaced.")
	decides(desk, standing.FinishAllowed, "two are half bent")
	desk.Says("the batch that was begun may be finished", "batch may be finished: two are half bent")
	desk.Lacks("#" + standing.FinishAllowed)
	phone.Open("/t/" + code)
	phone.Says("This traveler has been replaced; the batch may be finished from it.")
	saves(phone, targetOf(s, code))
	phone.See(".verdict.right")
	phone.Logged(code, 1)
	phone.Open("/t/" + code)
	decides(desk, standing.Voided, "the half bent ones are scrap")
	desk.Says("This traveler is void", "made void: the half bent ones are scrap")
	desk.Lacks("form.act input[value=closed]")
	saves(phone, targetOf(s, code))
	phone.Logged(code, 2)
	phone.See(".verdict.halt")
	phone.Says("void")
	if n := phone.Stored(code); n != 2 {
		t.Errorf("%d readings are stored on the void sheet, want the one from before and the one that was bent all the same", n)
	}
	phone.Open("/t/" + newer)
	phone.See("form.log")
}

// targetOf is the angle that the first bend of a sheet is to have, as typed.
func targetOf(s *shoptest.Shop, code string) string {
	s.Helper()
	kept, err := s.Store.TravelerByCode(context.Background(), code)
	if err != nil {
		s.Fatal(err)
	}
	return kept.Traveler.Steps[0].Target.Text(1)
}

// A run that was logged on paper is typed into the grid; the job's page, open at
// another desk, moves along, and the phone finds the run done.
func TestGridByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	desk, refused := s.AtDesk(t, session)
	office, _ := s.AtDesk(t, session)
	office.Open("/jobs/" + shoptest.ChannelCode)
	office.Says("Nothing has been logged yet.")
	desk.Open("/jobs/" + shoptest.ChannelCode)
	desk.Turn("a[href='/jobs/" + shoptest.ChannelCode + "/grid']")
	desk.Holds(9, "table.paper tbody input")
	desk.KeyIn("#f-by", "AB")
	desk.KeyIn("#f-pack", "heat 7")
	desk.KeyIn("[name=stop-2]", "93")
	for name, angle := range map[string]string{"m-1-1": "45.2", "m-1-2": "89.4", "m-1-3": "90.3", "m-2-1": "44.8", "m-2-2": "70", "m-3-1": "abc"} {
		desk.KeyIn("[name="+name+"]", angle)
	}
	desk.Turn("main form button.strong")
	refused(http.StatusUnprocessableEntity)
	desk.Says("4 saved.", "2 angles not saved")
	desk.Holds(4, "table.paper .in")
	desk.Holds(2, "table.paper td.wrong")
	office.Until("document.querySelectorAll('#progress table.dense tbody tr').length === 4")
	if got := office.Fact("Next"); got != "piece 3, step 1" {
		t.Errorf("the job's page goes on with %q, want piece 3, step 1", got)
	}
	for name, angle := range map[string]string{"m-2-3": "90", "m-3-1": "45", "m-3-2": "90.4", "m-3-3": "89.6"} {
		desk.KeyIn("[name="+name+"]", angle)
	}
	desk.Do(chromedp.Click("[name=confirmed]"))
	desk.Turn("main form button.strong")
	desk.Says("5 saved.")
	desk.Holds(9, "table.paper .in")
	desk.Lacks("table.paper td.wrong", "[role=alert]")
	office.Until("document.querySelectorAll('#progress table.dense tbody tr').length === 9")
	office.Says("stop at 93.0", "lot heat 7")
	if got := office.Fact("Next"); got != "none: all are in" {
		t.Errorf("the job's page goes on with %q, want all in", got)
	}
	phone := s.Use(t, shoptest.PhoneScreen)
	phone.Quiet()
	phone.Open("/t/" + shoptest.ChannelCode)
	phone.Says("All 3 pieces are logged.")
	if n := phone.Stored(shoptest.ChannelCode); n != 9 {
		t.Errorf("%d readings are stored, want 9", n)
	}
	desk.Turn("header nav a[href='/']")
	if bends := desk.Eval("[...document.querySelectorAll('table.list tr')].filter(r => r.querySelector('th a[href$=" + shoptest.ChannelCode + "]')).map(r => r.querySelector('progress').value + ' of ' + r.querySelector('progress').max).join()"); bends != "9 of 9" {
		t.Errorf("among the jobs %s bends are in, want 9 of 9", bends)
	}
}

// fetched follows a link of the page with the browser's session, and gives the
// status, the kind and the beginning of what is there.
func fetched(d *shoptest.Device, selector string) string {
	d.T.Helper()
	d.Eval(fmt.Sprintf(`window.fetched = 0, fetch(document.querySelector(%q).href).then(async a => window.fetched = [a.status, a.headers.get('Content-Type'), (await a.text()).slice(0, 4)].join(' '))`, selector))
	d.Until("typeof window.fetched === 'string'")
	return d.Eval("window.fetched")
}

// The links of a job's page lead to what is printed: the sheet, the label for
// the box and the record of the inspection, to those who may see them.
func TestJobPrintsByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	s.RecordFirstPiece()
	desk, _ := s.AtDesk(t, session)
	desk.Open("/jobs/" + shoptest.ChannelCode)
	for _, link := range []string{"/t/" + shoptest.ChannelCode + "/sheet.pdf", "/jobs/" + shoptest.ChannelCode + "/label.pdf", "/jobs/" + shoptest.ChannelCode + "/record.pdf"} {
		if got := fetched(desk, "a[href='"+link+"']"); got != "200 application/pdf %PDF" {
			t.Errorf("%s gives the owner %q, want a PDF", link, got)
		}
	}
	if got := fetched(desk, "a[href$='record.csv']"); !strings.HasPrefix(got, "200 text/csv") {
		t.Errorf("the record as CSV is %q", got)
	}
	desk.Turn("a[href$='/photos']")
	desk.Says("No photo has been taken yet.")
	phone := s.Use(t, shoptest.PhoneScreen)
	phone.Quiet()
	phone.Open("/t/" + shoptest.ChannelCode)
	if got := fetched(phone, "a[href$='/sheet.pdf']"); got != "200 application/pdf %PDF" {
		t.Errorf("the sheet is %q at the brake, want a PDF", got)
	}
	phone.Open("/jobs/" + shoptest.ChannelCode + "/label.pdf")
	phone.Says("Owner's sign-in")
}
