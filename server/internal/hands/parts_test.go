package hands_test

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/traveler/standing"
)

// The versions of a part are compared from its page; the part is archived and
// taken out again, and copied. The sheet that was issued from it is left alone.
func TestPartByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	code := s.IssueFor(s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), session), "1041", session)
	desk, _ := s.AtDesk(t, session)
	desk.Open("/parts")
	desk.Turn("table.list tbody th a")
	compareRevisions(desk)
	archives(desk)
	copyPart(desk)
	phone := s.Use(t, shoptest.PhoneScreen)
	phone.Quiet()
	phone.Open("/t/" + code)
	phone.Says("DT-310", "Job 1041 · qty 2")
	phone.See("form.log")
}

// compareRevisions makes the next revision with a higher wall and looks at what
// changed.
func compareRevisions(desk *shoptest.Device) {
	desk.T.Helper()
	const back = "#f-tray-walls-back-0--leg"
	desk.Turn("a[href^='/parts/new?from=']:not([href*=copy])")
	was := desk.Eval("document.querySelector('" + back + "').value")
	if got := desk.Eval("document.querySelector('#f-revision').value"); got != "B" || was == "61.5" {
		desk.T.Fatalf("the form is of revision %q with a wall of %q, want B and another wall than is typed", got, was)
	}
	desk.KeyIn(back, "61.5")
	desk.Turn("button[value=keep]")
	desk.Says("Draft: it may be changed")
	desk.Turn("a[href*='/changes?from=']")
	rows := desk.Eval("[...document.querySelectorAll('table.list tbody tr')].map(r => [...r.cells].map(c => c.innerText).join(' ')).join('|')")
	if want := "revision A B|tray.walls.back[0].leg " + was + " 61.5"; rows != want {
		desk.T.Errorf("what changed is %q, want %q", rows, want)
	}
	desk.Holds(2, ".beside .blank svg")
	desk.Turn("thead th:nth-child(2) a") // the version before
	desk.Says("A later version of this part is saved.", "Ready: it never changes")
	desk.Turn(".note a")
	desk.Says("Draft: it may be changed")
}

// archives archives the part and uses it again: meanwhile no list offers
// it, and no sheet can be issued from it by choosing.
func archives(desk *shoptest.Device) {
	desk.T.Helper()
	const offered = "#f-part-known option"
	listed := "table.list tbody th a"
	desk.Turn("button[value=archived]")
	desk.Says("The part is archived.")
	desk.Turn("header nav a[href='/parts']")
	desk.Says("No part is saved yet.")
	desk.Lacks(listed)
	desk.Open("/jobs/new")
	desk.Lacks(offered)
	desk.Open("/parts")
	desk.Turn("a[href='/parts?archived=yes']")
	desk.Holds(1, listed)
	desk.Turn(listed)
	desk.Turn("button[value=restored]")
	desk.Lacks("button[value=restored]")
	if strings.Contains(desk.Text(), "is archived") {
		desk.T.Error("the part is used again, and its page says it is archived")
	}
	desk.Open("/jobs/new")
	desk.Holds(1, offered)
	desk.Open("/parts")
	desk.Holds(1, listed)
	desk.Turn(listed)
}

// copyPart keeps a copy under the number that the form proposes.
func copyPart(desk *shoptest.Device) {
	desk.T.Helper()
	desk.Turn("a[href$='copy=yes']")
	if got := desk.Eval("['number', 'revision'].map(n => document.querySelector('#f-' + n).value).join()"); got != "DT-310 copy,A" {
		desk.T.Errorf("the copy begins as %q", got)
	}
	desk.KeyIn("#f-number", "DT-311")
	desk.Turn("button[value=ready]")
	desk.Says("DT-311", "Ready: it never changes", "No sheet has been issued for this part.")
	desk.Turn("header nav a[href='/parts']")
	if got := desk.Eval("[...document.querySelectorAll('table.list tbody th a')].map(a => a.innerText).sort().join()"); got != "DT-310,DT-311" {
		desk.T.Errorf("the parts are %q, want both", got)
	}
}

// A K-factor that trial strips propose is accepted, taken back, set to another
// and refused; the page of a part reckons with what holds.
func TestKByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	form := shoptest.ExampleOf("l", "L-1", "A")
	form.Set("thickness", "1.5")
	form.Set("inside_radius", "1.5")
	part := s.Send("/parts", form, session)
	s.Strips(3)
	desk, _ := s.AtDesk(t, session)
	const accept, refuse, another = ".plan form:has([value=accepted]) button", ".plan form:has([value=refused]) button", ".plan form:has([value=edited]) button"
	reckoned := func(with string, settled int) {
		t.Helper()
		desk.Open("/parts/" + part)
		if got := desk.Eval("document.querySelector('[data-name=K-factor]').innerText"); !strings.HasPrefix(got, with) || len(s.Ks()) != settled {
			t.Errorf("the part is reckoned with %q and %d settled, want %s and %d", got, len(s.Ks()), with, settled)
		}
		desk.Open("/review")
		desk.Turn("nav.kinds a[href='/review/stops']")
	}
	reckoned("0.330", 0)
	desk.Says("from n = 3 trial strips", "Calculated with 0.330 now")
	proposed := desk.Eval("document.querySelector('.plan .minutes').innerText.replace('K ', '')")
	desk.Turn(accept)
	desk.Lacks(".plan")
	desk.Says("accepted: K from 0.330 to "+proposed, "in use")
	reckoned(proposed, 1)
	desk.Turn("form:has([value=returned]) button")
	desk.Says("returned")
	reckoned("0.330", 0)
	desk.KeyIn("#k-0", "0.36")
	desk.Turn(another)
	desk.Says("edited: K from 0.330 to 0.360")
	reckoned("0.360", 1)
	desk.Turn("form:has([value=returned]) button")
	desk.Turn(refuse)
	desk.Lacks(".plan", "form:has([value=returned])")
	reckoned("0.330", 0)
}

