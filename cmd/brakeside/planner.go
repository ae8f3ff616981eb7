package main

import (
	"context"
	"io"
	"sync"
	"time"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/fault"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/server/lessons"
	"brakeside/server/planning"
	"brakeside/server/store"
	"brakeside/traveler"
)

// planner plans for the service, and issues sheets: it freezes and prints. It
// keeps nothing.
type planner struct {
	store *store.Store
	book  *lessons.Book
	now   func() time.Time

	mu     sync.Mutex // guards random
	random io.Reader
}

// shopName is the setting that holds the name of the shop.
const shopName = "shop"

// Issue implements planning.Planner.
func (p *planner) Issue(ctx context.Context, r planning.IssueRequest) (store.Issued, error) {
	issue, err := p.issue(ctx, r)
	if err != nil {
		return store.Issued{}, err
	}
	issue.Pack = r.Pack
	if issue.NewPack, err = p.book.NewPack(ctx, r.Plan.Blank.Sheet.Material.ID, r.Pack); err != nil {
		return store.Issued{}, err
	}
	t, err := traveler.Freeze(r.Plan, issue)
	if err != nil {
		return store.Issued{}, err
	}
	return printed(t)
}

// Plan implements planning.Planner.
func (p *planner) Plan(ctx context.Context, r planning.PlanRequest) (*process.Plan, error) {
	k, err := brake.Read(r.BrakeJSON)
	if err != nil {
		return nil, err
	}
	return p.plan(ctx, toPlan{r.PartJSON, k, r.Quantity, r.Pack, r.Watch})
}

// Draft implements planning.Planner.
func (p *planner) Draft(ctx context.Context, file []byte) (*process.Plan, error) {
	drawn, err := part.Read(file)
	if err != nil {
		return nil, err
	}
	shop, err := lessons.FiguresOf(ctx, p.store)
	if err != nil {
		return nil, err
	}
	return shop.Draft(drawn)
}

// toPlan is a part file to be planned on a brake.
type toPlan struct {
	file     []byte
	brake    *brake.Brake
	quantity int
	pack     string              // empty: any
	watch    func(done, all int) // may be nil
}

// plan plans with the figures of the shop, and gives up when the context ends.
func (p *planner) plan(ctx context.Context, w toPlan) (*process.Plan, error) {
	drawn, err := part.Read(w.file)
	if err != nil {
		return nil, err
	}
	o := calc.Options{Quantity: w.quantity}
	if o.Shop, err = p.book.FiguresFor(ctx, w.brake.Name, w.pack); err != nil {
		return nil, err
	}
	o.Watch = func(done, all int) bool {
		if w.watch != nil {
			w.watch(done, all)
		}
		return ctx.Err() == nil
	}
	plan, err := calc.Work(drawn, w.brake, o)
	if ctx.Err() != nil {
		return nil, fault.New(fault.Busy, "", "Planning took too long here and was given up. Plan this part at the desk: brakeside plan.")
	}
	return plan, err
}

// issue gathers what makes a plan a traveler.
func (p *planner) issue(ctx context.Context, r planning.IssueRequest) (traveler.Issue, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	code, err := traveler.NewCode(p.random)
	if err != nil {
		return traveler.Issue{}, err
	}
	shop, err := p.store.Setting(ctx, shopName)
	if err != nil {
		shop = ""
	}
	return traveler.Issue{
		Code: code, Base: r.Base, Shop: shop, Job: r.Job, Units: r.Units,
		IssuedAt: p.now().UTC().Format(time.RFC3339), IssuedBy: r.By,
	}, nil
}

// printed makes the bytes that are kept: the snapshot and the sheet.
func printed(t *traveler.Traveler) (store.Issued, error) {
	snapshot, err := traveler.Encode(t)
	if err != nil {
		return store.Issued{}, err
	}
	sheet, err := printTraveler(t)
	if err != nil {
		return store.Issued{}, err
	}
	return store.Issued{Traveler: t, Snapshot: snapshot, PDF: sheet}, nil
}
