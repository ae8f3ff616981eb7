package web_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"brakeside/server/internal/shoptest"
)

// mostFirstVisit is how many bytes a phone fetches when a code is scanned for the
// first time: the page and all that it uses.
const mostFirstVisit = 27 << 10

func TestFirstVisitIsSmall(t *testing.T) {
	s := shoptest.OpenShop(t)
	ask := func(path, encoding string) (*http.Response, string) {
		r := httptest.NewRequest("GET", path, nil)
		r.Header.Set("Accept-Encoding", encoding)
		return s.Ask(r)
	}
	const page = "/t/" + shoptest.ChannelCode
	_, plain := ask(page, "identity")
	root := shoptest.Parsed(t, plain)
	paths := []string{page}
	for _, link := range shoptest.All(root, shoptest.Named("link")) {
		paths = append(paths, shoptest.Attribute(link, "href"))
	}
	for _, script := range shoptest.All(root, shoptest.Named("script")) {
		paths = append(paths, shoptest.Attribute(script, "src"))
	}
	sent, whole := 0, 0
	for _, path := range paths {
		answer, body := ask(path, "gzip")
		if answer.StatusCode != http.StatusOK {
			t.Fatalf("GET %s = %d", path, answer.StatusCode)
		}
		_, unpacked := ask(path, "identity")
		t.Logf("%5d of %5d bytes: %s", len(body), len(unpacked), path)
		sent, whole = sent+len(body), whole+len(unpacked)
	}
	t.Logf("%d files in %d bytes, %d unpacked", len(paths), sent, whole)
	if len(paths) < 5 || sent > mostFirstVisit {
		t.Errorf("%d files in %d bytes, want at most %d", len(paths), sent, mostFirstVisit)
	}
}

// A file is told apart by a tag, packed or not, and is not sent again under its own.
func TestStaticTags(t *testing.T) {
	s := shoptest.OpenShop(t)
	tags := make(map[string]bool)
	for _, encoding := range []string{"gzip", "identity"} {
		ask := func(tag string) *http.Response {
			r := httptest.NewRequest("GET", "/static/brakeside.css", nil)
			r.Header.Set("Accept-Encoding", encoding)
			r.Header.Set("If-None-Match", tag)
			answer, body := s.Ask(r)
			if answer.StatusCode == http.StatusNotModified && body != "" {
				t.Errorf("what has not changed is sent all the same: %d bytes", len(body))
			}
			return answer
		}
		first := ask("")
		tag := first.Header.Get("ETag")
		if tags[tag] || !strings.HasPrefix(tag, `"`) || first.Header.Get("Vary") != "Accept-Encoding" {
			t.Errorf("as %s: tag %s, Vary %q", encoding, tag, first.Header.Get("Vary"))
		}
		tags[tag] = true
		if again := ask(tag); again.StatusCode != http.StatusNotModified {
			t.Errorf("as %s under its own tag = %d, want %d", encoding, again.StatusCode, http.StatusNotModified)
		}
		if other := ask(`"another"`); other.StatusCode != http.StatusOK {
			t.Errorf("as %s under another tag = %d, want %d", encoding, other.StatusCode, http.StatusOK)
		}
	}
}
