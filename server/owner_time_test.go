package server

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/calc/brake"
	"brakeside/server/store"
)

// handlingNow reads the handling minutes of a brake as kept, and how many
// versions there are.
func (s *shop) handlingNow(name string) (brake.Minutes, int) {
	s.Helper()
	history, err := s.store.History(context.Background(), store.Brakes, name)
	if err != nil || len(history) == 0 {
		s.Fatalf("History(%s) = %d, %v", name, len(history), err)
	}
	b, err := brake.Read(history[0].JSON)
	if err != nil {
		s.Fatal(err)
	}
	return b.Minutes, len(history)
}

// slowJobs makes three jobs of twelve bends that take so many times the minutes
// planned.
func (s *shop) slowJobs(part string, times float64, session *http.Cookie) (brakeName string) {
	s.Helper()
	for range 3 {
		code := s.issueFor(part, fmt.Sprintf("J-%d", s.now().Unix()), session)
		kept, err := s.store.TravelerByCode(context.Background(), code)
		if err != nil {
			s.Fatal(err)
		}
		sheet := kept.Traveler
		s.letGo(code)
		s.decide(code, store.EventQuantity, "40")
		minutes, _ := s.handlingNow(sheet.Brake.Name)
		planned := float64(sheet.Minutes)/100 - minutes.FirstSetup/float64(sheet.Quantity)
		each := time.Duration(times * planned / float64(len(sheet.Steps)) * float64(time.Minute))
		for piece := range 12 {
			s.later(each)
			s.record(code, fmt.Sprintf(`{"id":"%s-%d","piece":%d,"step":1,"measured":%s,"confirmed":true}`, code[:7], piece, piece+1, sheet.Steps[0].Target.Text(1)))
		}
		brakeName = sheet.Brake.Name
		s.later(time.Hour)
	}
	return brakeName
}

// timeForms are the forms beside the proposed minutes: accept, refuse, edit.
func timeForms(t *testing.T, s *shop, session *http.Cookie) []url.Values {
	t.Helper()
	root, _ := s.ownerPage(session, "/review/time")
	var out []url.Values
	for _, form := range all(one(t, root, classed("plan")), named("form")) {
		out = append(out, filled(form))
	}
	if len(out) != 3 {
		t.Fatalf("%d forms beside the proposal, want accept, refuse and edit: %s", len(out), wordsIn(root))
	}
	return out
}

// Jobs that take half as long again as planned propose minutes half as long
// again; accepted, the brake has them, nothing more is proposed from the same
// jobs, and gone back it has the old ones to the hundredth.
func TestMinutesAcceptedAndBack(t *testing.T) {
	s, session := openOffice(t)
	part := s.makeReady(exampleOf("l", "LP-1", "A"), session)
	name := s.slowJobs(part, 1.5, session)
	before, versions := s.handlingNow(name)
	accept := timeForms(t, s, session)[0]
	if seen := accept.Get("seen"); seen != "1.50" {
		t.Errorf("%s times is proposed, want 1.50", seen)
	}
	s.send("/review/time", accept, session)
	after, n := s.handlingNow(name)
	if n != versions+1 || math.Abs(after.Bend-1.5*before.Bend) > 0.006 || math.Abs(after.BarChange-1.5*before.BarChange) > 0.006 || after.FirstSetup != before.FirstSetup {
		t.Errorf("accepted, the minutes are %+v in version %d; they were %+v", after, n, before)
	}
	root, _ := s.ownerPage(session, "/review/time")
	if len(all(root, classed("plan"))) != 0 {
		t.Errorf("jobs planned by the old minutes propose again: %s", wordsIn(root))
	}
	s.refused("/review/time", accept, session)
	s.later(time.Hour)
	s.slowJobs(part, 1, session)
	root, _ = s.ownerPage(session, "/review/time")
	words := wordsIn(root)
	if !strings.Contains(words, "accepted: handling minutes by 1.50 in use 1.50 times as planned, n = 3 1.00 times as planned, n = 3") || !strings.Contains(words, "No change is proposed.") {
		t.Errorf("the change says %s", words)
	}
	tables := all(root, named("table"))
	back := filled(one(t, tables[len(tables)-1], named("form")))
	s.send("/review/time", back, session)
	if now, _ := s.handlingNow(name); fmt.Sprint(now) != fmt.Sprint(before) {
		t.Errorf("gone back, the minutes are %+v, want %+v", now, before)
	}
	s.refused("/review/time", back, session)
}

// The owner plans by another factor, within bounds, or by none.
func TestMinutesEditedAndRefused(t *testing.T) {
	s, session := openOffice(t)
	part := s.makeReady(exampleOf("l", "LP-1", "A"), session)
	name := s.slowJobs(part, 1.5, session)
	before, _ := s.handlingNow(name)
	forms := timeForms(t, s, session)
	refuse, edit := forms[1], forms[2]
	for _, factor := range []string{"", "much", "0", "-1", "2.1", "0.4", "Inf"} {
		edit.Set("factor", factor)
		s.refused("/review/time", edit, session)
	}
	for _, form := range []url.Values{{}, {"kind": {"accepted"}}, {"kind": {"dreamt"}, "brake": {name}, "seen": {"1.50"}}, {"kind": {"accepted"}, "brake": {name}, "seen": {"1.2"}}, {"kind": {"accepted"}, "brake": {"none"}, "seen": {"1.50"}}} {
		s.refused("/review/time", form, session)
	}
	if answer, _ := s.postForm("/review/time", refuse, s.viewer(session)); answer.StatusCode != http.StatusForbidden {
		t.Errorf("the viewer decides: %d", answer.StatusCode)
	}
	s.send("/review/time", refuse, session)
	if root, _ := s.ownerPage(session, "/review/time"); len(all(root, classed("plan"))) != 0 {
		t.Errorf("refused and still there: %s", wordsIn(root))
	}
	s.slowJobs(part, 1.9, session) // the middle one of six is 1.7 now: worth asking again
	edit = timeForms(t, s, session)[2]
	edit.Set("factor", "1,2")
	s.send("/review/time", edit, session)
	if after, _ := s.handlingNow(name); math.Abs(after.Bend-1.2*before.Bend) > 0.006 {
		t.Errorf("a bend takes %v minutes, want 1.2 times %v", after.Bend, before.Bend)
	}
}
