package operator_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// logOpenings bends step 2, a square one, on further pieces at the stop that is
// told, of metal that springs back 3.5 degrees, and logs the opening as if it
// were the bend angle, until the page asks.
func logOpenings(s *shoptest.Shop, phone *http.Cookie) (asked int, page string) {
	for piece := 1; piece <= 15; piece++ {
		address := fmt.Sprintf("/2?piece=%d", piece)
		if _, body := s.Get("/t/"+shoptest.ChannelCode+address, phone); strings.Contains(body, "Which angle do you read?") {
			return piece - 1, body
		}
		_, told := toldAt(s, address)
		truth := math.Round(2*float64(told.Deg()-3.5)) / 2
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"open%d","piece":%d,"step":2,"measured":%.1f,"stop":%.2f,"by":"CD","confirmed":true}`,
			piece, piece, 180-truth, float64(told.Deg())))
	}
	return 0, ""
}

// Somebody who logs openings is asked with a picture before the next bend, may put
// it off, and once answered logs openings as such.
func TestOpeningIsAskedAtTheBrake(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.LetGo(shoptest.ChannelCode)
	s.Decide(shoptest.ChannelCode, standing.Requantified, "40")
	for piece := range 12 { // what the shop knew before
		s.Record(shoptest.ChannelCode, fmt.Sprintf(`{"id":"k%d","piece":%d,"step":3,"measured":%.1f,"stop":92,"by":"AB","confirmed":true}`, piece, piece+1, 88.5+0.5*float64(piece%2)))
	}
	phone := &http.Cookie{Name: operator.InitialsCookie, Value: "CD"}
	asked, body := logOpenings(s, phone)
	if asked == 0 {
		t.Fatal("15 openings were logged and nobody asks")
	}
	shoptest.CheckPage(t, body)
	root := shoptest.Parsed(t, body)
	if pictures := shoptest.All(shoptest.One(t, root, shoptest.Classed("views")), shoptest.Named("svg")); len(pictures) != 2 {
		t.Errorf("%d pictures, want the bend angle and the opening", len(pictures))
	}
	if _, page := s.Get("/t/"+shoptest.ChannelCode+"/2?piece=20", &http.Cookie{Name: operator.InitialsCookie, Value: "AB"}); strings.Contains(page, "Which angle") {
		t.Error("somebody else is asked")
	}
	if _, page := s.Get("/t/"+shoptest.ChannelCode+"/2?piece=20&asked=later", phone); strings.Contains(page, "Which angle") {
		t.Error("put off, and it is asked all the same")
	}
	for _, who := range []*http.Cookie{phone, {Name: operator.InitialsCookie, Value: "AB"}} {
		_, company := s.PostForm("/t/"+shoptest.ChannelCode+"/presence", url.Values{"piece": {"21"}, "step": {"3"}}, who)
		if asks := strings.Contains(company, `"asks":true`); asks != (who == phone) {
			t.Errorf("a phone of %s that stays on its page is told of a question: %v", who.Value, asks)
		}
	}
	form := shoptest.Filled(shoptest.One(t, root, shoptest.Classed("ask")))
	form.Set("kind", store.ShowsOpening)
	answer, page := s.PostForm("/t/"+shoptest.ChannelCode+"/protractor", form, phone)
	if answer.StatusCode != http.StatusSeeOther || !strings.Contains(strings.Join(answer.Header.Values("Set-Cookie"), " "), operator.ProtractorCookie+"=opening") {
		t.Fatalf("answered: %d %v %s", answer.StatusCode, answer.Header, page)
	}
	if _, page := s.Get("/t/"+shoptest.ChannelCode+"/2?piece=20", phone); strings.Contains(page, "Which angle") {
		t.Error("answered, and it is asked again")
	}
	if answer, _ := s.PostForm("/t/"+shoptest.ChannelCode+"/protractor", form, phone); answer.StatusCode != http.StatusConflict {
		t.Errorf("answered twice: %d, want 409", answer.StatusCode)
	}
	if _, told := toldAt(s, "/2?piece=20"); math.Abs(float64(told.Deg()-93.5)) > 0.7 {
		t.Errorf("with the openings understood %v is told, want about 93.5", told)
	}
}

// At the first use of a protractor it is held against a corner that is not 90.
func TestProtractorOnAKnownCorner(t *testing.T) {
	s := shoptest.OpenShop(t)
	phone := []*http.Cookie{{Name: operator.InitialsCookie, Value: "AB"}, {Name: "brakeside-tool", Value: "bevel"}}
	_, body := s.Get("/t/"+shoptest.ChannelCode, phone...)
	shoptest.CheckPage(t, body)
	form := shoptest.Filled(shoptest.One(t, shoptest.Parsed(t, body), shoptest.Classed("ask")))
	for _, c := range []struct {
		corner, shown string
		status        int
		shows         string
		as            int // hundredths, as a bend angle
	}{
		{"45", "90", http.StatusUnprocessableEntity, "", 0}, {"45", "", http.StatusUnprocessableEntity, "", 0}, {"90", "90", http.StatusUnprocessableEntity, "", 0},
		{"45", "50.1", http.StatusUnprocessableEntity, "", 0}, {"45", "44,5", http.StatusSeeOther, "opening", 13550}, {"60", "120.5", http.StatusSeeOther, "bend", 12050},
		{"45", "50", http.StatusSeeOther, "opening", 13000}, {"30", "149", http.StatusSeeOther, "bend", 14900},
	} {
		form.Set("corner", c.corner)
		form.Set("shown", c.shown)
		answer, _ := s.PostForm("/t/"+shoptest.ChannelCode+"/protractor", form, phone...)
		if answer.StatusCode != c.status {
			t.Errorf("%s on a corner of %s: %d, want %d", c.shown, c.corner, answer.StatusCode, c.status)
			continue
		}
		if c.shows == "" {
			continue
		}
		said, err := s.Store.Statements(t.Context())
		if last := said[len(said)-1]; err != nil || int(last.Shown) != c.as || last.Tool != "bevel" || last.Person != "AB" ||
			!strings.Contains(strings.Join(answer.Header.Values("Set-Cookie"), " "), operator.ProtractorCookie+"="+c.shows) {
			t.Errorf("%s on a corner of %s is kept as %+v with %v, %v", c.shown, c.corner, last, answer.Header, err)
		}
	}
	if _, body := s.Get("/t/"+shoptest.ChannelCode, phone...); strings.Contains(body, "known corner") {
		t.Error("it is asked again")
	}
	if answer, _ := s.PostForm("/t/"+shoptest.ChannelCode+"/protractor", url.Values{"kind": {"guessed"}}); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a kind that is none: %d", answer.StatusCode)
	}
}
