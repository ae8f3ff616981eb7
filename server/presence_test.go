package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/traveler/progress"
)

const channelPresence = "/t/" + channelCode + "/presence"

// phoneOf is a phone with its cookies.
type phoneOf struct {
	*shop
	name    *http.Cookie
	letters string
}

func (s *shop) phone(letters string) *phoneOf {
	name := letters + strings.Repeat("0", 24-len(letters))
	return &phoneOf{s, &http.Cookie{Name: phoneCookie, Value: name}, letters}
}

func (p *phoneOf) opens(path string) string {
	p.Helper()
	answer, body := p.get(path, p.name, &http.Cookie{Name: initialsCookie, Value: p.letters})
	if answer.StatusCode != http.StatusOK {
		p.Fatalf("GET %s = %d", path, answer.StatusCode)
	}
	return body
}

// tells sends a sign of life and gives who else is there.
func (p *phoneOf) tells(piece, step int, more url.Values) companyView {
	p.Helper()
	form := url.Values{"piece": {fmt.Sprint(piece)}, "step": {fmt.Sprint(step)}, "by": {p.letters}}
	for name, values := range more {
		form[name] = values
	}
	answer, body := p.postForm(channelPresence, form, p.name)
	var view companyView
	if err := json.Unmarshal([]byte(body), &view); err != nil || answer.StatusCode != http.StatusOK {
		p.Fatalf("POST presence = %d %s", answer.StatusCode, body)
	}
	return view
}

func said(view companyView) string {
	var all []string
	for _, o := range view.Others {
		all = append(all, o.Words)
	}
	return strings.Join(all, " ")
}

func TestTwoOnOneSheet(t *testing.T) {
	s := openShop(t)
	s.recordFirstPiece()
	ab, cd := s.phone("AB"), s.phone("CD")
	first := parsed(t, ab.opens("/t/"+channelCode))
	if note := one(t, first, classed("company")); !has(note, "hidden") || wordsIn(note) != "" {
		t.Errorf("alone the page says %q, want nothing", wordsIn(note))
	}
	page := ab.opens("/t/" + channelCode) // the same phone again is no company
	if note := one(t, parsed(t, page), classed("company")); !has(note, "hidden") {
		t.Errorf("the phone is its own company: %q", wordsIn(note))
	}
	page = cd.opens("/t/" + channelCode)
	checkPage(t, page)
	note := one(t, parsed(t, page), classed("company"))
	if words := wordsIn(note); has(note, "hidden") || words != "AB has this bend open too. Take piece 3" {
		t.Errorf("the second phone says %q, want that AB has this bend open, and the way to piece 3", words)
	}
	if way := one(t, note, named("a")); attribute(way, "href") != "/t/"+channelCode+"/1?piece=3" {
		t.Errorf("the way leads to %s", attribute(way, "href"))
	}
	cd.opens("/t/" + channelCode + "/1?piece=3")
	if got := said(ab.tells(2, 1, nil)); got != "CD has piece 3, bend 1 open." {
		t.Errorf("the first phone hears %q, want that CD has moved on to piece 3", got)
	}
	s.later(3*time.Minute + 20*time.Second)
	if got := said(ab.tells(2, 1, nil)); got != "CD has piece 3, bend 1 open (seen 3 min ago)." {
		t.Errorf("after 3 minutes %q", got)
	}
	cd.tells(3, 1, url.Values{"left": {"true"}})
	if got := ab.tells(2, 1, nil); len(got.Others) != 0 || got.Others == nil {
		t.Errorf("after CD has left %+v, want an empty list", got)
	}
}

func TestPresenceExpires(t *testing.T) {
	s := openShop(t)
	ab, cd := s.phone("AB"), s.phone("")
	cd.opens("/t/" + channelCode)
	s.later(presentFor)
	if got := said(ab.tells(1, 2, nil)); got != "Somebody else has piece 1, bend 1 open (seen 10 min ago)." {
		t.Errorf("at the end of its time %q", got)
	}
	s.later(time.Second)
	if got := ab.tells(1, 2, nil); len(got.Others) != 0 {
		t.Errorf("after its time %+v, want nobody", got)
	}
}

