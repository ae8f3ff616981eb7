// Package planning asks the planner for what pages show and issue, and keeps the
// last plans, so that stepping through one does not plan anew.
package planning

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/process"
	"brakeside/server/lessons"
	"brakeside/server/panics"
	"brakeside/server/store"
)

const (
	// planPatience is how long a plan may take.
	planPatience = 2 * time.Minute
	// PagePatience is how long a page waits for plans before it shows how far
	// they have come.
	PagePatience = 700 * time.Millisecond
	// leftAlone is how long a plan is worked on without a page that asks for it:
	// closing the page stops it.
	leftAlone = 10 * time.Second
	// StepsPatience is how long a page that steps through a plan waits for it: a
	// page is sent within a minute.
	StepsPatience = 40 * time.Second
	mostPlans     = 24
)

// Planner turns a part file into a sheet that is ready to be kept. It keeps
// nothing itself.
type Planner interface {
	// Issue plans the part and freezes the plan under a new code. It refuses
	// with fault.Invalid what is wrong in the file and with fault.Unbendable
	// what the brake cannot make.
	Issue(ctx context.Context, request IssueRequest) (store.Issued, error)

	// Plan plans a part on a brake with what the shop has settled. It gives up
	// when the context ends.
	Plan(ctx context.Context, request PlanRequest) (*process.Plan, error)

	// Draft works out the blank of a part before any brake is chosen.
	Draft(ctx context.Context, part []byte) (*process.Plan, error)
}

// PlanRequest is what is to be planned.
type PlanRequest struct {
	PartJSON, BrakeJSON []byte
	Quantity            int
	Pack                string // that it is cut from; empty: any
	// Watch, if set, is told how far planning has come.
	Watch func(done, all int)
}

// IssueRequest is what the owner asks to be issued.
type IssueRequest struct {
	PartJSON []byte // the part file as uploaded or pasted
	Job      string
	Quantity int
	Brake    string // name of a kept brake; empty for the shop's usual one
	Pack     string // that it is cut from; empty: not said
	By       string
	Base     string // the address that phones use
}

// planKey is what a plan depends on, beside the log: kept versions of part, brake
// and the shop's own figures, what was decided about stops, and the quantity.
type planKey struct {
	part, brake, shop, stops int64
	quantity                 int
}

// Plans asks the planner, and holds the last plans, so that stepping through one
// does not plan anew. One plan is worked out at a time: it takes a whole
// processor.
type Plans struct {
	store   *store.Store
	planner Planner // nil: sheets can only be shown
	log     *slog.Logger

	working sync.Mutex
	lock    sync.Mutex
	kept    map[planKey]*Work
}

// Work is a plan that is made or being made.
type Work struct {
	done, all atomic.Int64 // how far it has come
	asked     atomic.Int64 // when a page asked last, Unix nanoseconds
	waiting   atomic.Int64 // pages that wait for it
	finished  chan struct{}
	told      atomic.Bool   // a page has shown why there is no plan
	log       int64         // seq of the newest reading when it was begun
	plan      *process.Plan // these two once it is finished
	err       error
}

// begin gives the work on a plan, which has begun or begins now. Work that ended
// without a plan, and of which a page has said so, is begun again: what was wrong
// may have been put right. So is a plan that was made before the newest reading,
// whose stops may be others now; one that is being made is waited for.
func (p *Plans) begin(key planKey, log int64, now time.Time, work func(*Work)) *Work {
	p.lock.Lock()
	defer p.lock.Unlock()
	if w := p.kept[key]; w != nil && !w.told.Load() && (w.log == log || !w.isFinished()) {
		w.asked.Store(now.UnixNano())
		return w
	}
	w := &Work{finished: make(chan struct{}), log: log}
	w.asked.Store(now.UnixNano())
	p.keep(key, w)
	go p.workOn(w, work)
	return w
}

