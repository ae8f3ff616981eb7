package operator_test

import (
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
	"brakeside/server/operator"
)

func TestTwoOnOneSheet(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	ab, cd := s.Phone("AB"), s.Phone("CD")
	first := shoptest.Parsed(t, ab.Opens("/t/"+shoptest.ChannelCode))
	if note := shoptest.One(t, first, shoptest.Classed("company")); !shoptest.Has(note, "hidden") || shoptest.WordsIn(note) != "" {
		t.Errorf("alone the page says %q, want nothing", shoptest.WordsIn(note))
	}
	page := ab.Opens("/t/" + shoptest.ChannelCode) // the same phone again is no company
	if note := shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("company")); !shoptest.Has(note, "hidden") {
		t.Errorf("the phone is its own company: %q", shoptest.WordsIn(note))
	}
	page = cd.Opens("/t/" + shoptest.ChannelCode)
	shoptest.CheckPage(t, page)
	note := shoptest.One(t, shoptest.Parsed(t, page), shoptest.Classed("company"))
	if words := shoptest.WordsIn(note); shoptest.Has(note, "hidden") || words != "AB has this bend open too. Mine is piece 3" {
		t.Errorf("the second phone says %q, want that AB has this bend open, and the way to piece 3", words)
	}
	if way := shoptest.One(t, note, shoptest.Named("a")); shoptest.Attribute(way, "href") != "/t/"+shoptest.ChannelCode+"/1?piece=3" {
		t.Errorf("the way leads to %s", shoptest.Attribute(way, "href"))
	}
	cd.Opens("/t/" + shoptest.ChannelCode + "/1?piece=3")
	if got := ab.Tells(2, 1, nil).Words; got != "CD has piece 3, step 1 open." {
		t.Errorf("the first phone hears %q, want that CD has moved on to piece 3", got)
	}
	s.Later(3*time.Minute + 20*time.Second)
	if got := ab.Tells(2, 1, nil).Words; got != "CD has piece 3, step 1 open (seen 3 min ago)." {
		t.Errorf("after 3 minutes %q", got)
	}
	cd.Tells(3, 1, url.Values{"left": {"true"}})
	if got := ab.Tells(2, 1, nil); got.Words != "" {
		t.Errorf("after CD has left %+v, want an empty list", got)
	}
}

func TestPresenceExpires(t *testing.T) {
	s := shoptest.OpenShop(t)
	ab, cd := s.Phone("AB"), s.Phone("")
	cd.Opens("/t/" + shoptest.ChannelCode)
	s.Later(operator.PresentFor)
	if got := ab.Tells(1, 2, nil).Words; got != "Somebody else has piece 1, step 1 open (seen 10 min ago)." {
		t.Errorf("at the end of its time %q", got)
	}
	s.Later(time.Second)
	if got := ab.Tells(1, 2, nil); got.Words != "" {
		t.Errorf("after its time %+v, want nobody", got)
	}
}

// When every other piece is taken, no piece is offered.
func TestNoFreePiece(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.RecordFirstPiece()
	s.Record(shoptest.ChannelCode, `{"id":"g","piece":3,"step":1,"measured":45,"confirmed":true}`)
	s.Phone("AB").Opens("/t/" + shoptest.ChannelCode + "/1?piece=2")
	if got := s.Phone("CD").Tells(2, 1, nil); !got.Here || got.Instead != nil {
		t.Errorf("the company is %+v, want AB here and no other piece", got)
	}
}

// A visit counts once its cookie has come back: what keeps none, and a look at the
// headers, are no visits.
func TestVisitsThatDoNotCount(t *testing.T) {
	s := shoptest.OpenShop(t)
	for range 3 {
		s.Get("/t/" + shoptest.ChannelCode + "/2")
	}
	s.Ask(httptest.NewRequest("HEAD", "/t/"+shoptest.ChannelCode+"/2", nil))
	if got := s.Phone("AB").Tells(1, 1, nil); got.Words != "" {
		t.Errorf("the company is %+v, want nobody", got)
	}
	answer, _ := s.Get("/t/" + shoptest.ChannelCode)
	cookies := answer.Cookies()
	if len(cookies) != 1 || cookies[0].Name != operator.PhoneCookie || len(cookies[0].Value) != 24 || !cookies[0].HttpOnly || cookies[0].Path != "/t/" {
		t.Errorf("a new phone gets %+v, want one name for /t/ only", cookies)
	}
}

func TestPresenceRefuses(t *testing.T) {
	s := shoptest.OpenShop(t)
	for name, c := range map[string]struct {
		path, body string
		want       int
	}{
		"an unknown sheet": {"/t/" + shoptest.UnknownCode + "/presence", "piece=1&step=1", 404},
		"no piece":         {shoptest.ChannelPresence, "step=1", 422},
		"piece 4 of 3":     {shoptest.ChannelPresence, "piece=4&step=1", 422},
		"step 9 of 3":      {shoptest.ChannelPresence, "piece=1&step=9", 422},
		"too much":         {shoptest.ChannelPresence, "piece=1&step=1&by=" + strings.Repeat("x", 2000), 413},
		"broken":           {shoptest.ChannelPresence, "%zz", 400},
	} {
		r := httptest.NewRequest("POST", c.path, strings.NewReader(c.body))
		r.Header.Set("Content-Type", shoptest.FormType)
		if answer, body := s.Ask(r); answer.StatusCode != c.want {
			t.Errorf("%s = %d %.200s, want %d", name, answer.StatusCode, body, c.want)
		}
	}
	nasty := s.Phone("AB").Tells(1, 1, url.Values{"by": {"<script>alert(1)</script>\x1b[31m"}})
	if nasty.Words != "" {
		t.Fatalf("the company is %+v", nasty)
	}
	page := s.Phone("CD").Opens("/t/" + shoptest.ChannelCode)
	if strings.Contains(page, "<script>alert") || !strings.Contains(page, "&lt;script&gt;aler has this bend open too") {
		t.Error("the initials of another phone are not shown as a short text")
	}
}