// When every other piece is taken, no piece is offered.
func TestNoFreePiece(t *testing.T) {
	s := openShop(t)
	s.recordFirstPiece()
	s.record(channelCode, `{"id":"g","piece":3,"step":1,"measured":45,"confirmed":true}`)
	s.phone("AB").opens("/t/" + channelCode + "/1?piece=2")
	if got := s.phone("CD").tells(2, 1, nil); len(got.Others) != 1 || !got.Others[0].Here || got.Instead != nil {
		t.Errorf("the company is %+v, want AB here and no other piece", got)
	}
}

// A page that is fetched for later, and a look at its headers, are no visits.
func TestFetchingAheadIsNoVisit(t *testing.T) {
	s := openShop(t)
	r := httptest.NewRequest("GET", "/t/"+channelCode+"/2", nil)
	r.Header.Set(aheadHeader, "yes")
	s.ask(r)
	s.ask(httptest.NewRequest("HEAD", "/t/"+channelCode+"/2", nil))
	if got := s.phone("AB").tells(1, 1, nil); len(got.Others) != 0 {
		t.Errorf("the company is %+v, want nobody", got)
	}
	answer, _ := s.get("/t/" + channelCode)
	cookies := answer.Cookies()
	if len(cookies) != 1 || cookies[0].Name != phoneCookie || len(cookies[0].Value) != 24 || !cookies[0].HttpOnly || cookies[0].Path != "/t/" {
		t.Errorf("a new phone gets %+v, want one name for /t/ only", cookies)
	}
}

func TestPresenceRefuses(t *testing.T) {
	s := openShop(t)
	for name, c := range map[string]struct {
		path, body string
		want       int
	}{
		"an unknown sheet": {"/t/" + unknownCode + "/presence", "piece=1&step=1", 404},
		"no piece":         {channelPresence, "step=1", 422},
		"piece 4 of 3":     {channelPresence, "piece=4&step=1", 422},
		"step 9 of 3":      {channelPresence, "piece=1&step=9", 422},
		"too much":         {channelPresence, "piece=1&step=1&by=" + strings.Repeat("x", 2000), 413},
		"broken":           {channelPresence, "%zz", 400},
	} {
		r := httptest.NewRequest("POST", c.path, strings.NewReader(c.body))
		r.Header.Set("Content-Type", formType)
		if answer, body := s.ask(r); answer.StatusCode != c.want {
			t.Errorf("%s = %d %.200s, want %d", name, answer.StatusCode, body, c.want)
		}
	}
	nasty := s.phone("AB").tells(1, 1, url.Values{"by": {"<script>alert(1)</script>\x1b[31m"}})
	if len(nasty.Others) != 0 {
		t.Fatalf("the company is %+v", nasty)
	}
	page := s.phone("CD").opens("/t/" + channelCode)
	if strings.Contains(page, "<script>alert") || !strings.Contains(page, "&lt;script&gt;aler has this bend open too") {
		t.Error("the initials of another phone are not shown as a short text")
	}
}

// The memory is bounded whatever comes, and a leaving page does not take away
// the next one.
func TestPresenceIsBounded(t *testing.T) {
	p := new(presence)
	now := time.Date(2026, 5, 4, 9, 30, 0, 0, time.UTC)
	at := func(piece int) visit { return visit{progress.Spot{Piece: piece, Step: 1}, "", now} }
	p.note("one", "old", at(1))
	p.leave("one", "old", progress.Spot{Piece: 2, Step: 1})
	if got := p.others("one", "", now); len(got) != 1 {
		t.Errorf("after leaving another bend %v, want the visit to stand", got)
	}
	now = now.Add(2 * presentFor)
	for n := range mostWatched - 1 {
		p.note("two", fmt.Sprint(n), at(1))
	}
	p.note("three", "x", at(1))
	if p.phones(now) != mostWatched || len(p.others("one", "", now)) != 0 || p.sheets["one"] != nil {
		t.Errorf("%d phones, old sheet %v; want the old one dropped and %d left", p.phones(now), p.sheets["one"], mostWatched)
	}
	p.note("four", "y", at(1))
	if p.count != 1 || len(p.sheets) != 1 {
		t.Errorf("%d visits of %d sheets, want a fresh start when all are alive", p.count, len(p.sheets))
	}
	p.leave("four", "y", progress.Spot{Piece: 1, Step: 1})
	p.leave("four", "y", progress.Spot{Piece: 1, Step: 1})
	if p.count != 0 || len(p.sheets) != 0 {
		t.Errorf("%d visits after leaving twice, want none", p.count)
	}
}
