package server_test

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

	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/server/office"
	"brakeside/server/web"
	"brakeside/traveler/standing"
)

// Every route, for nobody, for one who holds a sheet and for the owner.
func TestAccess(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	routes := s.Server.Routes()
	if len(routes) < 15 {
		t.Fatalf("only %d routes", len(routes))
	}
	for _, rt := range routes {
		if rt.Path == "/news" || strings.HasPrefix(rt.Path, "/sign") {
			continue // a stream does not end, and the sign-in has answers of its own: tested apart
		}
		path := sampleAddress(rt.Path)
		if rt.Path == "/shop/sessions" {
			continue // it ends the session that the test goes by
		}
		r := httptest.NewRequest(rt.Method, path, nil)
		answer, _ := s.Ask(r)
		refused := answer.StatusCode == http.StatusForbidden || strings.HasPrefix(answer.Header.Get("Location"), "/signin?")
		wanted := rt.Who == web.ByOwner || rt.Who == web.ByViewer || rt.Who == web.ByMachine
		if refused != wanted {
			t.Errorf("%s %s for nobody = %d, refused %v, want %v", rt.Method, rt.Path, answer.StatusCode, refused, wanted)
		}
		if strings.Contains(rt.Path, "{code}") && rt.Who == web.ByAnyone && rt.Path != "/hello/{code}" {
			t.Errorf("%s is open to all, but has a code in it", rt.Path)
		}
		r = httptest.NewRequest(rt.Method, path, nil)
		r.AddCookie(session)
		answer, _ = s.Ask(r)
		if answer.StatusCode == http.StatusForbidden || strings.HasPrefix(answer.Header.Get("Location"), "/signin?") {
			t.Errorf("%s %s for the owner = %d, want an answer", rt.Method, rt.Path, answer.StatusCode)
		}
		shoptest.CheckHeaders(t, answer)
	}
}

// A code opens its own sheet, and nothing else.
func TestACodeIsNoSession(t *testing.T) {
	s := shoptest.OpenShop(t)
	for _, value := range []string{shoptest.ChannelCode, web.HashOf("x"), ""} {
		if answer, _ := s.Get("/", &http.Cookie{Name: web.SessionCookie, Value: value}); answer.StatusCode != http.StatusSeeOther {
			t.Errorf("session %q = %d, want to be sent to the sign-in", value, answer.StatusCode)
		}
	}
}

func TestSignIn(t *testing.T) {
	s := shoptest.OpenShop(t)
	if answer, body := s.PostForm("/signin", url.Values{"password": {"x"}}); answer.StatusCode != http.StatusForbidden || !strings.Contains(body, "No owner") {
		t.Errorf("before there is an owner = %d, want 403 and why", answer.StatusCode)
	}
	session := s.Owner()
	if !session.HttpOnly || session.SameSite != http.SameSiteStrictMode || session.Secure || session.Path != "/" || len(session.Value) != 64 {
		t.Errorf("the cookie is %+v, want HttpOnly, SameSite=Strict, 256 random bits, and not Secure on plain http", session)
	}
	if answer, _ := s.Get("/", session); answer.StatusCode != http.StatusOK {
		t.Errorf("the owner's page = %d, want 200", answer.StatusCode)
	}
	answer, body := s.PostForm("/signin", url.Values{"password": {"wrong"}, "next": {"/review"}})
	shoptest.CheckPage(t, body)
	if answer.StatusCode != http.StatusForbidden || len(answer.Cookies()) != 0 || !strings.Contains(body, "not the password") || !strings.Contains(body, `value="/review"`) {
		t.Errorf("a wrong password = %d %s", answer.StatusCode, body)
	}
	answer, _ = s.PostForm("/signin", url.Values{"password": {shoptest.Password}, "next": {"/review?bar=wide"}})
	if to := answer.Header.Get("Location"); to != "/review?bar=wide" {
		t.Errorf("after the sign-in one is at %q, want where one came from", to)
	}
	s.Later(web.SessionLasts + time.Minute)
	if answer, _ := s.Get("/", session); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("an old session = %d, want to sign in again", answer.StatusCode)
	}
}

func TestSignOut(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	answer, _ := s.PostForm("/signout", nil, session)
	if cookies := answer.Cookies(); answer.StatusCode != http.StatusSeeOther || len(cookies) != 1 || cookies[0].MaxAge >= 0 {
		t.Errorf("sign out = %d %v, want the cookie gone", answer.StatusCode, cookies)
	}
	if answer, _ := s.Get("/", session); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("the old session = %d, want to sign in again", answer.StatusCode)
	}
}

func TestNewPasswordEndsSessions(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.SetPassword()
	if answer, _ := s.Get("/", session); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("a session from before = %d, want to sign in again", answer.StatusCode)
	}
}

