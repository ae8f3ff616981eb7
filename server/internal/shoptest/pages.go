package shoptest

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// ViewerPassword is that of the account that may only look.
const ViewerPassword = "look-only-please"

// Viewer makes the account that may only view and signs it in.
func (s *Shop) Viewer(owner *http.Cookie) *http.Cookie {
	s.Helper()
	s.Send("/shop/viewer", url.Values{"viewer": {ViewerPassword}, "act": {"set"}}, owner)
	answer, _ := s.PostForm("/signin", url.Values{"password": {ViewerPassword}})
	if answer.StatusCode != http.StatusSeeOther || len(answer.Cookies()) == 0 {
		s.Fatalf("the viewer's sign-in = %d", answer.StatusCode)
	}
	return answer.Cookies()[0]
}

// SentBack gives a form of a page as a browser would send it back.
func SentBack(root *html.Node) url.Values {
	form := url.Values{}
	for _, n := range All(root, Named("input")) {
		if name := Attribute(n, "name"); name != "" && Attribute(n, "type") != "file" {
			form.Set(name, Attribute(n, "value"))
		}
	}
	for _, n := range All(root, Named("select")) {
		options := All(n, Named("option"))
		value := Attribute(options[0], "value")
		for _, o := range options {
			if Has(o, "selected") {
				value = Attribute(o, "value")
			}
		}
		form.Set(Attribute(n, "name"), value)
	}
	return form
}

// FormType is the media type of a form.
const FormType = "application/x-www-form-urlencoded"

// CheckHeaders checks the headers that keep a browser strict.
func CheckHeaders(t testing.TB, answer *http.Response) {
	t.Helper()
	for name, want := range map[string]string{
		"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "X-Frame-Options": "DENY",
		"Content-Security-Policy": "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'",
	} {
		if got := answer.Header.Get(name); got != want {
			t.Errorf("%s = %q, want %q", name, got, want)
		}
	}
}

// Draws posts a form as the script of its page does.
func (s *Shop) Draws(form url.Values, session *http.Cookie) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "/parts/drawing", strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", FormType)
	r.AddCookie(session)
	w := httptest.NewRecorder()
	s.Pages.ServeHTTP(w, r)
	return w
}

// Atoi gives the number a text begins with, 0 if none.
func Atoi(text string) (n int) { fmt.Sscan(text, &n); return n }

// TrialForm is the form of a trial strip, filled in, with a button pressed.
func TrialForm(act string) url.Values {
	return url.Values{
		"material": {"304"}, "thickness": {"0.8"}, "bar": {"wide"}, "pack": {"P-7"}, "strip": {"100"}, "leg-one": {"50.9"}, "leg-two": {"50.8"},
		"angle": {"88.5"}, "stop": {"92"}, "radius": {"1.2"}, "by": {"AB"}, "act": {act},
	}
}

// OwnerPage gives the words of a page the owner asks for.
func (s *Shop) OwnerPage(session *http.Cookie, path string) (root *html.Node, page string) {
	s.Helper()
	answer, body := s.Get(path, session)
	if answer.StatusCode != http.StatusOK {
		s.Fatalf("GET %s = %d: %s", path, answer.StatusCode, WordsIn(Parsed(s, body)))
	}
	CheckPage(s, body)
	root = Parsed(s, body)
	return root, WordsIn(root)
}

// Row gives the cells of the table row that begins with a word.
func Row(t testing.TB, root *html.Node, first string) []string {
	t.Helper()
	for _, tr := range All(root, Named("tr")) {
		var cells []string
		for _, cell := range All(tr, func(n *html.Node) bool { return n.Data == "th" || n.Data == "td" }) {
			cells = append(cells, WordsIn(cell))
		}
		if len(cells) > 0 && cells[0] == first {
			return cells
		}
	}
	t.Fatalf("no row begins with %q: %s", first, WordsIn(root))
	return nil
}

// FieldValue gives what a field of a form holds.
func FieldValue(root *html.Node, name string) string {
	for _, n := range All(root, Named("input")) {
		if Attribute(n, "name") == name {
			return Attribute(n, "value")
		}
	}
	return ""
}

// Planned gives a page of plans once they all are there.
func (s *Shop) Planned(session *http.Cookie, address string) (root *html.Node, page string) {
	s.Helper()
	for {
		if root, page = s.OwnerPage(session, address); !strings.Contains(page, "is being planned") {
			return root, page
		}
	}
}
