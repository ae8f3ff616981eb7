package server

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/store"
)

// Every route, for nobody, for one who holds a sheet and for the owner.
func TestAccess(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	routes := s.server.routes()
	if len(routes) < 15 {
		t.Fatalf("only %d routes", len(routes))
	}
	for _, rt := range routes {
		if rt.path == "/news" || strings.HasPrefix(rt.path, "/sign") {
			continue // a stream does not end, and the sign-in has answers of its own: tested apart
		}
		path := sampleAddress(rt.path)
		if rt.path == "/shop/sessions" {
			continue // it ends the session that the test goes by
		}
		r := httptest.NewRequest(rt.method, path, nil)
		answer, _ := s.ask(r)
		refused := answer.StatusCode == http.StatusForbidden || strings.HasPrefix(answer.Header.Get("Location"), "/signin?")
		wanted := rt.who == byOwner || rt.who == byViewer || rt.who == byMachine
		if refused != wanted {
			t.Errorf("%s %s for nobody = %d, refused %v, want %v", rt.method, rt.path, answer.StatusCode, refused, wanted)
		}
		if strings.Contains(rt.path, "{code}") && rt.who == byAnyone && rt.path != "/hello/{code}" {
			t.Errorf("%s is open to all, but has a code in it", rt.path)
		}
		r = httptest.NewRequest(rt.method, path, nil)
		r.AddCookie(session)
		answer, _ = s.ask(r)
		if answer.StatusCode == http.StatusForbidden || strings.HasPrefix(answer.Header.Get("Location"), "/signin?") {
			t.Errorf("%s %s for the owner = %d, want an answer", rt.method, rt.path, answer.StatusCode)
		}
		checkHeaders(t, answer)
	}
}

// A code opens its own sheet, and nothing else.
func TestACodeIsNoSession(t *testing.T) {
	s := openShop(t)
	for _, value := range []string{channelCode, hashOf("x"), ""} {
		if answer, _ := s.get("/", &http.Cookie{Name: sessionCookie, Value: value}); answer.StatusCode != http.StatusSeeOther {
			t.Errorf("session %q = %d, want to be sent to the sign-in", value, answer.StatusCode)
		}
	}
}

func TestSignIn(t *testing.T) {
	s := openShop(t)
	if answer, body := s.postForm("/signin", url.Values{"password": {"x"}}); answer.StatusCode != http.StatusForbidden || !strings.Contains(body, "No owner") {
		t.Errorf("before there is an owner = %d, want 403 and why", answer.StatusCode)
	}
	session := s.owner()
	if !session.HttpOnly || session.SameSite != http.SameSiteStrictMode || session.Secure || session.Path != "/" || len(session.Value) != 64 {
		t.Errorf("the cookie is %+v, want HttpOnly, SameSite=Strict, 256 random bits, and not Secure on plain http", session)
	}
	if answer, _ := s.get("/", session); answer.StatusCode != http.StatusOK {
		t.Errorf("the owner's page = %d, want 200", answer.StatusCode)
	}
	answer, body := s.postForm("/signin", url.Values{"password": {"wrong"}, "next": {"/review"}})
	checkPage(t, body)
	if answer.StatusCode != http.StatusForbidden || len(answer.Cookies()) != 0 || !strings.Contains(body, "not the password") || !strings.Contains(body, `value="/review"`) {
		t.Errorf("a wrong password = %d %s", answer.StatusCode, body)
	}
	answer, _ = s.postForm("/signin", url.Values{"password": {password}, "next": {"/review?bar=wide"}})
	if to := answer.Header.Get("Location"); to != "/review?bar=wide" {
		t.Errorf("after the sign-in one is at %q, want where one came from", to)
	}
	s.later(sessionLasts + time.Minute)
	if answer, _ := s.get("/", session); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("an old session = %d, want to sign in again", answer.StatusCode)
	}
}