func TestSignInIsSlowedDown(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.SetPassword()
	for range office.SignInBurst {
		s.PostForm("/signin", url.Values{"password": {"guess"}})
	}
	answer, _ := s.PostForm("/signin", url.Values{"password": {shoptest.Password}})
	if answer.StatusCode != http.StatusTooManyRequests || answer.Header.Get("Retry-After") != "20" {
		t.Errorf("after many guesses = %d, Retry-After %q; want 429, 20", answer.StatusCode, answer.Header.Get("Retry-After"))
	}
	s.Later(20 * time.Second)
	if answer, _ := s.PostForm("/signin", url.Values{"password": {shoptest.Password}}); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("20 s later = %d, want to get in", answer.StatusCode)
	}
	if answer, _ := s.PostForm("/signin", url.Values{"password": {strings.Repeat("x", office.MostPassword+1)}}); answer.StatusCode != http.StatusForbidden {
		t.Errorf("a password of %d letters = %d, want 403", office.MostPassword+1, answer.StatusCode)
	}
	if answer, _ := s.PostForm("/signin", url.Values{"password": {strings.Repeat("x", 10<<10)}}); answer.StatusCode != http.StatusRequestEntityTooLarge {
		t.Errorf("a password of 10 kB = %d, want 413", answer.StatusCode)
	}
}

// The log must not hold what opens a sheet or the office.
func TestLogHoldsNoSecrets(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.RecordFirstPiece()
	s.Get("/t/" + shoptest.ChannelCode + "?saved=f1")
	s.Get("/t/" + shoptest.ChannelCode + "/sheet.pdf")
	s.Get("/jobs/"+shoptest.ChannelCode, session)
	s.Get("/t/" + shoptest.UnknownCode)
	s.PostForm("/signin", url.Values{"password": {"my old password"}})
	s.Ask(shoptest.PhotoRequest(t, shoptest.ChannelPhotos, shoptest.PhotoFields(nil), shoptest.JpegPhoto(t)))
	s.Phone("AB").Tells(1, 1, nil)
	s.Pages = s.Guarded(func(http.ResponseWriter, *http.Request) error {
		return errors.New("sheet " + shoptest.ChannelCode + ": token " + session.Value)
	})
	s.Get("/")
	s.Pages = s.Guarded(func(http.ResponseWriter, *http.Request) error {
		panic("sheet " + strings.ToUpper(shoptest.ChannelCode))
	})
	s.Get("/")
	log := strings.ToLower(s.Logged.String())
	for _, secret := range []string{shoptest.ChannelCode, shoptest.UnknownCode, session.Value, shoptest.Password, "my old password", web.HashOf(session.Value)} {
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

func TestHealth(t *testing.T) {
	s := shoptest.OpenShop(t)
	if answer, body := s.Get("/healthz"); answer.StatusCode != http.StatusOK || body != "ok\n" {
		t.Errorf("GET /healthz = %d %q, want 200 ok", answer.StatusCode, body)
	}
	if err := s.Store.Close(); err != nil {
		t.Fatal(err)
	}
	if answer, _ := s.Get("/healthz"); answer.StatusCode < 500 {
		t.Errorf("GET /healthz with a closed store = %d, want a failure", answer.StatusCode)
	}
}

func TestHead(t *testing.T) {
	s := shoptest.OpenShop(t)
	r := httptest.NewRequest("HEAD", "/t/"+shoptest.ChannelCode, nil)
	if answer, _ := s.Ask(r); answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Length") == "0" {
		t.Errorf("HEAD = %d", answer.StatusCode)
	}
}

func TestStaticFiles(t *testing.T) {
	s := shoptest.OpenShop(t)
	_, page := s.Get("/t/" + shoptest.ChannelCode)
	root := shoptest.Parsed(t, page)
	kinds := map[string]string{shoptest.Attribute(shoptest.All(root, shoptest.Named("link"))[1], "href"): "text/css"}
	for _, script := range shoptest.All(root, shoptest.Named("script")) {
		kinds[shoptest.Attribute(script, "src")] = "text/javascript"
	}
	if len(kinds) < 4 {
		t.Errorf("the page has the files %v, want its style and its scripts", kinds)
	}
	for path, kind := range kinds {
		answer, body := s.Get(path)
		if answer.StatusCode != http.StatusOK || len(body) < 200 || !strings.Contains(answer.Header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s = %d, %d bytes", path, answer.StatusCode, len(body))
		}
		if got := answer.Header.Get("Content-Type"); !strings.HasPrefix(got, kind) {
			t.Errorf("%s is %q, want %s", path, got, kind)
		}
	}
	session := s.Owner()
	for _, page := range []string{"/", "/review", "/jobs/" + shoptest.ChannelCode, "/parts"} {
		if answer, _ := s.Get(page, session); answer.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("the owner's page %s may be kept: %q, want no-store", page, answer.Header.Get("Cache-Control"))
		}
	}
	if answer, _ := s.Get("/t/" + shoptest.ChannelCode); answer.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("the page may be kept: %q, want no-store", answer.Header.Get("Cache-Control"))
	}
}

