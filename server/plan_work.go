package server

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/process"
	"brakeside/server/store"
)

const (
	// planPatience is how long a plan may take.
	planPatience = 2 * time.Minute
	// pagePatience is how long a page waits for plans before it shows how far
	// they have come.
	pagePatience = 700 * time.Millisecond
	// leftAlone is how long a plan is worked on without a page that asks for it:
	// closing the page stops it.
	leftAlone = 10 * time.Second
	// stepsPatience is how long a page that steps through a plan waits for it: a
	// page is sent within a minute.
	stepsPatience = 40 * time.Second
	mostPlans     = 24
)

// planKey is what a plan depends on: kept versions of part, brake and the shop's
// own figures, and the quantity.
type planKey struct {
	part, brake, shop, stops int64
	quantity                 int
}

// plansKept holds the last plans, so that stepping through one does not plan
// anew. One plan is worked out at a time: it takes a whole processor.
type plansKept struct {
	working sync.Mutex
	lock    sync.Mutex
	kept    map[planKey]*planWork
}

// planWork is a plan that is made or being made.
type planWork struct {
	done, all atomic.Int64 // how far it has come
	asked     atomic.Int64 // when a page asked last, Unix nanoseconds
	waiting   atomic.Int64 // pages that wait for it
	finished  chan struct{}
	told      atomic.Bool   // a page has shown why there is no plan
	plan      *process.Plan // these two once it is finished
	err       error
}

// begin gives the work on a plan, which has begun or begins now. Work that ended
// without a plan, and of which a page has said so, is begun again: what was wrong
// may have been put right.
func (p *plansKept) begin(key planKey, now time.Time, work func(*planWork)) *planWork {
	p.lock.Lock()
	defer p.lock.Unlock()
	if w := p.kept[key]; w != nil && !w.told.Load() {
		w.asked.Store(now.UnixNano())
		return w
	}
	w := &planWork{finished: make(chan struct{})}
	w.asked.Store(now.UnixNano())
	p.keep(key, w)
	go func() {
		p.working.Lock()
		defer p.working.Unlock()
		defer close(w.finished)
		work(w)
	}()
	return w
}

func (p *plansKept) keep(key planKey, w *planWork) {
	if p.kept == nil || len(p.kept) >= mostPlans {
		p.kept = make(map[planKey]*planWork)
	}
	p.kept[key] = w
}

// leftAlone reports whether no page waits for the plan, and none has asked for a
// while.
func (w *planWork) leftAlone() bool {
	return w.waiting.Load() == 0 && time.Since(time.Unix(0, w.asked.Load())) > leftAlone
}

// wait gives the plan once it is made, or the error of the context. A plan that
// is there is given even when the context has ended.
func (w *planWork) wait(ctx context.Context) (*process.Plan, error) {
	w.waiting.Add(1)
	defer w.waiting.Add(-1)
	select {
	case <-w.finished:
	default:
		select {
		case <-w.finished:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	w.told.Store(w.err != nil)
	return w.plan, w.err
}

// planOn begins to plan a kept part on a kept brake, or finds the plan.
func (s *Server) planOn(ctx context.Context, made, on store.Revision, quantity int) (*planWork, error) {
	if s.planner == nil {
		return nil, fault.New(fault.Busy, "", "This service was started without a planner: it can only show sheets.")
	}
	stops, err := s.store.LastDecision(ctx)
	if err != nil {
		return nil, err
	}
	key := planKey{made.Seq, on.Seq, s.shopVersion(ctx), stops, quantity}
	return s.plans.begin(key, time.Now(), func(w *planWork) {
		w.plan, w.err = s.workOut(w, PlanRequest{PartJSON: made.JSON, BrakeJSON: on.JSON, Quantity: quantity})
	}), nil
}

// workOut plans until the plan is there, no page asks for it any more, or
// patience ends.
func (s *Server) workOut(w *planWork, r PlanRequest) (*process.Plan, error) {
	ctx, cancel := context.WithTimeout(context.Background(), planPatience)
	defer cancel()
	r.Watch = func(done, all int) {
		w.done.Store(int64(done))
		w.all.Store(int64(all))
		if w.leftAlone() {
			cancel()
		}
	}
	plan, err := s.planner.Plan(ctx, r)
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return nil, fault.New(fault.Busy, "", "No order was found within %d seconds. The command plan takes the time it needs.", int(planPatience.Seconds()))
	case ctx.Err() != nil:
		return nil, fault.New(fault.Busy, "", "Planning was stopped, since nobody waited for it. Ask again.")
	}
	return plan, err
}

// shopVersion is the number of the shop's figures as kept, 0 for none.
func (s *Server) shopVersion(ctx context.Context) int64 {
	kept, err := s.store.Find(ctx, store.Materials, ShopFigures)
	if err != nil {
		return 0
	}
	return kept.Seq
}
