package main

import (
	"context"
	"fmt"
	"time"

	"brakeside/server/panics"
	"brakeside/server/store"
)

// How the service looks for damage in what it has stored: soon after it was
// started, then once a day, and so slowly that nobody waits for it. Bits rot
// unread for years; while there are good copies is the time to know.
const (
	scrubFirst = 2 * time.Minute
	scrubEvery = 24 * time.Hour
	scrubRests = 10 // so many times as long as it works
)

// scrubDaily looks for damage until the context ends; what it gives is closed when
// it has stopped.
func (v *service) scrubDaily(ctx context.Context) <-chan struct{} {
	return again(ctx, scrubFirst, func() time.Duration {
		if err := panics.Caught(func() error { return v.scrub(ctx, scrubRests) }); err != nil && ctx.Err() == nil {
			v.log.Error("not looked for damage", "error", err)
		}
		return scrubEvery
	})
}

// scrub looks for damage once, and has the owner told what it finds.
func (v *service) scrub(ctx context.Context, rests int) error {
	began := time.Now()
	found, err := v.store.Scrub(ctx, func(ctx context.Context) error {
		select {
		case <-ctx.Done():
		case <-time.After(time.Duration(rests) * time.Since(began)):
		}
		began = time.Now()
		return ctx.Err()
	})
	if err != nil {
		return err
	}
	trouble := ""
	if len(found) > 0 {
		trouble = fmt.Sprintf("%s: first at %s: %s (places found: %d). Put the last good copy back.",
			time.Now().Format("2 Jan 2006 15:04"), found[0].Where, found[0].What, len(found))
		v.log.Error("the store is damaged", "places", len(found), "first", found[0].Where, "what", found[0].What)
	}
	v.noteTrouble(ctx, store.SettingDamage, trouble)
	return nil
}
