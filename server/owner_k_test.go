package server

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/calc/bend"
	"brakeside/calc/unit"
	"brakeside/server/store"
)

// strips bends so many trial strips that use up more than the textbook says.
func (s *shop) strips(count int) {
	s.Helper()
	for i := range count {
		strip := store.Trial{Material: "mild-steel", Thickness: 1500, Pack: fmt.Sprint(i), Strip: 100_000, Legs: [2]unit.Micron{51_500, 51_200}, Angle: 9000, StopBend: 9150, Radius: 1500, By: "AB"}
		if err := s.store.AddTrial(context.Background(), strip); err != nil {
			s.Fatal(err)
		}
	}
}

// ks are the K-factors that the shop measured or accepted.
func (s *shop) ks() []bend.Calibration {
	s.Helper()
	figures, err := Figures(context.Background(), s.store)
	if err != nil {
		s.Fatal(err)
	}
	return figures.Calibrations
}

// planForms are the forms beside the proposal: accept, refuse, edit.
func planForms(t *testing.T, root *html.Node) []*html.Node {
	t.Helper()
	forms := all(one(t, root, classed("plan")), named("form"))
	if len(forms) != 3 {
		t.Fatalf("%d forms beside the proposal, want accept, refuse and edit: %s", len(forms), wordsIn(root))
	}
	return forms
}

// Three strips propose a K; accepted, blanks are reckoned with it, strips bent
// since say what it did, and gone back the shop's rule holds again.
func TestKAcceptedAndBack(t *testing.T) {
	s, session := openOffice(t)
	s.strips(3)
	root, _ := s.ownerPage(session, "/review/stops")
	if words := wordsIn(one(t, root, classed("plan"))); !strings.Contains(words, "from n = 3 trial strips") || !strings.Contains(words, "Reckoned with 0.330 now") {
		t.Errorf("the proposal says %s", words)
	}
	form := filled(planForms(t, root)[0])
	s.later(time.Hour)
	s.send("/review/k", form, session)
	if got := s.ks(); len(got) != 1 || got[0].K < 0.34 || got[0].Source != "learned from 3 trial strips" {
		t.Errorf("the shop goes by %+v", got)
	}
	s.refused("/review/k", form, session)
	s.later(time.Hour)
	s.strips(1)
	root, _ = s.ownerPage(session, "/review/stops")
	// The strips used up 2.7 mm; the textbook reckons 6 - (1.5 + 0.33*1.5)*pi/2 = 2.87.
	changed := wordsIn(one(t, root, named("table")))
	if !strings.Contains(changed, "accepted: K from 0.330 to") || !strings.Contains(changed, "in use") ||
		!strings.Contains(changed, "-0.17 mm (-0.0065 in) mean, 0.17 mm (0.0065 in) off on average, n = 3") || !strings.Contains(changed, "n = 1") {
		t.Errorf("the change says %s", changed)
	}
	back := filled(one(t, one(t, root, named("table")), named("form")))
	s.send("/review/k", back, session)
	if got := s.ks(); len(got) != 0 {
		t.Errorf("gone back, the shop goes by %+v", got)
	}
	if page := s.refused("/review/k", back, session); !strings.Contains(wordsIn(page), "nothing to go back to") {
		t.Errorf("going back twice says %s", wordsIn(page))
	}
}

// The owner goes by another K than proposed, within bounds, or by none; a
// refused one is not proposed again, and the viewer decides nothing.
func TestKEditedAndRefused(t *testing.T) {
	s, session := openOffice(t)
	s.strips(3)
	root, _ := s.ownerPage(session, "/review/stops")
	edit := filled(planForms(t, root)[2])
	for _, k := range []string{"much", "-1", "0", "0.9", "NaN"} {
		edit.Set("k", k)
		s.refused("/review/k", edit, session)
	}
	edit.Set("k", "0,36")
	s.send("/review/k", edit, session)
	if got := s.ks(); len(got) != 1 || got[0].K != 0.36 || !strings.HasPrefix(got[0].Source, "set by the owner") {
		t.Errorf("the shop goes by %+v, want 0.36 as typed", got)
	}
	root, _ = s.ownerPage(session, "/review/stops")
	s.send("/review/k", filled(one(t, one(t, root, named("table")), named("form"))), session)
	root, _ = s.ownerPage(session, "/review/stops")
	refuse := filled(planForms(t, root)[1])
	if answer, _ := s.postForm("/review/k", refuse, s.viewer(session)); answer.StatusCode != http.StatusForbidden {
		t.Errorf("the viewer decides: %d", answer.StatusCode)
	}
	s.send("/review/k", refuse, session)
	if root, _ = s.ownerPage(session, "/review/stops"); len(all(root, classed("plan"))) != 0 {
		t.Errorf("refused and still there: %s", wordsIn(root))
	}
}

// A K that was taken out of the shop's figures by hand is not taken out again.
func TestKBackAfterAHand(t *testing.T) {
	s, session := openOffice(t)
	s.strips(3)
	root, _ := s.ownerPage(session, "/review/stops")
	s.send("/review/k", filled(planForms(t, root)[0]), session)
	if _, err := s.store.Keep(context.Background(), store.Materials, store.Revision{Name: ShopFigures, JSON: []byte(`{}`)}); err != nil {
		t.Fatal(err)
	}
	root, _ = s.ownerPage(session, "/review/stops")
	back := filled(one(t, one(t, root, named("table")), named("form")))
	if page := s.refused("/review/k", back, session); !strings.Contains(wordsIn(page), "changed by hand since") {
		t.Errorf("the page says %s", wordsIn(page))
	}
}
