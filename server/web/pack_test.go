package web

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// packedAnswer is what comes of an answer for one who accepts some encodings.
func packedAnswer(accepts string, answer func(http.ResponseWriter, *http.Request)) *http.Response {
	r := httptest.NewRequest("GET", "/", nil)
	r.Header.Set("Accept-Encoding", accepts)
	w := httptest.NewRecorder()
	p := &packing{ResponseWriter: w, accepted: acceptsPacked(r)}
	answer(p, r)
	p.finish()
	return w.Result()
}

// unpacked reads a body as a browser would.
func unpacked(t *testing.T, answer *http.Response) string {
	t.Helper()
	body := io.Reader(answer.Body)
	if answer.Header.Get("Content-Encoding") == "gzip" {
		plain, err := gzip.NewReader(body)
		if err != nil {
			t.Fatal(err)
		}
		body = plain
	}
	text, err := io.ReadAll(body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestAnswersArePacked(t *testing.T) {
	long := strings.Repeat("a line of a page\n", 100)
	for _, c := range []struct {
		name, accepts, kind, body string
		packed, vary              bool
	}{
		{"a page", "gzip, deflate", HTMLKind, long, true, true},
		{"as others write it", "br;q=1.0, GZIP ; q=0.5", HTMLKind, long, true, true},
		{"not wanted", "gzip;q=0, identity", HTMLKind, long, false, true},
		{"not wanted, written longer", "gzip;q=0.000", HTMLKind, long, false, true},
		{"not a weight", "gzip;q=much", HTMLKind, long, false, true},
		{"not known", "br", HTMLKind, long, false, true},
		{"nothing said", "", JSONKind, long, false, true},
		{"as long as what is packed", "gzip", JSONKind, long[:leastPacked], true, true},
		{"one byte shorter", "gzip", JSONKind, long[:leastPacked-1], false, true},
		{"a drawing", "gzip", "image/svg+xml", long, true, true},
		{"a traveler", "gzip", "application/pdf", long, false, false},
		{"a photo", "gzip", "image/jpeg", long, false, false},
		{"news", "gzip", "text/event-stream", long, false, false},
	} {
		answer := packedAnswer(c.accepts, func(w http.ResponseWriter, _ *http.Request) { _ = Write(w, Reply{Kind: c.kind, Body: []byte(c.body)}) })
		if got := answer.Header.Get("Content-Encoding") == "gzip"; got != c.packed {
			t.Errorf("%s: packed %v, want %v", c.name, got, c.packed)
		}
		if got := answer.Header.Get("Vary") == "Accept-Encoding"; got != c.vary {
			t.Errorf("%s: Vary %q", c.name, answer.Header.Get("Vary"))
		}
		if length := answer.Header.Get("Content-Length"); c.packed && length != "" {
			t.Errorf("%s: packed with a length of %s, which is that of the plain answer", c.name, length)
		}
		if got := unpacked(t, answer); got != c.body {
			t.Errorf("%s: %d bytes come out, want %d", c.name, len(got), len(c.body))
		}
	}
}

func TestOtherAnswersArePacked(t *testing.T) {
	stream := func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/csv; charset=utf-8; header=present")
		for n := range 1000 {
			fmt.Fprintf(w, "%d,90.0\r\n", n)
		}
	}
	if answer := packedAnswer("gzip", stream); answer.Header.Get("Content-Encoding") != "gzip" || strings.Count(unpacked(t, answer), "90.0") != 1000 {
		t.Errorf("a long table is sent as %q", answer.Header)
	}
	encoded := func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Encoding", "gzip")
		_ = Write(w, Reply{Kind: HTMLKind, Body: bytes.Repeat([]byte{1}, 1000)})
	}
	if body, _ := io.ReadAll(packedAnswer("gzip", encoded).Body); len(body) != 1000 {
		t.Errorf("what is packed already comes as %d bytes, want its 1000", len(body))
	}
	elsewhere := func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, "/signin", http.StatusSeeOther) }
	if answer := packedAnswer("gzip", elsewhere); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Content-Encoding") != "" {
		t.Errorf("another address is told with %d, %q", answer.StatusCode, answer.Header)
	}
}

// How long a packed answer is must not tell how well a guess in it went: two answers
// that differ in a letter differ by chance, and the same one never does.
func TestPaddingHidesLengths(t *testing.T) {
	lengths := make(map[int]bool)
	for n := range 200 {
		page := []byte(strings.Repeat("a line of a page\n", 100) + fmt.Sprintf("%03d", n))
		first := padding(page)
		if len(first) >= mostPadding || padding(page) != first {
			t.Fatalf("a padding of %d, then of %d", len(first), len(padding(page)))
		}
		lengths[len(first)] = true
	}
	if len(lengths) < mostPadding/2 { // of 200 draws, fewer than half of 32 are missed but once in 10^100
		t.Errorf("200 pages have paddings of %d lengths, want nearly all %d", len(lengths), mostPadding)
	}
}
