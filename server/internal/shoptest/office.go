package shoptest

import (
	"context"
	"net/http"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"brakeside/server"
	"brakeside/server/entry"
	"brakeside/server/store"
)

// The codes of the sheets that the tests issue.
var officeCodes = []string{
	"ffce2m4xq2pvr9tab", "ffce3m4xq2pvr9tab", "ffce4m4xq2pvr9tab", "ffce5m4xq2pvr9tab",
	"ffce6m4xq2pvr9tab", "ffce7m4xq2pvr9tab", "ffce8m4xq2pvr9tab",
}

// OpenOffice opens a shop with a brake and a planner, and nothing issued but the
// sheets of openShop.
func OpenOffice(t testing.TB) (*Shop, *http.Cookie) {
	t.Helper()
	s := OpenShop(t)
	s.Bench = &Bench{store: s.Store, book: s.Book(), Codes: append([]string(nil), officeCodes...), now: s.Now}
	s.Restart(func(o *server.Options) { o.Planner, o.ExampleBrake = s.Bench, ExampleBrake(t) })
	s.Keep(store.Brakes, store.Revision{Name: "Long bench brake", JSON: ExampleBrake(t)})
	return s, s.Owner()
}

// OpenEmpty opens a shop with a planner in which nothing is entered yet.
func OpenEmpty(t testing.TB) (*Shop, *http.Cookie) {
	t.Helper()
	s := openBare(t)
	s.Bench = &Bench{store: s.Store, book: s.Book(), Codes: append([]string(nil), officeCodes...), now: s.Now}
	s.Restart(func(o *server.Options) { o.Planner, o.ExampleBrake = s.Bench, ExampleBrake(t) })
	return s, s.Owner()
}

// brakeFile finds the example from the folder of whichever room is tested.
func brakeFile() string {
	_, here, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(here), "../../../cmd/brakeside/shop/brake.json")
}

// ExampleBrake is the brake file of the invented shop.
func ExampleBrake(t testing.TB) []byte {
	t.Helper()
	file, err := os.ReadFile(brakeFile())
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// Keep puts a version on a shelf.
func (s *Shop) Keep(shelf store.Shelf, v store.Revision) store.Revision {
	s.Helper()
	kept, err := s.Store.Keep(context.Background(), shelf, v)
	if err != nil {
		s.Fatal(err)
	}
	return kept
}

// partForm is the form of a kind, filled with its example.
func ExampleOf(kind, number, revision string) url.Values {
	form := entry.Example(entry.KindOf(kind))
	form.Set("number", number)
	form.Set("title", "Test "+kind)
	form.Set("revision", revision)
	return form
}

// Send posts a form of the office and gives the end of the address it leads to.
func (s *Shop) Send(to string, form url.Values, session *http.Cookie) string {
	s.Helper()
	answer, body := s.PostForm(to, form, session)
	if answer.StatusCode != http.StatusSeeOther {
		s.Fatalf("POST %s %v = %d: %s", to, form, answer.StatusCode, WordsIn(Parsed(s, body)))
	}
	return path.Base(answer.Header.Get("Location"))
}

// Refused posts a form that is to be refused, and gives the page.
func (s *Shop) Refused(to string, form url.Values, session *http.Cookie) *html.Node {
	s.Helper()
	answer, body := s.PostForm(to, form, session)
	if answer.StatusCode < 400 || answer.StatusCode >= 500 {
		s.Fatalf("POST %s %v = %d, want it refused", to, form, answer.StatusCode)
	}
	CheckPage(s, body)
	return Parsed(s, body)
}

// MakeReady keeps an example part, makes it ready, and gives its number.
func (s *Shop) MakeReady(form url.Values, session *http.Cookie) string {
	s.Helper()
	form.Set("act", "ready")
	return s.Send("/parts", form, session)
}

// IssueFor issues a sheet for a part and gives its code.
func (s *Shop) IssueFor(part, job string, session *http.Cookie) string {
	s.Helper()
	return s.Send("/jobs", url.Values{"part": {part}, "brake": {s.NewestBrake()}, "job": {job}, "quantity": {"2"}, "by": {"owner"}}, session)
}

// NewestBrake gives the number of the newest version of a brake.
func (s *Shop) NewestBrake() string {
	s.Helper()
	kept, err := s.Store.Newest(context.Background(), store.Brakes)
	if err != nil || len(kept) == 0 {
		s.Fatalf("%d brakes, %v", len(kept), err)
	}
	return strconv.FormatInt(kept[0].Seq, 10)
}

// FaultBeside gives what stands beside a field of a form.
func FaultBeside(t testing.TB, root *html.Node, name string) string {
	t.Helper()
	for _, tag := range []string{"input", "select", "textarea"} {
		for _, n := range All(root, Named(tag)) {
			if Attribute(n, "name") != name {
				continue
			}
			note := Attribute(n, "aria-describedby")
			if !Has(n, "aria-invalid") {
				return ""
			}
			for _, found := range All(root, func(n *html.Node) bool { return note != "" && Attribute(n, "id") == note }) {
				return WordsIn(found)
			}
		}
	}
	t.Fatalf("there is no field %q: %s", name, strings.TrimSpace(WordsIn(root)))
	return ""
}
