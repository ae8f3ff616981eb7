package server

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/store"
)

// Any request at all to any address, from nobody or from the owner, gets an
// answer that is no failure, and its refusal never echoes markup.
func FuzzRequests(f *testing.F) {
	s := openShop(f)
	session := s.owner()
	s.recordFirstPiece()
	for _, rt := range s.server.routes() {
		if rt.path == streamRoute || rt.path == "/signout" || strings.HasPrefix(rt.path, "/shop/") {
			continue // a stream does not end, and the others end the session
		}
		path := sampleAddress(rt.path)
		f.Add(rt.method, path, formType, []byte("piece=1&step=1&kind=quantity&detail=4&instead_of=1"), true)
		f.Add(rt.method, path+"?piece=2&saved=f1&next=/x&since=2026-01-01&limit=9", "application/json", []byte(`{"id":"x","piece":1}`), false)
		f.Add(rt.method, path+"?a=%00&piece=%3Cscript%3E", "multipart/form-data; boundary=x", []byte("--x--"), true)
	}
	f.Fuzz(func(t *testing.T, method, path, kind string, body []byte, owner bool) {
		target, err := url.ParseRequestURI(path)
		if err != nil || !strings.HasPrefix(path, "/") || strings.HasPrefix(target.Path, streamRoute) || strings.HasPrefix(target.Path, "/sign") ||
			strings.HasPrefix(target.Path, "/shop/") || !plainMethod(method) {
			return
		}
		r := httptest.NewRequest("GET", "http://192.0.2.7:8080/", strings.NewReader(string(body)))
		r.Method, r.URL, r.RequestURI = method, target, path
		r.Header["Content-Type"] = []string{kind}
		if owner {
			r.AddCookie(session)
		}
		w := httptest.NewRecorder()
		s.pages.ServeHTTP(w, r)
		if w.Code >= http.StatusInternalServerError && w.Code != http.StatusServiceUnavailable {
			t.Errorf("%s %q as %q with %q = %d %.300s", method, path, kind, body, w.Code, w.Body)
		}
		if strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") && strings.Contains(w.Body.String(), "<script>") {
			t.Errorf("%s %q: a script stands in the page", method, path)
		}
	})
}

func plainMethod(method string) bool {
	for _, c := range method {
		if c < 'A' || c > 'Z' {
			return false
		}
	}
	return method != ""
}

// Whatever is posted to the pages of accounts and passwords, whether signed in
// or not, is answered without a failure, and no session comes of it.
func FuzzAccounts(f *testing.F) {
	paths := []string{"/signin", "/signout", "/shop/password", "/shop/viewer", "/shop/sessions"}
	for n := range paths {
		for _, body := range []string{"", "password=guess", "password=" + strings.Repeat("x", 5000), "old=a&new=b&again=b", "%zz", "a=1&a=2&password=&next=//evil.example"} {
			f.Add(uint8(n), formType, []byte(body), n%2 == 0)
		}
		f.Add(uint8(n), "multipart/form-data; boundary=x", []byte("--x\r\n\r\n--x--"), true)
		f.Add(uint8(n), "application/json", []byte(`{"password":"x"}`), true)
	}
	s := openShop(f)
	s.setPassword()
	known := false // a password that the fuzzer has set itself may let it in
	f.Fuzz(func(t *testing.T, page uint8, kind string, body []byte, owner bool) {
		if strings.Contains(string(body), password[:4]) {
			return // the right password does let in
		}
		s.later(time.Minute) // so that more than a few tries are let through
		r := httptest.NewRequest("POST", paths[int(page)%len(paths)], strings.NewReader(string(body)))
		r.Header["Content-Type"] = []string{kind}
		if owner {
			session := store.Session{TokenHash: hashOf("token"), Role: store.RoleOwner, Expires: s.now().Add(time.Hour)}
			if err := s.store.AddSession(r.Context(), session); err != nil {
				t.Fatal(err)
			}
			r.AddCookie(&http.Cookie{Name: sessionCookie, Value: "token"})
			defer s.store.EndSession(r.Context(), session.TokenHash)
		}
		w := httptest.NewRecorder()
		s.pages.ServeHTTP(w, r)
		if w.Code >= http.StatusInternalServerError {
			t.Errorf("POST %s as %q with %q = %d %.300s", r.URL.Path, kind, body, w.Code, w.Body)
		}
		known = known || owner && strings.HasPrefix(r.URL.Path, "/shop/") && w.Code == http.StatusSeeOther
		for _, c := range w.Result().Cookies() {
			if c.Name == sessionCookie && c.Value != "" && !known {
				t.Errorf("POST %s with %q signs in", r.URL.Path, body)
			}
		}
	})
}
