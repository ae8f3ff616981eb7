package server

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"brakeside/calc"
	"brakeside/calc/fault"

	"golang.org/x/net/html"
)

// slowly is the planner of these tests with a part that takes its time: until it
// is let go, it tells again and again how far it has come.
type slowly struct {
	*bench
	let  chan struct{}
	fail error
}

func (p *slowly) Plan(ctx context.Context, r PlanRequest) (*calc.Plan, error) {
	for {
		r.Watch(10, 64)
		select {
		case <-p.let:
			if p.fail != nil {
				return nil, p.fail
			}
			return p.bench.Plan(ctx, r)
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(time.Millisecond):
		}
	}
}

// plansSlowly opens an office with such a planner and gives the address of the
// plans of its one part.
func plansSlowly(t *testing.T) (*shop, *slowly, *http.Cookie, string) {
	t.Helper()
	s, session := openOffice(t)
	made := s.makeReady(exampleOf("tray", "DT-310", "A"), session)
	p := &slowly{bench: s.bench, let: make(chan struct{})}
	s.restart(func(o *Options) { o.Planner = p })
	return s, p, session, "/parts/" + made + "/plans"
}

// A plan that takes long is no blank page: it says how far it has come and asks
// again, with script or without.
func TestLongPlanShowsItsProgress(t *testing.T) {
	s, p, session, address := plansSlowly(t)
	_, words := s.ownerPage(session, address)
	for _, want := range []string{"is being planned", "10 of at most 64 sets of bends looked at", "Leave this page and it stops."} {
		if !strings.Contains(words, want) {
			t.Errorf("the page lacks %q: %s", want, words)
		}
	}
	if _, page := s.get(address, session); !strings.Contains(page, "/static/again.js") || !strings.Contains(page, `<noscript><meta http-equiv="refresh"`) {
		t.Error("the page does not ask again")
	}
	close(p.let)
	_, words = s.planned(session, address)
	if _, page := s.get(address, session); !strings.Contains(words, "can be bent") || strings.Contains(page, "again.js") {
		t.Errorf("when the plan is there the page says %s", words)
	}
}

// planned gives a page of plans once they all are there.
func (s *shop) planned(session *http.Cookie, address string) (root *html.Node, page string) {
	s.Helper()
	for {
		if root, page = s.ownerPage(session, address); !strings.Contains(page, "is being planned") {
			return root, page
		}
	}
}

// Why there is no plan is shown once for every time it is asked for, also when
// it became known between two looks.
func TestPlanTellsWhyNot(t *testing.T) {
	s, p, session, address := plansSlowly(t)
	p.fail = fault.New(fault.Unbendable, "", "No brake makes this part.")
	s.ownerPage(session, address)
	close(p.let)
	for range 2 {
		if _, words := s.planned(session, address); !strings.Contains(words, "No brake makes this part.") {
			t.Errorf("the page says %s", words)
		}
	}
}