func TestNewRefusesHalfAnOption(t *testing.T) {
	s := shoptest.OpenShop(t)
	whole := server.Options{Store: s.Store, Base: "http://192.0.2.7", Now: s.Now, Random: strings.NewReader(""), Log: slog.New(slog.DiscardHandler)}
	if _, err := server.New(whole); err != nil {
		t.Fatalf("New = %v", err)
	}
	for name, change := range map[string]func(*server.Options){
		"store": func(o *server.Options) { o.Store = nil }, "base": func(o *server.Options) { o.Base = "" }, "now": func(o *server.Options) { o.Now = nil },
		"random": func(o *server.Options) { o.Random = nil }, "log": func(o *server.Options) { o.Log = nil },
	} {
		half := whole
		change(&half)
		if _, err := server.New(half); err == nil {
			t.Errorf("New without %s = nil, want an error", name)
		}
	}
}

// With no randomness there are no pages: an id that is not random is worse than
// none.
func TestWithoutRandomness(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.Restart(func(o *server.Options) { o.Random = strings.NewReader("") })
	if answer, _ := s.Get("/t/" + shoptest.ChannelCode); answer.StatusCode != http.StatusInternalServerError {
		t.Errorf("the page without randomness = %d, want 500", answer.StatusCode)
	}
}

// The owner's open page is told of every reading, and its stream does not hold
// up the end of the service.
func TestNews(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	running := s.Server.HTTP()
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
	s.Record(shoptest.ChannelCode, `{"id":"x","piece":1,"step":1,"measured":45}`)
	read("data: logged\n\n")
	s.Record(shoptest.ChannelCode, `{"id":"y","piece":1,"step":2,"measured":90}`)
	read("data: logged\n\n")
	if err := running.Shutdown(context.Background()); err != nil {
		t.Errorf("shut down = %v", err)
	}
	if rest, err := io.ReadAll(answer.Body); err != nil || len(rest) != 0 {
		t.Errorf("after the end the stream says %q, %v", rest, err)
	}
}

func TestEventsTellTheOwnersPages(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	heard, end := s.Server.News().Listen()
	defer end()
	s.PostForm("/jobs/"+shoptest.ChannelCode+"/events", url.Values{"kind": {standing.Requantified}, "detail": {"4"}}, session)
	select {
	case <-heard:
	default:
		t.Error("a decision was not told to the owner's other pages")
	}
}

// A page of somebody else whose name is made to lead to this machine gets nothing,
// and is told the names that are right; the address that the owner has set up is one
// of them from then on.
func TestForeignNamesAreRefused(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	ask := func(method, host, path string) (*http.Response, string) {
		r := httptest.NewRequest(method, path, nil)
		r.Host = host
		r.RemoteAddr = "127.0.0.1:9"
		r.AddCookie(session)
		return s.Ask(r)
	}
	for _, path := range []string{"/", "/metrics", "/healthz", "/t/" + shoptest.ChannelCode, "/static/bend.js", "/nowhere"} {
		answer, body := ask("GET", "evil.example:8080", path)
		if answer.StatusCode != http.StatusMisdirectedRequest || !strings.Contains(body, "localhost, 192.0.2.7") {
			t.Errorf("GET %s under a foreign name = %d %s", path, answer.StatusCode, body)
		}
		shoptest.CheckHeaders(t, answer)
	}
	if answer, _ := ask("POST", "evil.example", "/shop/sessions"); answer.StatusCode != http.StatusMisdirectedRequest {
		t.Errorf("POST under a foreign name = %d", answer.StatusCode)
	}
	for _, host := range []string{"192.0.2.7:8080", "127.0.0.1:8080", "localhost:8080", "[::1]:8080", "10.9.8.7"} {
		if answer, _ := ask("GET", host, "/metrics"); answer.StatusCode != http.StatusOK {
			t.Errorf("GET /metrics at %s = %d, want 200", host, answer.StatusCode)
		}
	}
	if answer, _ := ask("GET", "office.hollow-lane.example", "/"); answer.StatusCode != http.StatusMisdirectedRequest {
		t.Errorf("a name before it is set up = %d", answer.StatusCode)
	}
	s.Send("/setup", url.Values{"shop": {"Hollow Lane"}, "address": {"http://office.hollow-lane.example"}, "units": {"mm"}}, session)
	if answer, _ := ask("GET", "Office.Hollow-Lane.example:80", "/"); answer.StatusCode != http.StatusOK {
		t.Errorf("the name that was set up = %d", answer.StatusCode)
	}
}
