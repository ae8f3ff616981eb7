package server

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"brakeside/server/store"
)

// The versions of a part are compared from its page; the part is put away and
// taken out again, and copied. The sheet that was issued from it is left alone.
func TestPartByHand(t *testing.T) {
	s, session := openOffice(t)
	code := s.issueFor(s.makeReady(exampleOf("tray", "DT-310", "A"), session), "1041", session)
	desk, _ := s.atDesk(t, session)
	desk.open("/parts")
	desk.turn("table.list th a")
	compareRevisions(desk)
	putAway(desk)
	copyPart(desk)
	phone := s.use(t, phoneScreen)
	phone.quiet()
	phone.open("/t/" + code)
	phone.says("DT-310", "Job 1041 · 2 off")
	phone.see("form.log")
}

// compareRevisions makes the next revision with a higher wall and looks at what
// changed.
func compareRevisions(desk *device) {
	desk.t.Helper()
	const back = "#f-tray-walls-back-0--leg"
	desk.turn("a[href^='/parts/new?from=']:not([href*=copy])")
	was := desk.eval("document.querySelector('" + back + "').value")
	if got := desk.eval("document.querySelector('#f-revision').value"); got != "B" || was == "61.5" {
		desk.t.Fatalf("the form is of revision %q with a wall of %q, want B and another wall than is typed", got, was)
	}
	desk.keyIn(back, "61.5")
	desk.turn("button[value=keep]")
	desk.says("Draft: it may be changed")
	desk.turn("a[href*='/changes?from=']")
	rows := desk.eval("[...document.querySelectorAll('table.list tbody tr')].map(r => [...r.cells].map(c => c.innerText).join(' ')).join('|')")
	if want := "revision A B|tray.walls.back[0].leg " + was + " 61.5"; rows != want {
		desk.t.Errorf("what changed is %q, want %q", rows, want)
	}
	desk.holds(2, ".beside .blank svg")
	desk.turn("thead th:nth-child(2) a") // the version before
	desk.says("A later version of this part is kept.", "Ready: it never changes")
	desk.turn(".note a")
	desk.says("Draft: it may be changed")
}

// putAway puts the part away and takes it out again: meanwhile no list offers
// it, and no sheet can be issued from it by choosing.
func putAway(desk *device) {
	desk.t.Helper()
	const offered = "#f-part option"
	listed := "table.list th a"
	desk.turn("button[value=archived]")
	desk.says("The part is put away.")
	desk.turn("header nav a[href='/parts']")
	desk.says("No part is kept yet.")
	desk.lacks(listed)
	desk.open("/jobs/new")
	desk.lacks(offered)
	desk.open("/parts")
	desk.turn("a[href='/parts?archived=yes']")
	desk.holds(1, listed)
	desk.turn(listed)
	desk.turn("button[value=restored]")
	desk.lacks("button[value=restored]")
	if strings.Contains(desk.text(), "put away") {
		desk.t.Error("the part is taken out again, and its page says it is put away")
	}
	desk.open("/jobs/new")
	desk.holds(1, offered)
	desk.open("/parts")
	desk.holds(1, listed)
	desk.turn(listed)
}

// copyPart keeps a copy under the number that the form proposes.
func copyPart(desk *device) {
	desk.t.Helper()
	desk.turn("a[href$='copy=yes']")
	if got := desk.eval("['number', 'revision'].map(n => document.querySelector('#f-' + n).value).join()"); got != "DT-310 copy,A" {
		desk.t.Errorf("the copy begins as %q", got)
	}
	desk.keyIn("#f-number", "DT-311")
	desk.turn("button[value=ready]")
	desk.says("DT-311", "Ready: it never changes", "No sheet has been issued for this part.")
	desk.turn("header nav a[href='/parts']")
	if got := desk.eval("[...document.querySelectorAll('table.list th a')].map(a => a.innerText).sort().join()"); got != "DT-310,DT-311" {
		desk.t.Errorf("the parts are %q, want both", got)
	}
}

// A K-factor that trial strips propose is accepted, taken back, set to another
// and refused; the page of a part reckons with what holds.
func TestKByHand(t *testing.T) {
	s, session := openOffice(t)
	form := exampleOf("l", "L-1", "A")
	form.Set("thickness", "1.5")
	form.Set("inside_radius", "1.5")
	part := s.send("/parts", form, session)
	s.strips(3)
	desk, _ := s.atDesk(t, session)
	const accept, refuse, another = ".plan form:has([value=accepted]) button", ".plan form:has([value=refused]) button", ".plan form:has([value=edited]) button"
	reckoned := func(with string, settled int) {
		t.Helper()
		desk.open("/parts/" + part)
		if got := desk.eval("document.querySelector('[data-name=K-factor]').innerText"); !strings.HasPrefix(got, with) || len(s.ks()) != settled {
			t.Errorf("the part is reckoned with %q and %d settled, want %s and %d", got, len(s.ks()), with, settled)
		}
		desk.open("/review")
		desk.turn("nav.kinds a[href='/review/stops']")
	}
	reckoned("0.330", 0)
	desk.says("from n = 3 trial strips", "Reckoned with 0.330 now")
	proposed := desk.eval("document.querySelector('.plan .minutes').innerText.replace('K ', '')")
	desk.turn(accept)
	desk.lacks(".plan")
	desk.says("accepted: K from 0.330 to "+proposed, "in use")
	reckoned(proposed, 1)
	desk.turn("form:has([value=returned]) button")
	desk.says("returned")
	reckoned("0.330", 0)
	desk.keyIn("#k-0", "0.36")
	desk.turn(another)
	desk.says("edited: K from 0.330 to 0.360")
	reckoned("0.360", 1)
	desk.turn("form:has([value=returned]) button")
	desk.turn(refuse)
	desk.lacks(".plan", "form:has([value=returned])")
	reckoned("0.330", 0)
}

