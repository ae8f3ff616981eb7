package parts_test

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"brakeside/calc/fault"
	"brakeside/calc/process"
	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/server/planning"
)

// slowly is the planner of these tests with a part that takes its time: until it
// is let go, it tells again and again how far it has come.
type slowly struct {
	*shoptest.Bench
	let  chan struct{}
	fail error
}

func (p *slowly) Plan(ctx context.Context, r planning.PlanRequest) (*process.Plan, error) {
	for {
		r.Watch(10, 64)
		select {
		case <-p.let:
			if p.fail != nil {
				return nil, p.fail
			}
			return p.Bench.Plan(ctx, r)
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(time.Millisecond):
		}
	}
}

// plansSlowly opens an office with such a planner and gives the address of the
// plans of its one part.
func plansSlowly(t *testing.T) (*shoptest.Shop, *slowly, *http.Cookie, string) {
	t.Helper()
	s, session := shoptest.OpenOffice(t)
	made := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), session)
	p := &slowly{Bench: s.Bench, let: make(chan struct{})}
	s.Restart(func(o *server.Options) { o.Planner = p })
	return s, p, session, "/parts/" + made + "/plans"
}

// A plan that takes long is no blank page: it says how far it has come and asks
// again, with script or without.
func TestLongPlanShowsItsProgress(t *testing.T) {
	s, p, session, address := plansSlowly(t)
	_, words := s.OwnerPage(session, address)
	for _, want := range []string{"is being planned", "10 of at most 64 sets of bends looked at", "Leave this page and it stops."} {
		if !strings.Contains(words, want) {
			t.Errorf("the page lacks %q: %s", want, words)
		}
	}
	if _, page := s.Get(address, session); !strings.Contains(page, "/static/again.js") || !strings.Contains(page, `<noscript><meta http-equiv="refresh"`) {
		t.Error("the page does not ask again")
	}
	close(p.let)
	_, words = s.Planned(session, address)
	if _, page := s.Get(address, session); !strings.Contains(words, "can be bent") || strings.Contains(page, "again.js") {
		t.Errorf("when the plan is there the page says %s", words)
	}
}

// Why there is no plan is shown once for every time it is asked for, also when
// it became known between two looks.
func TestPlanTellsWhyNot(t *testing.T) {
	s, p, session, address := plansSlowly(t)
	p.fail = fault.New(fault.Unbendable, "", "No brake makes this part.")
	s.OwnerPage(session, address)
	close(p.let)
	for range 2 {
		if _, words := s.Planned(session, address); !strings.Contains(words, "No brake makes this part.") {
			t.Errorf("the page says %s", words)
		}
	}
}

// What would help is opened in the form of the part with the change made, marked and
// not kept; what is kept from there can be bent.
func TestCureOpensInTheForm(t *testing.T) {
	s, session := shoptest.OpenOffice(t)
	long := shoptest.ExampleOf("l", "SH-12", "A")
	long.Set("profile.length", "1500")
	made := s.MakeReady(long, session)
	root, words := s.Planned(session, "/parts/"+made+"/plans")
	if !strings.Contains(words, "make the part at most 1180 mm long instead of 1500") {
		t.Fatalf("the plans offer no shorter part: %s", words)
	}
	var form string
	for _, link := range shoptest.All(root, shoptest.Named("a")) {
		if address := shoptest.Attribute(link, "href"); strings.Contains(address, "change=") && strings.Contains(address, "1180") {
			form = address
		}
	}
	if !strings.HasPrefix(form, "/parts/new?") {
		t.Fatalf("no link opens the form with the change: %q", form)
	}
	page, shown := s.OwnerPage(session, form)
	for _, want := range []string{"Changed here, and not saved yet", "changed; it was 1500"} {
		if !strings.Contains(shown, want) {
			t.Errorf("the form lacks %q: %s", want, shown)
		}
	}
	typed := shoptest.Filled(shoptest.One(t, page, func(n *html.Node) bool { return shoptest.Attribute(n, "data-live") != "" }))
	if got := typed.Get("profile.length"); got != "1180" {
		t.Fatalf("the form shows a length of %q", got)
	}
	for _, chosen := range []string{"material", "units", "sizes", "profile.bends[0].way"} {
		typed.Set(chosen, long.Get(chosen)) // what is chosen from a list stays as it was
	}
	kept := s.MakeReady(typed, session)
	if _, words := s.Planned(session, "/parts/"+kept+"/plans"); !strings.Contains(words, "can be bent") {
		t.Errorf("the part as the form has it cannot be bent: %s", words)
	}
}
