package review_test

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/server/internal/shoptest"
	"brakeside/server/lessons"
	"brakeside/server/store"
)

// planForms are the forms beside the proposal: accept, refuse, edit.
func planForms(t *testing.T, root *html.Node) []*html.Node {
	t.Helper()
	forms := shoptest.All(shoptest.One(t, root, shoptest.Classed("plan")), shoptest.Named("form"))
	if len(forms) != 3 {
		t.Fatalf("%d forms beside the proposal, want accept, refuse and edit: %s", len(forms), shoptest.WordsIn(root))
	}
	return forms
}

// Three strips propose a K; accepted, blanks are reckoned with it, strips bent
// since say what it did, and gone back the shop's rule holds again.
func TestKAcceptedAndBack(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	s.Strips(3)
	root, _ := s.OwnerPage(session, "/review/stops")
	if words := shoptest.WordsIn(shoptest.One(t, root, shoptest.Classed("plan"))); !strings.Contains(words, "from n = 3 trial strips") || !strings.Contains(words, "Calculated with 0.330 now") {
		t.Errorf("the proposal says %s", words)
	}
	form := shoptest.Filled(planForms(t, root)[0])
	s.Later(time.Hour)
	s.Send("/review/k", form, session)
	if got := s.Ks(); len(got) != 1 || got[0].K < 0.34 || got[0].Source != "learned from 3 trial strips" {
		t.Errorf("the shop goes by %+v", got)
	}
	s.Refused("/review/k", form, session)
	s.Later(time.Hour)
	s.Strips(1)
	root, _ = s.OwnerPage(session, "/review/stops")
	// The strips used up 2.7 mm; the textbook reckons 6 - (1.5 + 0.33*1.5)*pi/2 = 2.87.
	changed := shoptest.WordsIn(shoptest.One(t, root, shoptest.Named("table")))
	if !strings.Contains(changed, "accepted: K from 0.330 to") || !strings.Contains(changed, "in use") ||
		!strings.Contains(changed, "-0.17 mm (-0.0065 in) mean, 0.17 mm (0.0065 in) off on average, n = 3") || !strings.Contains(changed, "n = 1") {
		t.Errorf("the change says %s", changed)
	}
	back := shoptest.Filled(shoptest.One(t, shoptest.One(t, root, shoptest.Named("table")), shoptest.Named("form")))
	s.Send("/review/k", back, session)
	if got := s.Ks(); len(got) != 0 {
		t.Errorf("gone back, the shop goes by %+v", got)
	}
	if page := s.Refused("/review/k", back, session); !strings.Contains(shoptest.WordsIn(page), "nothing to go back to") {
		t.Errorf("going back twice says %s", shoptest.WordsIn(page))
	}
}

// The owner goes by another K than proposed, within bounds, or by none; a
// refused one is not proposed again, and the viewer decides nothing.
func TestKEditedAndRefused(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	s.Strips(3)
	root, _ := s.OwnerPage(session, "/review/stops")
	edit := shoptest.Filled(planForms(t, root)[2])
	for _, k := range []string{"much", "-1", "0", "0.9", "NaN"} {
		edit.Set("k", k)
		s.Refused("/review/k", edit, session)
	}
	edit.Set("k", "0,36")
	s.Send("/review/k", edit, session)
	if got := s.Ks(); len(got) != 1 || got[0].K != 0.36 || !strings.HasPrefix(got[0].Source, "set by the owner") {
		t.Errorf("the shop goes by %+v, want 0.36 as typed", got)
	}
	root, _ = s.OwnerPage(session, "/review/stops")
	s.Send("/review/k", shoptest.Filled(shoptest.One(t, shoptest.One(t, root, shoptest.Named("table")), shoptest.Named("form"))), session)
	root, _ = s.OwnerPage(session, "/review/stops")
	refuse := shoptest.Filled(planForms(t, root)[1])
	if answer, _ := s.PostForm("/review/k", refuse, s.Viewer(session)); answer.StatusCode != http.StatusForbidden {
		t.Errorf("the viewer decides: %d", answer.StatusCode)
	}
	s.Send("/review/k", refuse, session)
	if root, _ = s.OwnerPage(session, "/review/stops"); len(shoptest.All(root, shoptest.Classed("plan"))) != 0 {
		t.Errorf("refused and still there: %s", shoptest.WordsIn(root))
	}
}

// A K that was taken out of the shop's figures by hand is not taken out again.
func TestKBackAfterAHand(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	s.Strips(3)
	root, _ := s.OwnerPage(session, "/review/stops")
	s.Send("/review/k", shoptest.Filled(planForms(t, root)[0]), session)
	if _, err := s.Store.Keep(context.Background(), store.Materials, store.Revision{Name: lessons.ShopFigures, JSON: []byte(`{}`)}); err != nil {
		t.Fatal(err)
	}
	root, _ = s.OwnerPage(session, "/review/stops")
	back := shoptest.Filled(shoptest.One(t, shoptest.One(t, root, shoptest.Named("table")), shoptest.Named("form")))
	if page := s.Refused("/review/k", back, session); !strings.Contains(shoptest.WordsIn(page), "changed by hand since") {
		t.Errorf("the page says %s", shoptest.WordsIn(page))
	}
}
