package review_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
)

// timeForms are the forms beside the proposed minutes: accept, refuse, edit.
func timeForms(t *testing.T, s *shoptest.Shop, session *http.Cookie) []url.Values {
	t.Helper()
	root, _ := s.OwnerPage(session, "/review/time")
	var out []url.Values
	for _, form := range shoptest.All(shoptest.One(t, root, shoptest.Classed("plan")), shoptest.Named("form")) {
		out = append(out, shoptest.Filled(form))
	}
	if len(out) != 3 {
		t.Fatalf("%d forms beside the proposal, want accept, refuse and edit: %s", len(out), shoptest.WordsIn(root))
	}
	return out
}

// Jobs that take half as long again as planned propose minutes half as long
// again; accepted, the brake has them, nothing more is proposed from the same
// jobs, and gone back it has the old ones to the hundredth.
func TestMinutesAcceptedAndBack(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("l", "LP-1", "A"), session)
	name := s.SlowJobs(part, 1.5, session)
	before, versions := s.HandlingNow(name)
	accept := timeForms(t, s, session)[0]
	if seen := accept.Get("seen"); seen != "1.50" {
		t.Errorf("%s times is proposed, want 1.50", seen)
	}
	s.Send("/review/time", accept, session)
	after, n := s.HandlingNow(name)
	if n != versions+1 || math.Abs(after.Bend-1.5*before.Bend) > 0.006 || math.Abs(after.BarChange-1.5*before.BarChange) > 0.006 || after.FirstSetup != before.FirstSetup {
		t.Errorf("accepted, the minutes are %+v in version %d; they were %+v", after, n, before)
	}
	root, _ := s.OwnerPage(session, "/review/time")
	if len(shoptest.All(root, shoptest.Classed("plan"))) != 0 {
		t.Errorf("jobs planned by the old minutes propose again: %s", shoptest.WordsIn(root))
	}
	s.Refused("/review/time", accept, session)
	s.Later(time.Hour)
	s.SlowJobs(part, 1, session)
	root, _ = s.OwnerPage(session, "/review/time")
	words := shoptest.WordsIn(root)
	if !strings.Contains(words, "accepted: handling minutes by 1.50 in use 1.50 times as planned, n = 3 1.00 times as planned, n = 3") || !strings.Contains(words, "No change is proposed.") {
		t.Errorf("the change says %s", words)
	}
	tables := shoptest.All(root, shoptest.Named("table"))
	back := shoptest.Filled(shoptest.One(t, tables[len(tables)-1], shoptest.Named("form")))
	s.Send("/review/time", back, session)
	if now, _ := s.HandlingNow(name); fmt.Sprint(now) != fmt.Sprint(before) {
		t.Errorf("gone back, the minutes are %+v, want %+v", now, before)
	}
	s.Refused("/review/time", back, session)
}

// The owner plans by another factor, within bounds, or by none.
func TestMinutesEditedAndRefused(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	part := s.MakeReady(shoptest.ExampleOf("l", "LP-1", "A"), session)
	name := s.SlowJobs(part, 1.5, session)
	before, _ := s.HandlingNow(name)
	forms := timeForms(t, s, session)
	refuse, edit := forms[1], forms[2]
	for _, factor := range []string{"", "much", "0", "-1", "2.1", "0.4", "Inf"} {
		edit.Set("factor", factor)
		s.Refused("/review/time", edit, session)
	}
	for _, form := range []url.Values{{}, {"kind": {"accepted"}}, {"kind": {"dreamt"}, "brake": {name}, "seen": {"1.50"}}, {"kind": {"accepted"}, "brake": {name}, "seen": {"1.2"}}, {"kind": {"accepted"}, "brake": {"none"}, "seen": {"1.50"}}} {
		s.Refused("/review/time", form, session)
	}
	if answer, _ := s.PostForm("/review/time", refuse, s.Viewer(session)); answer.StatusCode != http.StatusForbidden {
		t.Errorf("the viewer decides: %d", answer.StatusCode)
	}
	s.Send("/review/time", refuse, session)
	if root, _ := s.OwnerPage(session, "/review/time"); len(shoptest.All(root, shoptest.Classed("plan"))) != 0 {
		t.Errorf("refused and still there: %s", shoptest.WordsIn(root))
	}
	s.SlowJobs(part, 1.9, session) // the middle one of six is 1.7 now: worth asking again
	edit = timeForms(t, s, session)[2]
	edit.Set("factor", "1,2")
	s.Send("/review/time", edit, session)
	if after, _ := s.HandlingNow(name); math.Abs(after.Bend-1.2*before.Bend) > 0.006 {
		t.Errorf("a bend takes %v minutes, want 1.2 times %v", after.Bend, before.Bend)
	}
}