func TestSignOut(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	answer, _ := s.postForm("/signout", nil, session)
	if cookies := answer.Cookies(); answer.StatusCode != http.StatusSeeOther || len(cookies) != 1 || cookies[0].MaxAge >= 0 {
		t.Errorf("sign out = %d %v, want the cookie gone", answer.StatusCode, cookies)
	}
	if answer, _ := s.get("/", session); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("the old session = %d, want to sign in again", answer.StatusCode)
	}
}

func TestNewPasswordEndsSessions(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	s.setPassword()
	if answer, _ := s.get("/", session); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("a session from before = %d, want to sign in again", answer.StatusCode)
	}
}

func TestSignInIsSlowedDown(t *testing.T) {
	s := openShop(t)
	s.setPassword()
	for range signInBurst {
		s.postForm("/signin", url.Values{"password": {"guess"}})
	}
	answer, _ := s.postForm("/signin", url.Values{"password": {password}})
	if answer.StatusCode != http.StatusTooManyRequests || answer.Header.Get("Retry-After") != "20" {
		t.Errorf("after many guesses = %d, Retry-After %q; want 429, 20", answer.StatusCode, answer.Header.Get("Retry-After"))
	}
	s.later(20 * time.Second)
	if answer, _ := s.postForm("/signin", url.Values{"password": {password}}); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("20 s later = %d, want to get in", answer.StatusCode)
	}
	if answer, _ := s.postForm("/signin", url.Values{"password": {strings.Repeat("x", mostPassword+1)}}); answer.StatusCode != http.StatusForbidden {
		t.Errorf("a password of %d letters = %d, want 403", mostPassword+1, answer.StatusCode)
	}
	if answer, _ := s.postForm("/signin", url.Values{"password": {strings.Repeat("x", 10<<10)}}); answer.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("a password of 10 kB = %d, want 413", answer.StatusCode)
	}
}

func TestOwnPath(t *testing.T) {
	for next, want := range map[string]string{
		"": "/", "/": "/", "/review?bar=wide": "/review?bar=wide", "//evil.example/": "/", "http://evil.example/": "/",
		"/\\evil.example": "/", "javascript:alert(1)": "/", "review": "/", "/a\r\nb": "/", "/%zz": "/",
	} {
		if got := ownPath(next); got != want {
			t.Errorf("ownPath(%q) = %q, want %q", next, got, want)
		}
	}
}

// The log must not hold what opens a sheet or the office.
func TestLogHoldsNoSecrets(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	s.recordFirstPiece()
	s.get("/t/" + channelCode + "?saved=f1")
	s.get("/t/" + channelCode + "/sheet.pdf")
	s.get("/jobs/"+channelCode, session)
	s.get("/t/" + unknownCode)
	s.postForm("/signin", url.Values{"password": {"my old password"}})
	s.ask(photoRequest(t, channelPhotos, photoFields(nil), jpegPhoto(t)))
	s.phone("AB").tells(1, 1, nil)
	s.pages = s.guarded(func(http.ResponseWriter, *http.Request) error {
		return errors.New("sheet " + channelCode + ": token " + session.Value)
	})
	s.get("/")
	s.pages = s.guarded(func(http.ResponseWriter, *http.Request) error { panic("sheet " + strings.ToUpper(channelCode)) })
	s.get("/")
	log := strings.ToLower(s.logged.String())
	for _, secret := range []string{channelCode, unknownCode, session.Value, password, "my old password", hashOf(session.Value)} {
		if strings.Contains(log, strings.ToLower(secret)) {
			t.Errorf("the log holds the secret %q", secret)
		}
	}
	for _, want := range []string{"route=/t/{code}", "status=404", "method=post", "request=", "sheet (left out)"} {
		if !strings.Contains(log, want) {
			t.Errorf("the log lacks %s:\n%s", want, log)
		}
	}
}

// guarded serves one made-up answer as if it were a route.
func (s *shop) guarded(a answer) http.Handler {
	return s.server.guard(s.server.serve(route{method: "GET", path: "/test", who: byAnyone, answer: a}))
}

