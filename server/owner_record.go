package server

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"time"

	"brakeside/server/lessons"
	"brakeside/server/report"
	"brakeside/server/store"
	"brakeside/traveler/draw"
	"brakeside/traveler/pdf"
)

// record gathers the inspection record of a sheet.
func (s *Server) record(r *http.Request) (report.Record, error) {
	kept, err := s.store.TravelerByCode(r.Context(), variable(r, "code"))
	if err != nil {
		return report.Record{}, err
	}
	readings, err := s.store.Readings(r.Context(), kept.Traveler.Code)
	return report.Record{Sheet: kept.Traveler, Readings: readings, Written: s.now(), Zone: s.now().Location()}, err
}

// recordPDF is the inspection record of a job for its customer.
func (s *Server) recordPDF(w http.ResponseWriter, r *http.Request) error {
	record, err := s.record(r)
	if err != nil {
		return err
	}
	return writePDF(w, paperFile{"record-" + record.Sheet.Code, record.Written, record.Pages()})
}

// recordCSV is the same as CSV.
func (s *Server) recordCSV(w http.ResponseWriter, r *http.Request) error {
	record, err := s.record(r)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := record.WriteCSV(&out); err != nil {
		return fmt.Errorf("inspection record: %w", err)
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="record-%s.csv"`, record.Sheet.Code))
	return write(w, reply{kind: "text/csv; charset=utf-8; header=present", body: out.Bytes()})
}

// weeklyPDF is the review of the last seven days on one page.
func (s *Server) weeklyPDF(w http.ResponseWriter, r *http.Request) error {
	week, err := WeekOf(r.Context(), s.store, s.book, s.now())
	if err != nil {
		return err
	}
	return writePDF(w, paperFile{"week-" + week.At.Format(time.DateOnly), week.At, week.Pages()})
}

// paperFile is a document to be sent.
type paperFile struct {
	name  string
	at    time.Time
	pages []*draw.Page
}

func writePDF(w http.ResponseWriter, f paperFile) error {
	var out bytes.Buffer
	if err := pdf.Write(&out, pdf.Document{Title: f.pages[0].Title, Created: f.at, Pages: f.pages}); err != nil {
		return err
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf(`inline; filename=%q`, f.name+".pdf"))
	return write(w, reply{kind: "application/pdf", body: out.Bytes()})
}

// WeekOf gathers the review of the seven days that end at a time.
func WeekOf(ctx context.Context, from *store.Store, book *lessons.Book, end time.Time) (report.Week, error) {
	shop, err := from.Setting(ctx, store.SettingShop)
	if err != nil {
		shop = "Review"
	}
	w := report.Week{Shop: shop, At: end, Least: leastToJudge}
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
			w.First[i].Cause = causeWords(f.Cause)
		}
	}
	if w.Weeks, err = from.Weeks(ctx, store.Choice{}); err != nil {
		return w, err
	}
	return w, weekExtras(ctx, from, book, &w)
}

// weekExtras counts what was not logged, scanned or decided.
func weekExtras(ctx context.Context, from *store.Store, book *lessons.Book, w *report.Week) error {
	unlogged, err := from.UnloggedSheets(ctx, store.Choice{}, w.At.Add(-untouched))
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
		if at, err := time.Parse(time.RFC3339, a.Received); err == nil && at.After(w.At.Add(-alarmLasts)) {
			w.Moved = append(w.Moved, fmt.Sprintf("%s has moved by %s: look at its stop and its scale.", a.Brake, at.Format("2 January")))
		}
	}
	return nil
}