// workOn does the work on a plan when it is its turn. A planner that fails costs
// its plan.
func (p *Plans) workOn(w *Work, work func(*Work)) {
	p.working.Lock()
	defer p.working.Unlock()
	defer close(w.finished)
	if err := panics.Caught(func() error { work(w); return nil }); err != nil {
		p.log.Error("planning failed", "error", err)
		w.plan, w.err = nil, fmt.Errorf("planning failed, as logged before")
	}
}

func (p *Plans) keep(key planKey, w *Work) {
	if p.kept == nil || len(p.kept) >= mostPlans {
		p.kept = make(map[planKey]*Work)
	}
	p.kept[key] = w
}

func (w *Work) isFinished() bool {
	select {
	case <-w.finished:
		return true
	default:
		return false
	}
}

// Progress tells how many sets of bends have been looked at, and how many there
// are at the most: 0 while the plan waits for the one before it.
func (w *Work) Progress() (done, all int64) { return w.done.Load(), w.all.Load() }

// leftAlone reports whether no page waits for the plan, and none has asked for a
// while.
func (w *Work) leftAlone() bool {
	return w.waiting.Load() == 0 && time.Since(time.Unix(0, w.asked.Load())) > leftAlone
}

// Wait gives the plan once it is made, or the error of the context. A plan that
// is there is given even when the context has ended.
func (w *Work) Wait(ctx context.Context) (*process.Plan, error) {
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

// New gives the plans of a shop, with none worked out yet. Without a planner
// every question is refused.
func New(from *store.Store, planner Planner, log *slog.Logger) *Plans {
	return &Plans{store: from, planner: planner, log: log}
}

// Able refuses when there is no planner.
func (p *Plans) Able() error {
	if p.planner == nil {
		return fault.New(fault.Busy, "", "This service was started without a planner: it can only show sheets.")
	}
	return nil
}

// Issue is Planner.Issue.
func (p *Plans) Issue(ctx context.Context, r IssueRequest) (store.Issued, error) {
	if err := p.Able(); err != nil {
		return store.Issued{}, err
	}
	return p.planner.Issue(ctx, r)
}

// Draft works out the blank of a part with what the shop has settled.
func (p *Plans) Draft(ctx context.Context, file []byte) (*process.Plan, error) {
	if err := p.Able(); err != nil {
		return nil, err
	}
	return p.planner.Draft(ctx, file)
}

// On begins to plan a kept part on a kept brake, or finds the plan.
func (p *Plans) On(ctx context.Context, made, on store.Revision, quantity int) (*Work, error) {
	if err := p.Able(); err != nil {
		return nil, err
	}
	stops, err := p.store.LastDecision(ctx)
	if err != nil {
		return nil, err
	}
	log, err := p.store.LogState(ctx)
	if err != nil {
		return nil, err
	}
	key := planKey{made.Seq, on.Seq, p.shopVersion(ctx), stops, quantity}
	return p.begin(key, log.Last, time.Now(), func(w *Work) {
		w.plan, w.err = p.workOut(w, PlanRequest{PartJSON: made.JSON, BrakeJSON: on.JSON, Quantity: quantity})
	}), nil
}

// workOut plans until the plan is there, no page asks for it any more, or
// patience ends.
func (p *Plans) workOut(w *Work, r PlanRequest) (*process.Plan, error) {
	ctx, cancel := context.WithTimeout(context.Background(), planPatience)
	defer cancel()
	r.Watch = func(done, all int) {
		w.done.Store(int64(done))
		w.all.Store(int64(all))
		if w.leftAlone() {
			cancel()
		}
	}
	plan, err := p.planner.Plan(ctx, r)
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return nil, fault.New(fault.Busy, "",
			"No order was found within %d seconds. The command plan takes the time it needs.", int(planPatience.Seconds()))
	case ctx.Err() != nil:
		return nil, fault.New(fault.Busy, "", "Planning was stopped, since nobody waited for it. Ask again.")
	}
	return plan, err
}

// shopVersion is the number of the shop's figures as kept, 0 for none.
func (p *Plans) shopVersion(ctx context.Context) int64 {
	kept, err := p.store.Find(ctx, store.Materials, lessons.ShopFigures)
	if err != nil {
		return 0
	}
	return kept.Seq
}
