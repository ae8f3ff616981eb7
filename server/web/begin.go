package web

import (
	"context"
	"net/http"
	"sync/atomic"

	"brakeside/server/store"
	"brakeside/traveler/standing"
)

// Step is what a new shop does next, until the first bend is logged.
type Step struct{ Words, Link, Address string }

// The steps, in their order. Each is over once the store has what it makes.
var (
	stepSetup = Step{"First: what the shop is called and how phones reach it.", "Set up", "/setup"}
	stepBrake = Step{"Next: the brake, by twelve figures.", "Enter the brake", "/brakes/new"}
	stepPart  = Step{"Next: the first part.", "Draw it", "/parts/new"}
	stepReady = Step{"Next: open the part and make it ready.", "Parts", "/parts"}
	stepIssue = Step{"Next: the first sheet.", "Issue it", "/jobs/new"}
	stepScan  = Step{"Next: print the sheet, scan its code with a phone, and log the first bend.", "Jobs", "/"}
)

// begun remembers that a shop has logged bends: it needs no steps any more.
type begun struct{ yes atomic.Bool }

// next is the step that a shop is at; nil where it has begun. What cannot be read tells
// no step: no page fails for it.
func (s *Site) next(r *http.Request) *Step {
	if !MayChange(r) || s.begun.yes.Load() {
		return nil
	}
	step, err := s.stepNow(r.Context())
	if err != nil {
		s.Log.Warn("first steps not read", "error", err)
		return nil
	}
	s.begun.yes.Store(step == nil)
	if step == nil || step.Address == r.URL.Path {
		return nil
	}
	return step
}

func (s *Site) stepNow(ctx context.Context) (*Step, error) {
	if s.Setting(ctx, store.SettingSetUp) == "" {
		return &stepSetup, nil
	}
	sheets, err := s.Store.Travelers(ctx)
	if err != nil {
		return nil, err
	}
	for _, sheet := range sheets {
		if sheet.Readings > 0 {
			return nil, nil
		}
	}
	if len(sheets) > 0 {
		return &stepScan, nil
	}
	brakes, err := s.Store.Newest(ctx, store.Brakes)
	if err != nil || len(brakes) == 0 {
		return &stepBrake, err
	}
	parts, err := s.Store.Newest(ctx, store.Parts)
	if err != nil || len(parts) == 0 {
		return &stepPart, err
	}
	stand, err := s.Store.PartStandings(ctx)
	for _, p := range parts {
		if stand.Of(p.Name, p.Revision) == standing.Ready {
			return &stepIssue, err
		}
	}
	return &stepReady, err
}
