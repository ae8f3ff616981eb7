// Package planning asks the planner for what pages show and issue, and keeps the
// last plans, so that stepping through one does not plan anew.
package planning

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"sync"
	"sync/atomic"
	"time"

	"brakeside/calc/fault"
	"brakeside/calc/process"
	"brakeside/calc/unit"
	"brakeside/server/admit"
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

// planRule: a plan takes a whole processor, so that each account has one place, and
// a viewer who looks at many plans keeps the owner from none.
var planRule = admit.Rule{Places: 2, Each: 1, Wait: 2 * mostPlans, Behind: mostPlans}

// Planner turns a part file into a sheet that is ready to be kept. It keeps
// nothing itself.
type Planner interface {
	// Issue freezes a plan under a new code. It refuses with fault.Unbendable
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
	Plan  *process.Plan // as it was looked at
	Job   string
	Pack  string // that it is cut from; empty: not said
	By    string
	Base  string      // the address that phones use
	Units unit.System // that the shop reads lengths in
}

// planKey is what a plan depends on, beside the log: kept versions of part, brake
// and the shop's own figures, what was decided about stops and said beside the
// readings, the quantity and the pack. The quantity does more than price: setting the brake up is shared
// over the pieces of a step, so that two pieces are worth fewer changes and fifty a bar
// that suits each bend (TestQuantityChangesPlans).
type planKey struct {
	part, brake, shop, stops int64
	said                     int // statements beside the readings
	quantity                 int
	pack                     string
}

// Plans asks the planner, and holds the last plans, so that stepping through one
// does not plan anew. One plan of an account is worked out at a time.
type Plans struct {
	store   *store.Store
	planner Planner // nil: sheets can only be shown
	log     *slog.Logger

	line *admit.Line
	lock sync.Mutex
	kept map[planKey]*Work
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

// begun is who begins a plan and when.
type begun struct {
	account string
	log     int64 // seq of the newest reading
	now     time.Time
}

// begin gives the work on a plan, which has begun or begins now. Work that ended
// without a plan, and of which a page has said so, is begun again: what was wrong
// may have been put right. So is a plan that was made before the newest reading,
// whose stops may be others now; one that is being made is waited for.
func (p *Plans) begin(key planKey, b begun, work func(context.Context, *Work)) *Work {
	p.lock.Lock()
	defer p.lock.Unlock()
	if w := p.kept[key]; w != nil && !w.told.Load() && (w.log == b.log || !w.isFinished()) {
		w.asked.Store(b.now.UnixNano())
		return w
	}
	w := &Work{finished: make(chan struct{}), log: b.log}
	w.asked.Store(b.now.UnixNano())
	p.keep(key, w)
	go p.workOn(w, b.account, work)
	return w
}

// workOn does the work on a plan when it is the turn of its account. What nobody waits
// for any more leaves the line, and a planner that fails costs its plan.
func (p *Plans) workOn(w *Work, account string, work func(context.Context, *Work)) {
	defer close(w.finished)
	ctx, stop := w.whileAsked()
	defer stop()
	leave, err := p.line.Enter(ctx, account)
	switch {
	case errors.Is(err, admit.Full):
		w.err = fault.New(fault.Busy, "", "Too many plans wait already. Ask again when some are there.")
		return
	case err != nil:
		w.err = nobodyWaited()
		return
	}
	defer leave()
	if err := panics.Caught(func() error { work(ctx, w); return nil }); err != nil {
		p.log.Error("planning failed", "error", err)
		w.plan, w.err = nil, fmt.Errorf("planning failed, as logged before")
	}
}

func nobodyWaited() error {
	return fault.New(fault.Busy, "", "Planning was stopped, since nobody waited for it. Ask again.")
}

// whileAsked gives a context that ends when nobody waits for the plan any more.
func (w *Work) whileAsked() (context.Context, context.CancelFunc) {
	ctx, stop := context.WithCancel(context.Background())
	go func() {
		looks := time.NewTicker(leftAlone / 20)
		defer looks.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-looks.C:
				if w.leftAlone() {
					stop()
				}
			}
		}
	}()
	return ctx, stop
}

// keep keeps a plan, in place of the finished one that was asked for longest ago
// where there are many. Those that are not finished are bounded by the line.
func (p *Plans) keep(key planKey, w *Work) {
	if p.kept == nil {
		p.kept = make(map[planKey]*Work)
	}
	if len(p.kept) >= mostPlans {
		var oldest planKey
		asked := int64(math.MaxInt64)
		for key, w := range p.kept {
			if at := w.asked.Load(); at < asked && w.isFinished() {
				oldest, asked = key, at
			}
		}
		delete(p.kept, oldest)
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
	return &Plans{store: from, planner: planner, log: log, line: admit.NewLine(planRule)}
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

// Asked is a part to be planned on a brake, and the account that asks.
type Asked struct {
	Part, Brake store.Revision
	Quantity    int
	Pack        string // that it is cut from; empty: any
	Account     string
}

// On begins to plan a kept part on a kept brake, or finds the plan.
func (p *Plans) On(ctx context.Context, a Asked) (*Work, error) {
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
	said, err := p.store.Statements(ctx)
	if err != nil {
		return nil, err
	}
	key := planKey{a.Part.Seq, a.Brake.Seq, p.shopVersion(ctx), stops, len(said), a.Quantity, a.Pack}
	return p.begin(key, begun{a.Account, log.Last, time.Now()}, func(ctx context.Context, w *Work) {
		w.plan, w.err = p.workOut(ctx, w, PlanRequest{PartJSON: a.Part.JSON, BrakeJSON: a.Brake.JSON, Quantity: a.Quantity, Pack: a.Pack})
	}), nil
}

// workOut plans until the plan is there, no page asks for it any more, or
// patience ends.
func (p *Plans) workOut(ctx context.Context, w *Work, r PlanRequest) (*process.Plan, error) {
	ctx, cancel := context.WithTimeout(ctx, planPatience)
	defer cancel()
	r.Watch = func(done, all int) {
		w.done.Store(int64(done))
		w.all.Store(int64(all))
	}
	plan, err := p.planner.Plan(ctx, r)
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return nil, fault.New(fault.Busy, "",
			"No order was found within %d seconds. The command plan takes the time it needs.", int(planPatience.Seconds()))
	case ctx.Err() != nil:
		return nil, nobodyWaited()
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