func TestPanicIsContained(t *testing.T) {
	s := openShop(t)
	s.pages = s.guarded(func(http.ResponseWriter, *http.Request) error { panic("the secret cause") })
	answer, body := s.get("/")
	checkPage(t, body)
	if answer.StatusCode != http.StatusInternalServerError || strings.Contains(body, "secret cause") || !strings.Contains(body, answer.Header.Get("X-Request-Id")) {
		t.Errorf("a panic = %d %s, want 500, the number of the request and no cause", answer.StatusCode, body)
	}
	if log := s.logged.String(); !strings.Contains(log, "the secret cause") || !strings.Contains(log, "status=500") {
		t.Errorf("the log lacks the cause:\n%s", log)
	}
}

func TestBugIsLoggedAndNotShown(t *testing.T) {
	s := openShop(t)
	s.pages = s.guarded(func(http.ResponseWriter, *http.Request) error { return errors.New("the secret cause") })
	r := httptest.NewRequest("GET", "/", nil)
	r.Header.Set("Accept", "application/json")
	answer, body := s.ask(r)
	if answer.StatusCode != http.StatusInternalServerError || strings.Contains(body, "secret") || decode(t, body)["error"] == nil {
		t.Errorf("a bug = %d %s, want 500 as JSON and no cause", answer.StatusCode, body)
	}
	if !strings.Contains(s.logged.String(), "the secret cause") {
		t.Error("the log lacks the cause")
	}
}

// Who goes away before the answer is no failure of the service.
func TestGoneClient(t *testing.T) {
	s := openShop(t)
	r := httptest.NewRequest("POST", channelReadings, strings.NewReader(`{"id":"x","piece":1,"step":1,"measured":45}`))
	ctx, cancel := context.WithCancel(r.Context())
	cancel()
	s.ask(r.WithContext(ctx))
	if log := s.logged.String(); strings.Contains(log, "level=ERROR") || !strings.Contains(log, "the one who asked has gone") {
		t.Errorf("the log says\n%s", log)
	}
}

// An export that breaks off is cut off: a browser must not keep half a file.
func TestAbortIsPassedOn(t *testing.T) {
	s := openShop(t)
	s.pages = s.guarded(func(http.ResponseWriter, *http.Request) error { panic(http.ErrAbortHandler) })
	defer func() {
		if recover() != http.ErrAbortHandler {
			t.Error("the abort was swallowed")
		}
	}()
	s.get("/")
}

func TestHealth(t *testing.T) {
	s := openShop(t)
	if answer, body := s.get("/healthz"); answer.StatusCode != http.StatusOK || body != "ok\n" {
		t.Errorf("GET /healthz = %d %q, want 200 ok", answer.StatusCode, body)
	}
	if err := s.store.Close(); err != nil {
		t.Fatal(err)
	}
	if answer, _ := s.get("/healthz"); answer.StatusCode < 500 {
		t.Errorf("GET /healthz with a closed store = %d, want a failure", answer.StatusCode)
	}
}

func TestHead(t *testing.T) {
	s := openShop(t)
	r := httptest.NewRequest("HEAD", "/t/"+channelCode, nil)
	if answer, _ := s.ask(r); answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Length") == "0" {
		t.Errorf("HEAD = %d", answer.StatusCode)
	}
}

func TestStaticFiles(t *testing.T) {
	s := openShop(t)
	_, page := s.get("/t/" + channelCode)
	root := parsed(t, page)
	kinds := map[string]string{attribute(all(root, named("link"))[1], "href"): "text/css"}
	for _, script := range all(root, named("script")) {
		kinds[attribute(script, "src")] = "text/javascript"
	}
	if len(kinds) < 4 {
		t.Errorf("the page has the files %v, want its style and its scripts", kinds)
	}
	for path, kind := range kinds {
		answer, body := s.get(path)
		if answer.StatusCode != http.StatusOK || len(body) < 500 || !strings.Contains(answer.Header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s = %d, %d bytes", path, answer.StatusCode, len(body))
		}
		if got := answer.Header.Get("Content-Type"); !strings.HasPrefix(got, kind) {
			t.Errorf("%s is %q, want %s", path, got, kind)
		}
	}
	if answer, _ := s.get("/t/" + channelCode); answer.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("the page may be kept: %q, want no-store", answer.Header.Get("Cache-Control"))
	}
}

