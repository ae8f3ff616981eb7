package server_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/server/internal/shoptest"
	"brakeside/server/store"
	"brakeside/server/web"
)

// Any request at all to any address, from nobody, the viewer or the owner, is
// answered as checkAnswer wants it.
func FuzzRequests(f *testing.F) {
	s := fuzzShop(f)
	for i, d := range s.seedsOf(fuzzRequests) {
		f.Add(d.method, d.path, d.kind, []byte(d.body), uint8(2))
		if i%5 == 0 {
			f.Add(d.method, d.path, d.kind, []byte(d.body), uint8(i/5%2))
		}
	}
	f.Fuzz(func(t *testing.T, method, path, kind string, body []byte, who uint8) {
		if _, err := url.ParseRequestURI(path); err != nil || !strings.HasPrefix(path, "/") || !plainMethod(method) {
			return // the library that reads requests lets none of these through
		}
		s.tries(t, seed{method, path, kind, string(body)}, who)
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

// accountPages are the addresses of accounts, passwords and sessions.
var accountPages = []string{"/signin", "/signout", "/shop/password", "/shop/viewer", "/shop/sessions"}

// Whatever is sent to the pages of accounts and passwords, by nobody, the viewer
// or the owner, is answered as checkAnswer wants it: above all no session comes
// of it without the password.
func FuzzAccounts(f *testing.F) {
	s := fuzzShop(f)
	for _, d := range s.seedsOf(fuzzAccounts) {
		page, query, _ := strings.Cut(d.path, "?")
		f.Add(uint8(slices.Index(accountPages, page)), d.method == http.MethodPost, query, d.kind, []byte(d.body), uint8(2))
		f.Add(uint8(slices.Index(accountPages, page)), d.method == http.MethodPost, query, d.kind, []byte(d.body), uint8(0))
	}
	for _, body := range []string{"%zz", "a=1&a=2&password=&next=//evil.example", "password=guess&password=" + shoptest.Password} {
		f.Add(uint8(0), true, "", shoptest.FormType, []byte(body), uint8(1))
	}
	f.Fuzz(func(t *testing.T, page uint8, post bool, query, kind string, body []byte, who uint8) {
		path := accountPages[int(page)%len(accountPages)] + "?" + query
		if _, err := url.ParseRequestURI(path); err != nil {
			return
		}
		s.tries(t, seed{map[bool]string{true: "POST", false: "GET"}[post], path, kind, string(body)}, who)
	})
}

// tries sends a request as one of the people and checks the answer. What would
// keep the next request from getting far is put right again.
func (f *fuzzable) tries(t *testing.T, d seed, who uint8) {
	f.Later(time.Minute) // so that those who tried too often may try again
	role := []string{"", store.RoleViewer, store.RoleOwner}[who%3]
	r := f.request(t, d, role)
	if who >= 128 { // a program
		r.Header.Set("Accept", "application/json")
	}
	w, entered := f.answers(r)
	checkAnswer(t, d, w)
	for _, rt := range entered {
		if rt.Who == web.ByOwner && role != store.RoleOwner || rt.Who == web.ByViewer && role == "" {
			t.Errorf("%s %s lets in %q", rt.Method, rt.Path, role)
		}
	}
	for _, c := range w.Result().Cookies() {
		if c.Name == web.SessionCookie && c.Value != "" && !holdsPassword(d.body) {
			t.Errorf("%s %q with %q signs in", d.method, d.path, d.body)
		}
	}
	if strings.Contains(f.Logged.String(), "msg=panic") {
		t.Fatalf("%s %q with %q: a panic", d.method, d.path, d.body)
	}
	changed := func(rt web.Route) bool { return slices.Contains(accountPages, rt.Path) && rt.Method == http.MethodPost }
	if _, err := f.Store.Session(t.Context(), web.HashOf(fuzzTokens[store.RoleOwner])); err != nil || slices.ContainsFunc(entered, changed) {
		f.reset(t)
	}
}

// holdsPassword reports whether one of the passwords is in a body, however it is
// written.
func holdsPassword(body string) bool {
	for _, text := range []string{body, decodedLoosely(body)} {
		if strings.Contains(text, shoptest.Password) || strings.Contains(text, shoptest.ViewerPassword) {
			return true
		}
	}
	return false
}

// decodedLoosely takes the escapes of a form out of a text, and leaves what is
// none as it is.
func decodedLoosely(text string) string {
	var out strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] == '%' && i+3 <= len(text) {
			if c, err := url.QueryUnescape(text[i : i+3]); err == nil {
				out.WriteString(c)
				i += 2
				continue
			}
		}
		out.WriteByte(map[bool]byte{true: ' ', false: text[i]}[text[i] == '+'])
	}
	return out.String()
}

// checkAnswer makes sure of what holds for the answer to any request at all: it
// is no failure, carries the headers that keep a browser strict, is whole in
// its kind, and holds nothing of the request as markup.
func checkAnswer(t *testing.T, d seed, w *httptest.ResponseRecorder) {
	t.Helper()
	body := w.Body.String()
	if w.Code >= http.StatusInternalServerError {
		t.Errorf("%s %q as %q with %q = %d %.300s", d.method, d.path, d.kind, d.body, w.Code, body)
	}
	shoptest.CheckHeaders(t, w.Result())
	kind, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
	var err error
	switch {
	case w.Code == http.StatusMovedPermanently || w.Code == http.StatusSeeOther: // a browser shows none of it
	case kind == "text/html":
		err = wholePage(body)
		if strings.Contains(body, "<html") {
			shoptest.CheckPage(t, body)
		}
	case kind == "image/svg+xml":
		err = wholeXML(body)
	case kind == "application/json" && d.method != http.MethodHead && !json.Valid(w.Body.Bytes()):
		err = errors.New("not JSON")
	case kind == "application/pdf" && !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")):
		err = errors.New("not a PDF")
	}
	if err != nil {
		t.Errorf("%s %q with %q: the answer is not whole: %v\n%.2000s", d.method, d.path, d.body, err, body)
	}
	if kind == "text/html" || kind == "image/svg+xml" {
		if word := markupOf(d, body); word != "" {
			t.Errorf("%s %q with %q: %q stands in the answer as markup", d.method, d.path, d.body, word)
		}
	}
}

// markupOf gives what of a request stands in a page as markup: the element that
// the seeds carry, which may have been kept by an earlier request and cut short,
// or a text of this one that is too long to be there by chance.
func markupOf(d seed, page string) string {
	const begun, byChance = "<typed", 12
	if strings.Contains(strings.ToLower(page), begun) {
		return begun
	}
	_, query, _ := strings.Cut(d.path, "?")
	for _, text := range []string{query, d.body} {
		values, _ := url.ParseQuery(text) // what can be read of it
		for name, all := range values {
			for _, v := range append(all, name) {
				if len(v) >= byChance && strings.Contains(v, "<") && strings.Contains(page, v) {
					return v
				}
			}
		}
	}
	return ""
}

// wholeXML reads a drawing to its end.
func wholeXML(text string) error {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// void are the elements that have no end.
var void = []string{"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}

// wholePage makes sure that every element of a page ends, in the order in which
// they began: a reader of pages forgives much, and would not tell.
func wholePage(page string) error {
	var open []string
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		switch z.Next() {
		case html.ErrorToken:
			if z.Err() != io.EOF {
				return z.Err()
			}
			if len(open) > 0 {
				return errors.New("<" + open[len(open)-1] + "> does not end")
			}
			return nil
		case html.StartTagToken:
			if name, _ := z.TagName(); !slices.Contains(void, string(name)) {
				open = append(open, string(name))
			}
		case html.EndTagToken:
			name, _ := z.TagName()
			if len(open) == 0 || open[len(open)-1] != string(name) {
				return errors.New("</" + string(name) + "> ends nothing, in " + strings.Join(open, " "))
			}
			open = open[:len(open)-1]
		}
	}
}

// The checks of the fuzz targets find what they are for.
func TestChecksOfAnswersFind(t *testing.T) {
	for page, whole := range map[string]bool{
		"<p>a<br>b</p>": true, "<svg><path/></svg>": true, "<p><b>a</p></b>": false, "<ul><li>a</ul>": false, "<p>a": false, "a</p>": false,
	} {
		if err := wholePage(page); (err == nil) != whole {
			t.Errorf("wholePage(%q) = %v, want it whole: %v", page, err, whole)
		}
	}
	form := seed{"POST", "/x?q=" + url.QueryEscape(`"><b>bold words`), shoptest.FormType, "note=" + url.QueryEscape("<i>slanted words</i>")}
	for page, want := range map[string]string{
		"<p>&lt;typed x=1&gt;</p>": "", "<p>it is <Typed x": "<typed", `<p title=""><b>bold words">`: `"><b>bold words`,
		"<p><i>slanted words</i>": "<i>slanted words</i>", "<p>slanted words": "",
	} {
		if got := markupOf(form, page); got != want {
			t.Errorf("markupOf(%q) = %q, want %q", page, got, want)
		}
	}
	for body, want := range map[string]bool{"a=" + shoptest.Password: true, "a=" + strings.ReplaceAll(shoptest.Password, "-", "%2D"): true, "%zz=" + shoptest.Password: true, "a=guess": false, "%": false} {
		if holdsPassword(body) != want {
			t.Errorf("holdsPassword(%q) = %v", body, !want)
		}
	}
	if wholeXML("<svg><g></svg>") == nil || wholeXML("<svg><g/></svg>") != nil {
		t.Error("wholeXML does not tell a whole drawing from a broken one")
	}
}

// Any bytes at all as a photo are refused or kept, and are answered as
// checkAnswer wants it.
func FuzzPhotos(f *testing.F) {
	s := fuzzShop(f)
	for _, d := range s.seedsOf(fuzzPhotos) {
		f.Add(d.kind, []byte(d.body), false)
	}
	f.Add("multipart/form-data; boundary=x", []byte("--x\r\nContent-Disposition: form-data; name=\"id\"\r\n\r\np\r\n--x--"), true)
	for _, picture := range [][]byte{shoptest.PngHead(3, 3), shoptest.PngHead(60_000, 60_000), shoptest.JpegPhoto(f), []byte(shoptest.TypedMarkup)} {
		r := shoptest.PhotoRequest(f, shoptest.ChannelPhotos, shoptest.PhotoFields(nil), picture)
		var body bytes.Buffer
		body.ReadFrom(r.Body)
		f.Add(r.Header.Get("Content-Type"), body.Bytes(), false)
	}
	f.Fuzz(func(t *testing.T, kind string, body []byte, program bool) {
		who := map[bool]uint8{true: 129, false: 0}[program] // 129 is nobody, who asks for JSON
		s.tries(t, seed{"POST", shoptest.ChannelPhotos, kind, string(body)}, who)
	})
}
