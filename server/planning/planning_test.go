package planning

import (
	"bytes"
	"context"
	"log/slog"
	"strings"
	"testing"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/process"
	"brakeside/server/store"
)

// slowly is a planner whose plans take their time: until it is let go, it tells
// again and again how far it has come.
type slowly struct {
	Planner
	let  chan struct{}
	fail any // what it panics with in the end, if anything
}

func (p *slowly) Plan(ctx context.Context, r PlanRequest) (*process.Plan, error) {
	for {
		r.Watch(10, 64)
		select {
		case <-p.let:
			if p.fail != nil {
				panic(p.fail)
			}
			return &process.Plan{Feasible: true}, nil
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(time.Millisecond):
		}
	}
}

// asked gives plans of a fresh shop, their log, and work on one that has begun.
func asked(t *testing.T, p *slowly) (*Plans, *bytes.Buffer, *Work) {
	t.Helper()
	kept, err := store.Open(t.TempDir(), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { kept.Close() })
	log := new(bytes.Buffer)
	plans := New(kept, p, slog.New(slog.NewTextHandler(log, nil)))
	return plans, log, again(t, plans)
}

func again(t *testing.T, plans *Plans) *Work {
	t.Helper()
	w, err := plans.On(t.Context(), Asked{Part: store.Revision{Seq: 1}, Brake: store.Revision{Seq: 2}, Quantity: 1, Account: store.RoleOwner})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// forget makes it long ago that a page asked for a plan.
func forget(w *Work) { w.asked.Store(time.Now().Add(-leftAlone - time.Second).UnixNano()) }

// A plan that no page asks for any more is stopped, and begun anew when one does.
func TestPlanStopsWhenNobodyWaits(t *testing.T) {
	p := &slowly{let: make(chan struct{})}
	plans, _, w := asked(t, p)
	forget(w)
	<-w.finished
	if _, err := again(t, plans).Wait(t.Context()); fault.KindOf(err) != fault.Busy || !strings.Contains(err.Error(), "Planning was stopped, since nobody waited for it.") {
		t.Errorf("a plan that was left alone = %v, want to be told so", err)
	}
	close(p.let)
	if plan, err := again(t, plans).Wait(t.Context()); err != nil || !plan.Feasible {
		t.Errorf("asked again = %v, %v, want the plan", plan, err)
	}
}

// A page that waits for a plan is as good as one that asks again: the work goes
// on however long it takes.
func TestPlanGoesOnWhileAPageWaits(t *testing.T) {
	p := &slowly{let: make(chan struct{})}
	_, _, w := asked(t, p)
	got := make(chan error, 1)
	go func() {
		_, err := w.Wait(context.Background())
		got <- err
	}()
	for w.waiting.Load() == 0 {
		time.Sleep(time.Millisecond)
	}
	forget(w)
	time.Sleep(50 * time.Millisecond) // many looks at whether to go on
	close(p.let)
	if err := <-got; err != nil {
		t.Errorf("the page that waited is told %v", err)
	}
}

// A planner that panics costs its plan: the log says why, and the next question
// is answered.
func TestPlannerThatPanics(t *testing.T) {
	p := &slowly{let: make(chan struct{}), fail: "no such bend"}
	plans, log, w := asked(t, p)
	close(p.let)
	if _, err := w.Wait(t.Context()); err == nil || fault.KindOf(err) != fault.Internal {
		t.Errorf("a plan whose planner panics = %v, want a mistake of the program", err)
	}
	if !strings.Contains(log.String(), "no such bend") || !strings.Contains(log.String(), "planning_test.go") {
		t.Errorf("the log lacks the cause or the place: %s", log)
	}
	p.fail = nil
	if plan, err := again(t, plans).Wait(t.Context()); err != nil || !plan.Feasible {
		t.Errorf("the next question = %v, %v, want the plan", plan, err)
	}
}

// each is a planner that plans one part after the other, as it is let.
type each struct {
	Planner
	begun chan string // of the part file
	let   map[string]chan struct{}
}

func (p *each) Plan(ctx context.Context, r PlanRequest) (*process.Plan, error) {
	p.begun <- string(r.PartJSON)
	select {
	case <-p.let[string(r.PartJSON)]:
		return &process.Plan{Feasible: true}, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// A viewer who asks for many plans makes the owner wait for none of them, and the
// memory is bounded. Plans that nobody waits for leave the line without being begun.
func TestOwnerPlansBesideTheViewer(t *testing.T) {
	kept, err := store.Open(t.TempDir(), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { kept.Close() })
	p := &each{begun: make(chan string), let: map[string]chan struct{}{"viewer": make(chan struct{}), "owner": make(chan struct{})}}
	plans := New(kept, p, slog.New(slog.DiscardHandler))
	ask := func(account string, seq int) *Work {
		t.Helper()
		w, err := plans.On(t.Context(), Asked{Part: store.Revision{Seq: int64(seq), JSON: []byte(account)}, Quantity: 1, Account: account})
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	first := ask("viewer", 0)
	if got := <-p.begun; got != "viewer" {
		t.Fatalf("the first plan is that of the %s", got)
	}
	var others []*Work
	for seq := range 3 * mostPlans {
		others = append(others, ask("viewer", seq+1))
	}
	mine := ask("owner", 9999)
	if got := <-p.begun; got != "owner" {
		t.Fatalf("beside a plan of the viewer that of the %s is begun", got)
	}
	close(p.let["owner"])
	if plan, err := mine.Wait(t.Context()); err != nil || !plan.Feasible {
		t.Errorf("the owner's plan = %v, %v", plan, err)
	}
	refused := func() (n int) {
		for _, w := range others {
			if w.isFinished() {
				n++
			}
		}
		return n
	}
	for began := time.Now(); refused() != len(others)-planRule.Behind; time.Sleep(time.Millisecond) {
		if time.Since(began) > 10*time.Second {
			t.Fatalf("%d of %d plans of one account were refused a place, want all but %d", refused(), len(others), planRule.Behind)
		}
	}
	for _, w := range others {
		forget(w)
	}
	for _, w := range others {
		<-w.finished
	}
	close(p.let["viewer"])
	if plan, err := first.Wait(t.Context()); err != nil || !plan.Feasible {
		t.Errorf("the viewer's first plan = %v, %v", plan, err)
	}
	if len(plans.kept) > mostPlans+planRule.Wait+planRule.Places {
		t.Errorf("%d plans are kept", len(plans.kept))
	}
}
