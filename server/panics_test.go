package server_test

import (
	"context"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"brakeside/calc/process"
	"brakeside/server"
	"brakeside/server/internal/shoptest"
	"brakeside/server/planning"
	"brakeside/server/store"
)

// stumbles is a planner that panics while it is told to.
type stumbles struct {
	*shoptest.Bench
	over bool
}

func (p *stumbles) Plan(ctx context.Context, r planning.PlanRequest) (*process.Plan, error) {
	if !p.over {
		panic("stumbled over a bend")
	}
	return p.Bench.Plan(ctx, r)
}

// A planner that panics costs the pages that asked for its plan, each with a line
// in the log; the service goes on.
func TestPlannerThatPanics(t *testing.T) {
	s, owner := shoptest.OpenOffice(t)
	made := s.MakeReady(shoptest.ExampleOf("tray", "DT-310", "A"), owner)
	p := &stumbles{Bench: s.Bench}
	s.Restart(func(o *server.Options) { o.Planner = p })
	bends := "/parts/" + made + "/bends?brake=" + s.NewestBrake()
	for _, page := range []string{"/parts/" + made + "/plans", bends} {
		answer, body := s.Get(page, owner)
		if answer.StatusCode != http.StatusInternalServerError || strings.Contains(body, "stumbled") || !strings.Contains(body, "It went wrong here") {
			t.Errorf("GET %s = %d %s, want 500 and no cause", page, answer.StatusCode, body)
		}
	}
	if log := s.Logged.String(); !strings.Contains(log, "stumbled over a bend") || !strings.Contains(log, "status=500") {
		t.Errorf("the log lacks the cause:\n%s", log)
	}
	p.over = true
	if answer, _ := s.Get(bends, owner); answer.StatusCode != http.StatusOK {
		t.Errorf("the next request = %d, want 200", answer.StatusCode)
	}
}

// A panic while the log is read ahead is a line in the log, and pages are served.
func TestPanicWhileReadingAhead(t *testing.T) {
	log := new(shoptest.Log)
	broken, err := server.New(server.Options{
		Store: new(store.Store), // nothing was opened: whatever is asked of it panics
		Base:  "http://192.0.2.7", Now: time.Now, Random: strings.NewReader(""), Log: slog.New(slog.NewTextHandler(log, nil)),
	})
	if err != nil {
		t.Fatal(err)
	}
	broken.HTTP()
	for deadline := time.Now().Add(shoptest.Patience); !strings.Contains(log.String(), "the log was not read ahead"); time.Sleep(time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("the log says %q", log.String())
		}
	}
	if !strings.Contains(log.String(), "panic: ") {
		t.Errorf("the log lacks the panic: %s", log.String())
	}
}
