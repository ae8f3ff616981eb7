package server_test

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/server/office"
	"brakeside/server/operator"
	"brakeside/server/password"
	"brakeside/server/store"
	"brakeside/server/web"
)

// publishedLeast are the least costs of argon2id in the Password Storage Cheat
// Sheet of OWASP (cheatsheetseries.owasp.org, Argon2id; from memory): memory in
// KiB, rounds, threads. They are meant to be equal; one of them has to be met.
var publishedLeast = []password.Cost{{Memory: 47104, Rounds: 1, Threads: 1}, {Memory: 19456, Rounds: 2, Threads: 1}, {Memory: 12288, Rounds: 3, Threads: 1}, {Memory: 9216, Rounds: 4, Threads: 1}, {Memory: 7168, Rounds: 5, Threads: 1}}

// A password costs at least what is published as the least, whether it is set on
// the machine or in the browser.
func TestPasswordCostMeetsThePublishedLeast(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	s.Send("/shop/viewer", url.Values{"viewer": {shoptest.ViewerPassword}, "act": {"set"}}, session)
	s.Send("/shop/password", url.Values{"old": {shoptest.Password}, "new": {"a new long password"}}, session)
	kept := map[string]func(context.Context) (store.Owner, error){"owner": s.Store.Owner, "viewer": s.Store.Viewer}
	hashes := map[string]string{}
	for name, of := range kept {
		account, err := of(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		hashes[name] = account.PasswordHash
	}
	made, err := password.Hash(shoptest.Password, rand.NewChaCha8([32]byte{3}))
	if err != nil {
		t.Fatal(err)
	}
	hashes["set on the machine"] = made
	for name, hash := range hashes {
		c, salt, key, err := password.Read(hash)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !slices.ContainsFunc(publishedLeast, func(least password.Cost) bool {
			return c.Memory >= least.Memory && c.Rounds >= least.Rounds && c.Threads >= least.Threads
		}) {
			t.Errorf("%s: the password costs %+v, less than each of %+v", name, c, publishedLeast)
		}
		if len(salt) < 16 || len(key) < 32 {
			t.Errorf("%s: a salt of %d bytes and a key of %d, want 16 and 32", name, len(salt), len(key))
		}
	}
}

// signsInFrom tries a password from a network address and gives the answer.
func signsInFrom(s *shoptest.Shop, address, tried string) *http.Response {
	s.Helper()
	r := httptest.NewRequest("POST", "/signin", strings.NewReader(url.Values{"password": {tried}}.Encode()))
	r.Header.Set("Content-Type", shoptest.FormType)
	r.RemoteAddr = address + ":40000"
	answer, _ := s.Ask(r)
	return answer
}

// Guessing is slowed down by address: others get in meanwhile, whatever port or
// header the guesser uses, and tries come back one after the other.
func TestSignInIsSlowedDownByAddress(t *testing.T) {
	s := shoptest.OpenShop(t)
	s.SetPassword()
	const guesser, other = "192.0.2.66", "192.0.2.67"
	want := func(address, tried string, status int) {
		t.Helper()
		if answer := signsInFrom(s, address, tried); answer.StatusCode != status {
			t.Errorf("%s tries %q = %d, want %d", address, tried, answer.StatusCode, status)
		}
	}
	burst, pause := office.SignInBurst, office.SignInPause
	for range burst {
		want(guesser, "guess", http.StatusForbidden)
	}
	want(guesser, "guess", http.StatusTooManyRequests)
	want(guesser, shoptest.Password, http.StatusTooManyRequests)
	want(other, shoptest.Password, http.StatusSeeOther)
	r := httptest.NewRequest("POST", "/signin", strings.NewReader("password=guess"))
	r.Header.Set("Content-Type", shoptest.FormType)
	r.Header.Set("X-Forwarded-For", "192.0.2.68")
	r.RemoteAddr = guesser + ":55555"
	if answer, _ := s.Ask(r); answer.StatusCode != http.StatusTooManyRequests {
		t.Errorf("from another port, with another address in a header = %d, want 429", answer.StatusCode)
	}
	s.Later(pause - time.Second)
	answer := signsInFrom(s, guesser, "guess")
	if answer.StatusCode != http.StatusTooManyRequests || answer.Header.Get("Retry-After") != "1" {
		t.Errorf("a second too early = %d, Retry-After %q; want 429, 1", answer.StatusCode, answer.Header.Get("Retry-After"))
	}
	s.Later(time.Second)
	want(guesser, "guess", http.StatusForbidden) // one try is back
	want(guesser, "guess", http.StatusTooManyRequests)
	s.Later(3 * pause)
	for range 3 {
		want(guesser, "guess", http.StatusForbidden)
	}
	want(guesser, "guess", http.StatusTooManyRequests)
	s.Later(time.Duration(burst) * pause)
	for range burst - 1 {
		want(guesser, "guess", http.StatusForbidden)
	}
	want(guesser, shoptest.Password, http.StatusSeeOther) // all tries were back, and the last one is right
}

// Whoever sits at a page of the owner does not find the password by the form
// that changes it either.
func TestPasswordChangeIsSlowedDown(t *testing.T) {
	s := shoptest.OpenShop(t)
	session := s.Owner()
	form := url.Values{"old": {"guess"}, "new": {"a new long password"}}
	for range office.SignInBurst + office.MoreTries { // somebody is signed in at this address
		s.Refused("/shop/password", form, session)
	}
	form.Set("old", shoptest.Password)
	if answer, _ := s.PostForm("/shop/password", form, session); answer.StatusCode != http.StatusTooManyRequests {
		t.Errorf("after many guesses = %d, want 429", answer.StatusCode)
	}
}

// Every cookie is kept from scripts and from other sites, and where the service
// is reached over https, from lines without it.
func TestCookieFlags(t *testing.T) {
	reading := url.Values{"id": {"c1"}, "piece": {"1"}, "step": {"1"}, "measured": {"134.5"}, "given_as": {"opening"}, "by": {"AB"}}
	for name, c := range map[string]struct {
		base   string
		tls    *tls.ConnectionState
		secure bool
	}{
		"plain http":                 {"http://192.0.2.7:8080", nil, false},
		"https":                      {"http://192.0.2.7:8080", &tls.ConnectionState{}, true},
		"https ended by another one": {"https://shop.example", nil, true},
	} {
		t.Run(name, func(t *testing.T) {
			s := shoptest.OpenShop(t)
			s.SetPassword()
			s.Restart(func(o *server.Options) { o.Base = c.base })
			seen := map[string]bool{}
			for path, form := range map[string]url.Values{"/signin": {"password": {shoptest.Password}}, shoptest.ChannelReadings: reading, shoptest.ChannelPresence: {"piece": {"1"}, "step": {"1"}}} {
				r := httptest.NewRequest("POST", path, strings.NewReader(form.Encode()))
				r.Header.Set("Content-Type", shoptest.FormType)
				r.TLS = c.tls
				answer, body := s.Ask(r)
				if answer.StatusCode >= 400 {
					t.Fatalf("POST %s = %d %s", path, answer.StatusCode, body)
				}
				for _, cookie := range answer.Cookies() {
					seen[cookie.Name] = true
					if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode || cookie.Secure != c.secure || cookie.MaxAge <= 0 || cookie.Domain != "" {
						t.Errorf("%s: %q, want HttpOnly, SameSite=Strict, no domain, an end, and Secure: %v", path, cookie.Raw, c.secure)
					}
				}
			}
			for _, want := range []string{web.SessionCookie, operator.InitialsCookie, operator.ProtractorCookie} {
				if !seen[want] {
					t.Errorf("the cookie %s was not set; seen are %v", want, seen)
				}
			}
		})
	}
}

// No address takes a form that was sent from a page of another site, even with
// the owner's session; from our own pages, and from programs, which send no
// origin, it goes on to the route.
func TestFormsFromOtherSitesAreRefused(t *testing.T) {
	f := fuzzShop(t)
	posts := 0
	for _, rt := range f.Server.Routes() {
		if rt.Method != http.MethodPost {
			continue
		}
		posts++
		at := slices.IndexFunc(fuzzedRoutes, func(x fuzzed) bool { return x.method == rt.Method && x.path == rt.Path })
		for name, c := range map[string]struct {
			headers http.Header
			refused bool
		}{
			"cross-site": {http.Header{"Sec-Fetch-Site": {"cross-site"}}, true}, "a neighbour": {http.Header{"Sec-Fetch-Site": {"same-site"}}, true},
			"another origin": {http.Header{"Origin": {"http://evil.example"}}, true}, "another port": {http.Header{"Origin": {"http://192.0.2.7:9090"}}, true},
			"no origin to tell": {http.Header{"Origin": {"null"}}, true},
			"our page":          {http.Header{"Sec-Fetch-Site": {"same-origin"}}, false}, "our origin": {http.Header{"Origin": {"http://192.0.2.7:8080"}}, false},
			"a program": {nil, false},
		} {
			r := f.request(t, seed{rt.Method, f.address(fuzzedRoutes[at]), shoptest.FormType, "x=1"}, store.RoleOwner)
			for header, value := range c.headers {
				r.Header[header] = value
			}
			w, entered := f.answers(r)
			if c.refused != (len(entered) == 0) || c.refused && w.Code != http.StatusForbidden {
				t.Errorf("POST %s from %s = %d, let in by %d routes, want it refused: %v", rt.Path, name, w.Code, len(entered), c.refused)
			}
			f.reset(t)
		}
	}
	if posts < 20 {
		t.Errorf("only %d routes take forms", posts)
	}
}

// The headers that keep a browser strict stand on every kind of answer.
func TestHeadersOfEveryKindOfAnswer(t *testing.T) {
	f := fuzzShop(t)
	part, sheet := "/parts/"+f.fill["PART"], "/t/"+shoptest.ChannelCode
	post := func(path, kind, body string) seed { return seed{"POST", path, kind, body} }
	get := func(path string) seed { return seed{"GET", path, "", ""} }
	for name, c := range map[string]struct {
		seed
		status int
		kind   string
	}{
		"a page at the brake": {get(sheet), 200, "text/html"}, "a page of the office": {get("/review"), 200, "text/html"},
		"the sheet": {get(sheet + "/sheet.pdf"), 200, "application/pdf"}, "a record": {get("/jobs/" + shoptest.ChannelCode + "/record.pdf"), 200, "application/pdf"},
		"a drawing to look at": {get(part + "/blank.svg"), 200, "image/svg+xml"}, "a drawing to cut": {get(part + "/blank.dxf"), 200, "image/vnd.dxf"},
		"a table": {get("/review.csv"), 200, "text/csv"}, "a state": {get(sheet + "/state"), 200, "application/json"}, "a part file": {get(part + "/part.json"), 200, "application/json"},
		"a photo": {get("/jobs/" + shoptest.ChannelCode + "/photos/1"), 200, "image/jpeg"}, "figures of the service": {get("/metrics"), 200, "text/plain"},
		"a script": {get("/static/bend.js"), 200, "text/javascript"}, "a style": {get("/static/brakeside.css"), 200, "text/css"}, "an icon": {get("/static/icon.svg"), 200, "image/svg+xml"},
		"a stream": {get("/news"), 200, "text/event-stream"}, "health": {get("/healthz"), 200, "text/plain"},
		"a block of a page": {post("/parts/drawing", shoptest.FormType, f.fill["PART-TRAY"]), 200, "text/html"},
		"a way on":          {post(sheet+"/pieces", shoptest.FormType, "instead_of=2"), 303, ""}, "a tidied address": {get("//t"), 301, ""},
		"no page": {get("/nothing"), 404, "text/html"}, "no file": {get("/static/nothing.js"), 404, "text/html"}, "no sheet": {get("/t/" + shoptest.UnknownCode), 404, "text/html"},
		"a wrong method": {seed{"DELETE", sheet, "", ""}, 405, "text/html"}, "a refused form": {post("/jobs", shoptest.FormType, "job=1"), 422, "text/html"},
		"a refused reading": {post(sheet+"/readings", "application/json", "{}"), 422, "application/json"}, "too much": {post(sheet+"/presence", shoptest.FormType, strings.Repeat("x", 5000)), 413, "text/html"},
	} {
		w, _ := f.answers(f.request(t, c.seed, store.RoleOwner))
		if kind, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";"); w.Code != c.status || kind != c.kind && c.kind != "" {
			t.Errorf("%s: %d as %q, want %d as %q", name, w.Code, kind, c.status, c.kind)
		}
		checkStrict(t, name, w.Result())
	}
	for name, fail := range map[string]web.Answer{
		"a failure": func(http.ResponseWriter, *http.Request) error { return errors.New("x") },
		"a panic":   func(http.ResponseWriter, *http.Request) error { panic("x") },
	} {
		w := httptest.NewRecorder()
		f.Guarded(fail).ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
		if w.Code != http.StatusInternalServerError {
			t.Errorf("%s = %d", name, w.Code)
		}
		checkStrict(t, name, w.Result())
	}
}

// checkStrict reads what the headers allow, word by word.
func checkStrict(t *testing.T, name string, answer *http.Response) {
	t.Helper()
	policy := map[string]string{}
	for directive := range strings.SplitSeq(answer.Header.Get("Content-Security-Policy"), ";") {
		what, from, _ := strings.Cut(strings.TrimSpace(directive), " ")
		policy[what] = from
	}
	for what, want := range map[string]string{"default-src": "'self'", "frame-ancestors": "'none'", "base-uri": "'none'", "form-action": "'self'", "object-src": "'none'"} {
		if policy[what] != want {
			t.Errorf("%s: the policy's %s is %q, want %q", name, what, policy[what], want)
		}
	}
	if all := fmt.Sprint(policy); strings.Contains(all, "unsafe") || strings.Contains(all, "*") || strings.Contains(all, "data:") {
		t.Errorf("%s: the policy lets too much in: %s", name, all)
	}
	for header, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin"} {
		if got := answer.Header.Values(header); len(got) != 1 || got[0] != want {
			t.Errorf("%s: %s = %q, want %q once", name, header, got, want)
		}
	}
}
