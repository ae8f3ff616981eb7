package shoptest

import (
	"context"
	"sync/atomic"
	"time"

	"brakeside/calc"
	"brakeside/calc/brake"
	"brakeside/calc/part"
	"brakeside/calc/process"
	"brakeside/server/lessons"
	"brakeside/server/planning"
	"brakeside/server/store"
	"brakeside/traveler"
)

// Bench is a planner that plans in earnest; the printed sheet is a stand-in.
type Bench struct {
	store *store.Store
	book  *lessons.Book
	Codes []string // for the sheets to be issued, in order
	now   func() time.Time
	Plans atomic.Int64 // that were worked out
}

// Plan implements planning.Planner.
func (b *Bench) Plan(ctx context.Context, r planning.PlanRequest) (*process.Plan, error) {
	b.Plans.Add(1)
	k, err := brake.Read(r.BrakeJSON)
	if err != nil {
		return nil, err
	}
	drawn, err := part.Read(r.PartJSON)
	if err != nil {
		return nil, err
	}
	figures, err := b.book.FiguresFor(ctx, k.Name, r.Pack)
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

// Draft implements planning.Planner.
func (b *Bench) Draft(ctx context.Context, file []byte) (*process.Plan, error) {
	drawn, err := part.Read(file)
	if err != nil {
		return nil, err
	}
	figures, err := lessons.FiguresOf(ctx, b.store)
	if err != nil {
		return nil, err
	}
	return figures.Draft(drawn)
}

// Issue implements planning.Planner.
func (b *Bench) Issue(ctx context.Context, r planning.IssueRequest) (store.Issued, error) {
	code := b.Codes[0]
	b.Codes = b.Codes[1:]
	issue := traveler.Issue{Code: code, Base: r.Base, Job: r.Job, Units: r.Units,
		IssuedAt: b.now().Format(time.RFC3339), IssuedBy: r.By, Pack: r.Pack}
	var err error
	if issue.NewPack, err = b.book.NewPack(ctx, r.Plan.Blank.Sheet.Material.ID, r.Pack); err != nil {
		return store.Issued{}, err
	}
	t, err := traveler.Freeze(r.Plan, issue)
	if err != nil {
		return store.Issued{}, err
	}
	snapshot, err := traveler.Encode(t)
	return store.Issued{Traveler: t, Snapshot: snapshot, PDF: []byte("%PDF-1.7 sheet " + code)}, err
}