// The handling minutes that slow jobs propose are refused, and when slower ones
// propose them again accepted and taken back; the brake has a version with each.
func TestMinutesByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("l", "LP-1", "A"), session)
	name := s.SlowJobs(part, 1.5, session)
	before, versions := s.HandlingNow(name)
	desk, _ := s.AtDesk(t, session)
	desk.Open("/review")
	desk.Turn("nav.kinds a[href='/review/time']")
	desk.Says("1.50 times the current minutes", fmt.Sprintf("%.2f", before.Bend), fmt.Sprintf("%.2f", 1.5*before.Bend))
	desk.Turn(".plan form:has([value=refused]) button")
	desk.Lacks(".plan", "form:has([value=returned])")
	if _, n := s.HandlingNow(name); n != versions {
		t.Errorf("refused, the brake has %d versions, want %d", n, versions)
	}
	s.SlowJobs(part, 1.9, session) // the middle one of six is 1.7 now: worth asking again
	desk.Open("/review/time")
	desk.Turn(".plan form:has([value=accepted]) button")
	desk.Lacks(".plan")
	desk.Says("accepted: handling minutes by 1.70", "in use")
	if now, n := s.HandlingNow(name); n != versions+1 || now.Bend <= before.Bend {
		t.Errorf("accepted, a bend takes %v minutes in version %d; it took %v in %d", now.Bend, n, before.Bend, versions)
	}
	desk.Open("/brakes/" + s.NewestBrake())
	desk.Turn("a[href*='/changes?from=']")
	desk.Says("minutes.bend")
	desk.Open("/review/time")
	desk.Turn("form:has([value=returned]) button")
	desk.Says("returned: handling minutes as before")
	if now, n := s.HandlingNow(name); n != versions+2 || fmt.Sprint(now) != fmt.Sprint(before) {
		t.Errorf("gone back, the minutes are %+v in version %d, want %+v", now, n, before)
	}
}

// Somebody who may only look is given a password, signs in at another desk, finds
// nothing there to change, and is out when everybody is signed out.
func TestViewerByHand(t *testing.T) {
	t.Parallel()
	s, session := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), session)
	code := s.IssueFor(part, "1041", session)
	desk, refused := s.AtDesk(t, session)
	desk.Open("/shop")
	desk.Says("There is no such account.")
	desk.KeyIn("#f-viewer", shoptest.Password)
	desk.Turn("button[value=set]")
	refused(http.StatusUnprocessableEntity)
	desk.Says("This password is in use.")
	desk.KeyIn("#f-viewer", shoptest.ViewerPassword)
	desk.Turn("button[value=set]")
	desk.Says("The account that may only view is set.")
	other := s.Use(t, shoptest.Screen{Width: 1280, Height: 900, Touch: false})
	denied := other.Quiet()
	other.Open("/jobs/" + code)
	other.KeyIn("#password", shoptest.ViewerPassword)
	other.Turn("button.main")
	other.Says("Job 1041")
	looksOnly(other, denied, part, code)
	desk.Open("/shop")
	desk.Says("2 browsers, this one among them.")
	desk.Turn("form[action='/shop/sessions'] button")
	desk.See("#password")
	for _, d := range []*shoptest.Device{desk, other} {
		d.Open("/parts")
		d.Says("Owner's sign-in")
	}
	if n, err := s.Store.Sessions(context.Background()); n != 0 || err != nil {
		t.Errorf("%d browsers are signed in, %v; want none", n, err)
	}
	desk.KeyIn("#password", shoptest.Password)
	desk.Turn("button.main")
	desk.Holds(1, "table.list tbody th a")
}

// looksOnly opens the pages as the viewer: they offer nothing but the way out,
// and what is asked for all the same is refused.
func looksOnly(other *shoptest.Device, denied func(int), part, code string) {
	other.T.Helper()
	pages := []string{"/", "/jobs/" + code, "/parts", "/parts/" + part, "/brakes/" + other.NewestBrake(), "/stock", "/review/stops", "/review/time", "/review/measuring", "/review/first-pieces", "/shop"}
	for _, page := range pages {
		other.Open(page)
		other.Holds(1, "form[method=post]:has(button)")
		other.Holds(1, "form[action='/signout']")
		other.Lacks("a[href^='/parts/new']", "a[href^='/brakes/new']", "a[href^='/jobs/new']", "a[href$='/grid']", "a[href='/setup']")
	}
	for _, page := range []string{"/parts/new", "/brakes/new", "/jobs/new", "/jobs/" + code + "/grid"} {
		other.Open(page)
		other.Says("Not allowed", "This account may look and not change.")
		denied(http.StatusForbidden)
	}
	other.Open("/jobs/" + code)
	other.Eval(fmt.Sprintf("window.status = 0, fetch('/jobs/%s/events', {method: 'POST', body: new URLSearchParams({kind: %q, detail: 'no more'})}).then(a => window.answered = a.status)", code, standing.Closed))
	other.Until("window.answered === 403")
	denied(http.StatusForbidden)
	if kept, err := other.Store.TravelerByCode(context.Background(), code); err != nil || kept.Closed {
		other.T.Errorf("the viewer has closed the job: %v, %v", kept.Closed, err)
	}
}
