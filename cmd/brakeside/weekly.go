package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"brakeside/calc/unit"
	"brakeside/server/chart"
	"brakeside/server/store"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
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
	now := time.Now()
	page, err := weeklyPage(ctx, st, now)
	if err != nil {
		return err
	}
	doc := pdf.Document{Title: page.Title, Created: now, Pages: []*draw.Page{page}}
	if err := writeFile(out, func(w io.Writer) error { return pdf.Write(w, doc) }); err != nil {
		return err
	}
	_, err = fmt.Fprintln(s.out, out)
	return err
}

// week is how far the review looks back.
const week = 7 * 24 * time.Hour

// mostCharted is how many readings the run chart shows.
const mostCharted = 120

func weeklyPage(ctx context.Context, st *store.Store, now time.Time) (*draw.Page, error) {
	shop, err := st.Setting(ctx, shopName)
	if err != nil {
		shop = "Review"
	}
	r := &review{page: &draw.Page{Title: "Review of the week", Width: 210, Height: 297}, y: 22}
	r.line(7, draw.Bold, shop)
	r.line(4.2, draw.Regular, fmt.Sprintf("Review of the week to %s. Bends as made, before rework; + is over-bent.", now.UTC().Format("2 January 2006")))
	for _, span := range []struct {
		words string
		since time.Time
	}{{"Last seven days", now.Add(-week)}, {"All time", time.Time{}}} {
		cells, err := st.ReviewCells(ctx, store.Filter{Since: span.since})
		if err != nil {
			return nil, err
		}
		r.cells(span.words, cells)
	}
	recent, err := st.Recent(ctx, store.Filter{Limit: mostCharted})
	if err != nil {
		return nil, err
	}
	r.chart(recent)
	return r.page, nil
}

// review is a page that fills from the top.
type review struct {
	page *draw.Page
	y    float64
}

const margin = 15

func (r *review) line(size float64, face draw.Face, words string) {
	r.y += 1.5 * size
	r.page.Add(draw.Text{X: margin, Y: r.y, Size: size, Face: face, Words: letter.Clean(words), MaxWidth: r.page.Width - 2*margin})
}

// reviewColumns are the left edges of the table's columns.
var reviewColumns = []float64{margin, 65, 82, 112, 128, 152, 172}

// mostCells is how many rows of a table fit on the page.
const mostCells = 12

func (r *review) cells(title string, cells []store.Cell) {
	r.y += 4
	r.line(4.6, draw.Bold, title)
	r.row(draw.Bold, "material", "mm", "bar", "n", "mean error", "spread", "in tolerance")
	for i, c := range cells {
		if i == mostCells {
			r.line(3.9, draw.Regular, fmt.Sprintf("and %d more groups", len(cells)-mostCells))
			break
		}
		r.row(draw.Regular, c.Material, c.Thickness.Text(2), c.Bar, fmt.Sprint(c.N), chart.Signed(c.Mean), c.Spread.Text(2), fmt.Sprintf("%d of %d", c.InTolerance, c.N))
	}
	if len(cells) == 0 {
		r.line(3.9, draw.Regular, "No readings.")
	}
}

func (r *review) row(face draw.Face, words ...string) {
	r.y += 5.6
	for i, w := range words {
		right := r.page.Width - margin
		if i+1 < len(words) {
			right = reviewColumns[i+1] - 1
		}
		r.page.Add(draw.Text{X: reviewColumns[i], Y: r.y, Size: 3.7, Face: face, Words: letter.Clean(w), MaxWidth: right - reviewColumns[i]})
	}
}

// chart puts the run chart under the tables.
func (r *review) chart(recent []store.Sample) {
	run := chart.Run{Title: "Angle errors in the order they were logged", First: 1}
	sum := unit.Deg(0)
	for _, s := range recent {
		run.Readings = append(run.Readings, chart.Reading{Error: s.Reading.Error.Deg(), Tolerance: s.Tolerance.Deg()})
		sum += s.Reading.Error.Deg()
	}
	if len(recent) > 0 {
		run.Mean = sum / unit.Deg(len(recent))
	}
	r.y += 8
	r.line(4.6, draw.Bold, run.Title)
	r.page.Add(draw.Moved(chart.Draw(run).Marks, margin, r.y+4)...)
}
