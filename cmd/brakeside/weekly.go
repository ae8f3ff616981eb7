package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"brakeside/server/lessons"
	"brakeside/server/report"
	"brakeside/server/store"
	"brakeside/traveler/pdf"
)

// weekly writes the one-page review of the last seven days, and of all time
// beside it.
func weekly(ctx context.Context, args []string, s streams) error {
	data, out, err := outFile("weekly", args)
	if err != nil {
		return err
	}
	st, err := store.View(data)
	if err != nil {
		return err
	}
	defer st.Close()
	book := lessons.Open(st)
	week, err := report.WeekOf(ctx, st, book, time.Now())
	if err != nil {
		return err
	}
	doc := pdf.Document{Title: "Review of the week", Created: week.At, Pages: week.Pages()}
	if err := writeFile(out, func(w io.Writer) error { return pdf.Write(w, doc) }); err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, out)
	return err
}
