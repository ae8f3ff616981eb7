package server

import (
	"context"
	"net/http"
	"net/url"
	"os"
	"path"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/server/entry"
	"brakeside/server/store"
	"brakeside/traveler"
)

// bench is a planner that plans in earnest; the printed sheet is a stand-in.
type bench struct {
	store *store.Store
	codes []string // for the sheets to be issued, in order
	now   func() time.Time
	plans atomic.Int64 // that were worked out
}

func (b *bench) Plan(ctx context.Context, r PlanRequest) (*calc.Plan, error) {
	b.plans.Add(1)
	k, err := brake.Read(r.BrakeJSON)
	if err != nil {
		return nil, err
	}
	drawn, err := part.Read(r.PartJSON)
	if err != nil {
		return nil, err
	}
	figures, err := FiguresFor(ctx, b.store, k.Name)
	if err != nil {
		return nil, err
	}
	return calc.Work(drawn, k, calc.Options{Quantity: r.Quantity, Shop: figures, Watch: func(done, all int) bool {
		if r.Watch != nil {
			r.Watch(done, all)
		}
		return ctx.Err() == nil
	}})
}

func (b *bench) Draft(ctx context.Context, file []byte) (*calc.Plan, error) {
	drawn, err := part.Read(file)
	if err != nil {
		return nil, err
	}
	figures, err := Figures(ctx, b.store)
	if err != nil {
		return nil, err
	}
	return figures.Draft(drawn)
}

func (b *bench) Issue(ctx context.Context, r IssueRequest) (store.Issued, error) {
	kept, err := b.store.Find(ctx, store.Brakes, r.Brake)
	if err != nil {
		return store.Issued{}, err
	}
	plan, err := b.Plan(ctx, PlanRequest{PartJSON: r.PartJSON, BrakeJSON: kept.JSON, Quantity: r.Quantity})
	if err != nil {
		return store.Issued{}, err
	}
	code := b.codes[0]
	b.codes = b.codes[1:]
	t, err := traveler.Freeze(plan, traveler.Issue{Code: code, Base: r.Base, Job: r.Job, IssuedAt: b.now().Format(time.RFC3339), IssuedBy: r.By})
	if err != nil {
		return store.Issued{}, err
	}
	snapshot, err := traveler.Encode(t)
	return store.Issued{Traveler: t, Snapshot: snapshot, PDF: []byte("%PDF-1.7 sheet " + code)}, err
}

// The codes of the sheets that the tests issue.
var officeCodes = []string{"ffce2m4xq2pvr9tab", "ffce3m4xq2pvr9tab", "ffce4m4xq2pvr9tab", "ffce5m4xq2pvr9tab", "ffce6m4xq2pvr9tab", "ffce7m4xq2pvr9tab", "ffce8m4xq2pvr9tab"}

// openOffice opens a shop with a brake and a planner, and nothing issued but the
// sheets of openShop.
func openOffice(t testing.TB) (*shop, *http.Cookie) {
	t.Helper()
	s := openShop(t)
	s.bench = &bench{store: s.store, codes: append([]string(nil), officeCodes...), now: s.now}
	s.restart(func(o *Options) { o.Planner, o.ExampleBrake = s.bench, exampleBrake(t) })
	s.keep(store.Brakes, store.Revision{Name: "Long bench brake", JSON: exampleBrake(t)})
	return s, s.owner()
}

func exampleBrake(t testing.TB) []byte {
	t.Helper()
	file, err := os.ReadFile("../cmd/brakeside/shop/brake.json")
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func (s *shop) keep(shelf store.Shelf, v store.Revision) store.Revision {
	s.Helper()
	kept, err := s.store.Keep(context.Background(), shelf, v)
	if err != nil {
		s.Fatal(err)
	}
	return kept
}

// partForm is the form of a kind, filled with its example.
func exampleOf(kind, number, revision string) url.Values {
	form := entry.Example(entry.KindOf(kind))
	form.Set("number", number)
	form.Set("title", "Test "+kind)
	form.Set("revision", revision)
	return form
}

// send posts a form of the office and gives the end of the address it leads to.
func (s *shop) send(to string, form url.Values, session *http.Cookie) string {
	s.Helper()
	answer, body := s.postForm(to, form, session)
	if answer.StatusCode != http.StatusSeeOther {
		s.Fatalf("POST %s %v = %d: %s", to, form, answer.StatusCode, wordsIn(parsed(s, body)))
	}
	return path.Base(answer.Header.Get("Location"))
}

// refused posts a form that is to be refused, and gives the page.
func (s *shop) refused(to string, form url.Values, session *http.Cookie) *html.Node {
	s.Helper()
	answer, body := s.postForm(to, form, session)
	if answer.StatusCode < 400 || answer.StatusCode >= 500 {
		s.Fatalf("POST %s %v = %d, want it refused", to, form, answer.StatusCode)
	}
	checkPage(s, body)
	return parsed(s, body)
}

// makeReady keeps an example part, makes it ready, and gives its number.
func (s *shop) makeReady(form url.Values, session *http.Cookie) string {
	s.Helper()
	form.Set("act", "ready")
	return s.send("/parts", form, session)
}

// issueFor issues a sheet for a part and gives its code.
func (s *shop) issueFor(part, job string, session *http.Cookie) string {
	s.Helper()
	return s.send("/jobs", url.Values{"part": {part}, "brake": {s.newestBrake()}, "job": {job}, "quantity": {"2"}, "by": {"owner"}}, session)
}

func (s *shop) newestBrake() string {
	s.Helper()
	kept, err := s.store.Newest(context.Background(), store.Brakes)
	if err != nil || len(kept) == 0 {
		s.Fatalf("%d brakes, %v", len(kept), err)
	}
	return strconv.FormatInt(kept[0].Seq, 10)
}

// faultBeside gives what stands beside a field of a form.
func faultBeside(t testing.TB, root *html.Node, name string) string {
	t.Helper()
	for _, tag := range []string{"input", "select", "textarea"} {
		for _, n := range all(root, named(tag)) {
			if attribute(n, "name") != name {
				continue
			}
			note := attribute(n, "aria-describedby")
			if !has(n, "aria-invalid") {
				return ""
			}
			for _, found := range all(root, func(n *html.Node) bool { return note != "" && attribute(n, "id") == note }) {
				return wordsIn(found)
			}
		}
	}
	t.Fatalf("there is no field %q: %s", name, strings.TrimSpace(wordsIn(root)))
	return ""
}
