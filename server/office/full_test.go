package office_test

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"brakeside/server/internal/shoptest"
)

// full is a shop with 300 parts and 200 open jobs.
func full(t *testing.T) (*shoptest.Shop, func(path string) (bytes int, took time.Duration)) {
	s, owner := shoptest.OpenOffice(t)
	var list strings.Builder
	list.WriteString("number,title,material,thickness,length,legs,bends\n")
	for n := range 300 {
		fmt.Fprintf(&list, "RB-%03d,Rail bracket for stand %d,mild-steel,1.5,640,%d 52,90\n", n, n, 20+n%40)
	}
	s.Send("/parts/import", url.Values{"text": {list.String()}}, owner)
	for n := range 200 {
		s.Issue(numbered(n))
	}
	return s, func(path string) (int, time.Duration) {
		begun := time.Now()
		answer, body := s.Get(path, owner)
		took := time.Since(begun)
		if answer.StatusCode != 200 {
			t.Fatalf("%s = %d", path, answer.StatusCode)
		}
		return len(body), took
	}
}

// Lists of a full shop are quick and small: under 200 kB before they are packed, and,
// on a quiet machine, under 100 ms (ten times that here, for a machine that is not).
func TestListsOfAFullShop(t *testing.T) {
	_, get := full(t)
	for _, path := range []string{"/", "/?sort=-left", "/?q=rail", "/parts", "/parts?sort=-kept", "/parts?q=stand+29", "/jobs/new", "/jobs.csv", "/parts.csv"} {
		get(path) // what is read once
		bytes, took := get(path)
		t.Logf("%s: %d bytes, %v", path, bytes, took)
		if bytes > 200_000 || took > time.Second {
			t.Errorf("%s has %d bytes and takes %v", path, bytes, took)
		}
	}
}
