package server

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/process"

	"golang.org/x/net/html"
)

// slowly is the planner of these tests with a part that takes its time: until it
// is let go, it tells again and again how far it has come.
type slowly struct {
	*bench
	let  chan struct{}
	fail error
}

func (p *slowly) Plan(ctx context.Context, r PlanRequest) (*process.Plan, error) {
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
	p := &slowly{bench: s.server.planner.(*bench), let: make(chan struct{})}
	s.server.planner = p
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
	for w := range s.works() {
		<-w.finished
	}
	_, words = s.ownerPage(session, address)
	if _, page := s.get(address, session); !strings.Contains(words, "can be bent") || strings.Contains(page, "again.js") {
		t.Errorf("when the plan is there the page says %s", words)
	}
}

// planned gives a page of plans once they all are there.
func (s *shop) planned(session *http.Cookie, address string) (root *html.Node, page string) {
	s.Helper()
	s.ownerPage(session, address)
	for w := range s.works() {
		<-w.finished
	}
	return s.ownerPage(session, address)
}

// works are the plans that are made or being made.
func (s *shop) works() map[*planWork]bool {
	s.server.plans.lock.Lock()
	defer s.server.plans.lock.Unlock()
	out := map[*planWork]bool{}
	for _, w := range s.server.plans.kept {
		out[w] = true
	}
	return out
}

// A plan that no page asks for any more is stopped, and begun anew when one does.
func TestPlanStopsWhenNobodyWaits(t *testing.T) {
	s, p, session, address := plansSlowly(t)
	s.ownerPage(session, address)
	for w := range s.works() {
		w.asked.Store(time.Now().Add(-leftAlone - time.Second).UnixNano())
		<-w.finished
	}
	if _, words := s.ownerPage(session, address); !strings.Contains(words, "Planning was stopped, since nobody waited for it.") {
		t.Errorf("the page says %s", words)
	}
	close(p.let)
	if _, words := s.ownerPage(session, address); !strings.Contains(words, "can be bent") {
		t.Errorf("asked again the page says %s", words)
	}
}

// A page that waits for a plan is as good as one that asks again: the work goes
// on however long it takes.
func TestPlanGoesOnWhileAPageWaits(t *testing.T) {
	s, p, session, address := plansSlowly(t)
	s.ownerPage(session, address)
	for w := range s.works() {
		got := make(chan error, 1)
		go func() {
			_, err := w.wait(context.Background())
			got <- err
		}()
		for w.waiting.Load() == 0 {
			time.Sleep(time.Millisecond)
		}
		w.asked.Store(time.Now().Add(-leftAlone - time.Second).UnixNano())
		time.Sleep(50 * time.Millisecond) // many looks at whether to go on
		close(p.let)
		if err := <-got; err != nil {
			t.Errorf("the page that waited is told %v", err)
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
	for w := range s.works() {
		<-w.finished
	}
	for range 2 {
		if _, words := s.ownerPage(session, address); !strings.Contains(words, "No brake makes this part.") {
			t.Errorf("the page says %s", words)
		}
	}
}