func TestNewRefusesHalfAnOption(t *testing.T) {
	s := openShop(t)
	whole := Options{Store: s.store, Base: "http://192.0.2.7", Now: s.now, Random: strings.NewReader(""), Log: slog.New(slog.DiscardHandler)}
	if _, err := New(whole); err != nil {
		t.Fatalf("New = %v", err)
	}
	for name, change := range map[string]func(*Options){
		"store": func(o *Options) { o.Store = nil }, "base": func(o *Options) { o.Base = "" }, "now": func(o *Options) { o.Now = nil },
		"random": func(o *Options) { o.Random = nil }, "log": func(o *Options) { o.Log = nil },
	} {
		half := whole
		change(&half)
		if _, err := New(half); err == nil {
			t.Errorf("New without %s = nil, want an error", name)
		}
	}
}

// With no randomness there are no pages: an id that is not random is worse than
// none.
func TestWithoutRandomness(t *testing.T) {
	s := openShop(t)
	s.restart(func(o *Options) { o.Random = strings.NewReader("") })
	if answer, _ := s.get("/t/" + channelCode); answer.StatusCode != http.StatusInternalServerError {
		t.Errorf("the page without randomness = %d, want 500", answer.StatusCode)
	}
}

// The owner's open page is told of every reading, and its stream does not hold
// up the end of the service.
func TestNews(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	running := s.server.HTTP()
	web := httptest.NewUnstartedServer(nil)
	web.Config = running
	web.Start()
	defer web.Close()
	r, err := http.NewRequestWithContext(context.Background(), "GET", web.URL+"/news", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.AddCookie(session)
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if kind := answer.Header.Get("Content-Type"); kind != "text/event-stream" {
		t.Fatalf("GET /news = %d %s", answer.StatusCode, kind)
	}
	read := func(want string) {
		t.Helper()
		got := make([]byte, len(want))
		if _, err := io.ReadFull(answer.Body, got); err != nil || string(got) != want {
			t.Fatalf("the stream says %q, %v; want %q", got, err, want)
		}
	}
	read(": open\n\n")
	s.record(channelCode, `{"id":"x","piece":1,"step":1,"measured":45}`)
	read("data: logged\n\n")
	s.record(channelCode, `{"id":"y","piece":1,"step":2,"measured":90}`)
	read("data: logged\n\n")
	if err := running.Shutdown(context.Background()); err != nil {
		t.Errorf("shut down = %v", err)
	}
	if rest, err := io.ReadAll(answer.Body); err != nil || len(rest) != 0 {
		t.Errorf("after the end the stream says %q, %v", rest, err)
	}
}

func TestNewsDoesNotWaitForAnyone(t *testing.T) {
	n := newNews()
	heard, end := n.listen()
	for range 5 {
		n.tell()
	}
	<-heard
	select {
	case <-heard:
		t.Error("a slow listener got a second wake-up call for the same news")
	default:
	}
	end()
	n.tell()
	if len(n.listeners) != 0 {
		t.Errorf("%d listeners are left", len(n.listeners))
	}
}

func TestEventsTellTheOwnersPages(t *testing.T) {
	s := openShop(t)
	session := s.owner()
	heard, end := s.server.news.listen()
	defer end()
	s.postForm("/jobs/"+channelCode+"/events", url.Values{"kind": {store.EventQuantity}, "detail": {"4"}}, session)
	select {
	case <-heard:
	default:
		t.Error("a decision was not told to the owner's other pages")
	}
}