// The handling minutes that slow jobs propose are refused, and when slower ones
// propose them again accepted and taken back; the brake has a version with each.
func TestMinutesByHand(t *testing.T) {
	s, session := openOffice(t)
	part := s.makeReady(exampleOf("l", "LP-1", "A"), session)
	name := s.slowJobs(part, 1.5, session)
	before, versions := s.handlingNow(name)
	desk, _ := s.atDesk(t, session)
	desk.open("/review")
	desk.turn("nav.kinds a[href='/review/time']")
	desk.says("1.50 times the minutes of now", fmt.Sprintf("%.2f", before.Bend), fmt.Sprintf("%.2f", 1.5*before.Bend))
	desk.turn(".plan form:has([value=refused]) button")
	desk.lacks(".plan", "form:has([value=returned])")
	if _, n := s.handlingNow(name); n != versions {
		t.Errorf("refused, the brake has %d versions, want %d", n, versions)
	}
	s.slowJobs(part, 1.9, session) // the middle one of six is 1.7 now: worth asking again
	desk.open("/review/time")
	desk.turn(".plan form:has([value=accepted]) button")
	desk.lacks(".plan")
	desk.says("accepted: handling minutes by 1.70", "in use")
	if now, n := s.handlingNow(name); n != versions+1 || now.Bend <= before.Bend {
		t.Errorf("accepted, a bend takes %v minutes in version %d; it took %v in %d", now.Bend, n, before.Bend, versions)
	}
	desk.open("/brakes/" + s.newestBrake())
	desk.turn("a[href*='/changes?from=']")
	desk.says("minutes.bend")
	desk.open("/review/time")
	desk.turn("form:has([value=returned]) button")
	desk.says("returned: handling minutes as before")
	if now, n := s.handlingNow(name); n != versions+2 || fmt.Sprint(now) != fmt.Sprint(before) {
		t.Errorf("gone back, the minutes are %+v in version %d, want %+v", now, n, before)
	}
}

// Somebody who may only look is given a password, signs in at another desk, finds
// nothing there to change, and is out when everybody is signed out.
func TestViewerByHand(t *testing.T) {
	s, session := openOffice(t)
	part := s.makeReady(exampleOf("tray", "DT-310", "A"), session)
	code := s.issueFor(part, "1041", session)
	desk, refused := s.atDesk(t, session)
	desk.open("/shop")
	desk.says("There is no such account.")
	desk.keyIn("#f-viewer", password)
	desk.turn("button[value=set]")
	refused(http.StatusUnprocessableEntity)
	desk.says("This password is in use.")
	desk.keyIn("#f-viewer", viewerPassword)
	desk.turn("button[value=set]")
	desk.says("The account that may only view is set.")
	other := s.use(t, screen{1280, 900, false})
	denied := other.quiet()
	other.open("/jobs/" + code)
	other.keyIn("#password", viewerPassword)
	other.turn("button.main")
	other.says("Job 1041")
	looksOnly(other, denied, part, code)
	desk.open("/shop")
	desk.says("2 browsers, this one among them.")
	desk.turn("form[action='/shop/sessions'] button")
	desk.see("#password")
	for _, d := range []*device{desk, other} {
		d.open("/parts")
		d.says("Owner's sign-in")
	}
	if n, err := s.store.Sessions(context.Background()); n != 0 || err != nil {
		t.Errorf("%d browsers are signed in, %v; want none", n, err)
	}
	desk.keyIn("#password", password)
	desk.turn("button.main")
	desk.holds(1, "table.list th a")
}

// looksOnly opens the pages as the viewer: they offer nothing but the way out,
// and what is asked for all the same is refused.
func looksOnly(other *device, denied func(int), part, code string) {
	other.t.Helper()
	pages := []string{"/", "/jobs/" + code, "/parts", "/parts/" + part, "/brakes/" + other.newestBrake(), "/stock", "/review/stops", "/review/time", "/review/measuring", "/review/first-pieces", "/shop"}
	for _, page := range pages {
		other.open(page)
		other.holds(1, "form[method=post]:has(button)")
		other.holds(1, "form[action='/signout']")
		other.lacks("a[href^='/parts/new']", "a[href^='/brakes/new']", "a[href^='/jobs/new']", "a[href$='/grid']", "a[href='/setup']")
	}
	for _, page := range []string{"/parts/new", "/brakes/new", "/jobs/new", "/jobs/" + code + "/grid"} {
		other.open(page)
		other.says("Not allowed", "This account may look and not change.")
		denied(http.StatusForbidden)
	}
	other.open("/jobs/" + code)
	other.eval(fmt.Sprintf("window.status = 0, fetch('/jobs/%s/events', {method: 'POST', body: new URLSearchParams({kind: %q, detail: 'no more'})}).then(a => window.answered = a.status)", code, store.EventClosed))
	other.until("window.answered === 403")
	denied(http.StatusForbidden)
	if kept, err := other.store.TravelerByCode(context.Background(), code); err != nil || kept.Closed {
		other.t.Errorf("the viewer has closed the job: %v, %v", kept.Closed, err)
	}
}
