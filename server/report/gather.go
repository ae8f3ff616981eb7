package report

import (
	"context"
	"fmt"
	"time"

	"brakeside/server/lessons"
	"brakeside/server/store"
)

// WeekOf gathers the review of the seven days that end at a time.
func WeekOf(ctx context.Context, from *store.Store, book *lessons.Book, end time.Time) (Week, error) {
	shop, err := from.Setting(ctx, store.SettingShop)
	if err != nil {
		shop = "Review"
	}
	w := Week{Shop: shop, At: end, Least: lessons.LeastToJudge}
	week := store.Choice{From: end.UTC().AddDate(0, 0, -7).Format(time.DateOnly)}
	if w.Totals, err = from.Totals(ctx, week); err != nil {
		return w, err
	}
	if w.Cells, err = from.Cells(ctx, week); err != nil {
		return w, err
	}
	if w.All, err = from.Cells(ctx, store.Choice{}); err != nil {
		return w, err
	}
	if w.First, err = from.FirstPieces(ctx, week); err != nil {
		return w, err
	}
	for i, f := range w.First {
		if f.Cause != "" {
			w.First[i].Cause = lessons.CauseWords(f.Cause)
		}
	}
	if w.Weeks, err = from.Weeks(ctx, store.Choice{}); err != nil {
		return w, err
	}
	return w, weekExtras(ctx, from, book, &w)
}

// weekExtras counts what was not logged, scanned or decided.
func weekExtras(ctx context.Context, from *store.Store, book *lessons.Book, w *Week) error {
	unlogged, err := from.UnloggedSheets(ctx, store.Choice{}, w.At.Add(-lessons.Untouched))
	if err != nil {
		return err
	}
	scans, err := from.OldScans(ctx, store.Choice{From: w.At.UTC().AddDate(0, 0, -7).Format(time.DateOnly)})
	if err != nil {
		return err
	}
	proposals, err := book.Proposals(ctx)
	if err != nil {
		return err
	}
	alarms, err := book.Alarms(ctx)
	if err != nil {
		return err
	}
	w.Unlogged, w.OldScans, w.Proposals = len(unlogged), len(scans), len(proposals)
	for _, a := range alarms {
		if at, err := time.Parse(time.RFC3339, a.Received); err == nil && at.After(w.At.Add(-lessons.AlarmLasts)) {
			w.Moved = append(w.Moved, fmt.Sprintf("%s has moved by %s: look at its stop and its scale.", a.Brake, at.Format("2 January")))
		}
	}
	return nil
}
