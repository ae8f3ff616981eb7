package operator_test

import (
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// The page on the wall shows what is due, takes an angle below, in or above the
// tolerance, and comes back with how it came out.
func TestBoard(t *testing.T) {
	s := shoptest.OpenShop(t)
	const path = "/t/" + shoptest.ChannelCode + "/board"
	_, body := s.Get(path)
	shoptest.CheckPage(t, body)
	root := shoptest.Parsed(t, body)
	for _, want := range []string{"Stop on the scale, bend angle 47.0", "Piece 1 of 3", "step 1 of 3", "under 40.0 42.0 43.0 43.5", "OK 44.0 44.5 45.0 45.5 46.0", "over 46.5 47.0 48.0 50.0"} {
		if page := shoptest.WordsIn(root); !strings.Contains(page, want) {
			t.Errorf("the board lacks %q: %s", want, page)
		}
	}
	under := shoptest.Filled(shoptest.All(root, shoptest.Named("form"))[0])
	under.Set("measured", "43.5")
	answer, _ := s.PostForm(shoptest.ChannelReadings, under)
	if to := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || to != path {
		t.Fatalf("POST from the board = %d to %q, want 303 back to it", answer.StatusCode, to)
	}
	_, body = s.Get(path)
	page := shoptest.WordsIn(shoptest.Parsed(t, body))
	for _, want := range []string{"Under-bent by 1.5°", "43.5°, piece 1, step 1", "Bend again at 48.5, then measure.", "Stop on the scale, bend angle 48.5"} {
		if !strings.Contains(page, want) {
			t.Errorf("the board after an under-bent bend lacks %q: %s", want, page)
		}
	}
	readings, err := s.Store.Readings(t.Context(), shoptest.ChannelCode)
	if err != nil || len(readings) != 1 || readings[0].Tool != "board" || readings[0].StopBend != 4700 || readings[0].State != "as-bent" {
		t.Errorf("stored %+v, %v; want one reading from the board at 47.0", readings, err)
	}
	s.Decide(shoptest.ChannelCode, standing.Voided, "wrong material")
	if _, body = s.Get(path); !strings.Contains(body, "This traveler is void") || strings.Contains(body, "<summary>") {
		t.Errorf("the board of a void traveler says %s", shoptest.WordsIn(shoptest.Parsed(t, body)))
	}
}

// What a phone keeps of a traveler comes over the wire in at most 25 KB, compressed,
// also for a tray of eight bends as it is planned.
func TestBundleIsSmall(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	code := s.IssueFor(s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), session), "1041", session)
	for _, code := range []string{code, shoptest.ChannelCode, shoptest.TrayCode} {
		r := httptest.NewRequest("GET", "/t/"+code+"/bundle", nil)
		r.Header.Set("Accept-Encoding", "gzip")
		answer, body := s.Ask(r)
		if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Encoding") != "gzip" {
			t.Fatalf("GET the bundle = %d, %q, want it compressed", answer.StatusCode, answer.Header.Get("Content-Encoding"))
		}
		plain, err := gzip.NewReader(strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(plain)
		if err != nil {
			t.Fatal(err)
		}
		kept, err := s.Store.TravelerByCode(t.Context(), code)
		if err != nil {
			t.Fatal(err)
		}
		steps := shoptest.All(shoptest.Parsed(t, string(text)), func(n *html.Node) bool { return shoptest.Has(n, "data-step") })
		t.Logf("%s: %d steps, %d bytes, %d unpacked", kept.Traveler.Part.Number, len(steps), len(body), len(text))
		if len(steps) != len(kept.Traveler.Steps) || len(body) > 25<<10 {
			t.Errorf("the bundle of %s has %d steps and %d bytes, want %d and at most %d", kept.Traveler.Part.Number, len(steps), len(body), len(kept.Traveler.Steps), 25<<10)
		}
	}
}

// Initials stand on the page while somebody is at the brake, and are asked again after
// a pause, which the owner sets: half an hour where nothing is said, and never for 0.
func TestInitialsAreAskedAgain(t *testing.T) {
	s := shoptest.OpenShop(t)
	answer, _ := s.PostForm(shoptest.ChannelReadings, s.Form("/t/"+shoptest.ChannelCode, url.Values{"pad": {"45.0"}, "by": {"AB"}}))
	var lasts int
	last := &http.Cookie{Name: operator.InitialsCookie, Value: "AB"}
	for _, c := range answer.Cookies() {
		if c.Name == operator.ThereCookie {
			lasts = c.MaxAge
		}
	}
	if lasts != 1800 {
		t.Errorf("who is there is remembered for %d seconds, want half an hour", lasts)
	}
	by := func(cookies ...*http.Cookie) (by string, asked bool) {
		_, body := s.Get("/t/"+shoptest.ChannelCode, cookies...)
		root := shoptest.Parsed(t, body)
		who := shoptest.One(t, root, shoptest.Classed("who"))
		return shoptest.Filled(shoptest.One(t, root, shoptest.Classed("log"))).Get("by"), !shoptest.Has(who, "hidden")
	}
	if by, asked := by(last, &http.Cookie{Name: operator.ThereCookie, Value: "yes"}); by != "AB" || asked {
		t.Errorf("while AB is there the page says %q, asked %v", by, asked)
	}
	if by, asked := by(last); by != "" || !asked {
		t.Errorf("after a pause the page says %q, asked %v; want it asked", by, asked)
	}
	if err := s.Store.KeepSetting(t.Context(), store.SettingInitials, "0"); err != nil {
		t.Fatal(err)
	}
	if by, asked := by(last); by != "AB" || asked {
		t.Errorf("where it is never asked again the page says %q, asked %v", by, asked)
	}
}
