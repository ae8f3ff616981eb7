package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"brakeside/calc/unit"
	"brakeside/server/store"
	"brakeside/server/table"
	"brakeside/traveler"
	"brakeside/traveler/draw"
	"brakeside/traveler/letter"
	"brakeside/traveler/pdf"
	"brakeside/traveler/progress"
)

var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// words are all texts of some pages, in the order drawn.
func words(pages []*draw.Page) string {
	var out []string
	for _, p := range pages {
		for _, m := range p.Marks {
			if t, is := m.(draw.Text); is {
				out = append(out, t.Words)
			}
		}
	}
	return strings.Join(out, "|")
}

// sound fails unless every text lies on its page, none prints over another, and
// the pages can be written.
func sound(t *testing.T, pages []*draw.Page) {
	t.Helper()
	for n, p := range pages {
		type box struct{ x1, x2, y1, y2 float64 }
		var boxes []box
		for _, m := range p.Marks {
			text, is := m.(draw.Text)
			if !is || text.Words == "" {
				continue
			}
			wide := letter.Width(text.Words, text.Face, text.Size)
			b := box{text.X, text.X + wide, text.Y - 0.7*text.Size, text.Y}
			switch text.Anchor {
			case draw.Right:
				b.x1, b.x2 = text.X-wide, text.X
			case draw.Centre:
				b.x1, b.x2 = text.X-wide/2, text.X+wide/2
			}
			if b.x1 < margin-0.1 || b.x2 > paperWidth-margin+8 || b.y1 < 5 || b.y2 > paperHeight-5 {
				t.Errorf("page %d: %q runs off the page: %+v", n+1, text.Words, b)
			}
			for _, o := range boxes {
				if b.x1 < o.x2-0.2 && o.x1 < b.x2-0.2 && b.y1 < o.y2-0.2 && o.y1 < b.y2-0.2 {
					t.Errorf("page %d: %q prints over another text at %+v", n+1, text.Words, o)
				}
			}
			boxes = append(boxes, b)
		}
	}
	if err := pdf.Write(new(bytes.Buffer), pdf.Document{Title: "report", Created: noon, Pages: pages}); err != nil {
		t.Fatal(err)
	}
}

func week(groups int) Week {
	w := Week{Shop: "Talweg Sheet Works", At: noon, Totals: store.Totals{Readings: 120, Made: 186, InTolerance: 96, Sheets: 9, Reworked: 4, Scrapped: 1, Lifted: 3, Torn: 1}, Unlogged: 2, OldScans: 1, Proposals: 1, Least: 11,
		Moved: []string{"leaf brake 1.2 m has moved: look at its stop."}}
	for i := range groups {
		w.Cells = append(w.Cells, store.Cell{Material: fmt.Sprintf("material with a long name %d", i), Thickness: 1500, Bar: "narrow", Brake: "leaf brake 1.2 m, the old one", N: 10 + i, Made: 12 + i, InTolerance: 8, Mean: -0.6, Spread: 0.54})
	}
	w.All = w.Cells
	w.First = []store.FirstPiece{{Passed: true}, {Passed: false, Cause: "angle"}, {Passed: false}, {Passed: false, Cause: "angle"}}
	for i := range 60 {
		w.Weeks = append(w.Weeks, store.Span{Begins: noon.AddDate(0, 0, 7*i).Format(time.DateOnly), N: 5 + i, Mean: unit.Deg(i%5) / 5})
	}
	return w
}

func TestWeekIsOnePage(t *testing.T) {
	for _, groups := range []int{0, 1, 30} {
		pages := week(groups).Pages()
		if len(pages) != 1 {
			t.Errorf("%d groups make %d pages, want one", groups, len(pages))
		}
		sound(t, pages)
	}
	all := words(week(12).Pages())
	for _, want := range []string{
		"Talweg Sheet Works", "Review of the week to 4 May 2026", "1 of 4", "96 of 186", "120 on 9 sheets", "4, 1", "First pieces failed by cause: angle 2, not said 1.",
		"Noted at the brake: bar lifted 3, corner torn 1.", "has moved", "1 change of a printed stop", "-0.6", "and 5 groups with fewer readings", "Groups of fewer than 11",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("the week lacks %q: %s", want, all)
		}
	}
}

// Long job numbers and counts from 10,000 on are printed whole.
func TestNumbersAreWhole(t *testing.T) {
	w := week(3)
	w.Totals.Readings, w.Totals.Sheets, w.Totals.Made, w.Totals.InTolerance = 1234567, 23456, 1234569, 1234560
	for i := range w.Cells {
		w.Cells[i].N, w.Cells[i].Made, w.Cells[i].InTolerance, w.Cells[i].Mean = 1234567+i, 1234567+i, 1234560, -10.55
	}
	r := record(2)
	r.Sheet.Job, r.Pieces, r.Sheet.Part.Number = "J-2026-11-30-000123-repeat-of-J-2025", 123456, "BR-210-000-111-222-333-444-555"
	for i := range r.Readings {
		r.Readings[i].Piece += 123450
	}
	for _, pages := range [][]*draw.Page{w.Pages(), r.Pages()} {
		sound(t, pages)
		if all := words(pages); strings.Contains(all, letter.Ellipsis) {
			t.Errorf("something is cut off: %s", all)
		}
	}
	if all := words(w.Pages()); !strings.Contains(all, "1234567 on 23456 sheets") || !strings.Contains(all, "1234560 of 1234569") {
		t.Errorf("the week does not say its counts whole: %s", all)
	}
	if all := words(r.Pages()); !strings.Contains(all, r.Sheet.Job+"|") || !strings.Contains(all, "123452") {
		t.Errorf("the record does not say its numbers whole: %s", all)
	}
}

func record(pieces int) Record {
	sheet := &traveler.Traveler{
		Code: "k7m4xq2pvr9tabcde", Shop: "Talweg Sheet Works", Job: "J-1041", Quantity: pieces, Part: traveler.Part{Number: "BR-210", Title: "Rail foot", Revision: "C", Material: "mild steel", Thickness: 1500},
		Steps: []traveler.Step{{Number: 1, Bend: "b1", Target: 9000, Tolerance: 100}, {Number: 2, Bend: "b2", Target: 4500, Tolerance: 50}},
	}
	r := Record{Sheet: sheet, Pieces: pieces, Written: noon, Zone: time.FixedZone("shop", 2*3600)}
	for piece := 1; piece <= pieces; piece++ {
		r.Readings = append(r.Readings,
			progress.Reading{ID: fmt.Sprint("a", piece), Piece: piece, Step: 1, Measured: 9060, GivenAs: progress.GivenBend, Error: 60, State: progress.StateAsBent, By: "AB", Received: noon.Format(time.RFC3339), Place: "middle"},
			progress.Reading{ID: fmt.Sprint("b", piece), Piece: piece, Step: 2, Measured: 13560, GivenAs: progress.GivenOpening, Error: -60, State: progress.StateAsBent, By: "=CD", Received: noon.Format(time.RFC3339), At: noon.Add(-time.Hour).Format(time.RFC3339)})
	}
	return r
}

func TestRecordPages(t *testing.T) {
	for _, pieces := range []int{0, 1, 60} {
		sound(t, record(pieces).Pages())
	}
	long := words(record(60).Pages())
	if strings.Contains(long, "k7m4xq2pvr9tabcde") || !strings.Contains(long, "begins with k7m4xq") {
		t.Errorf("the record goes to customers, and must name its sheet by the beginning of the code only: %s", long)
	}
	if strings.Count(long, "90.6") != 60 || strings.Count(long, "44.4 *") != 60 || strings.Count(long, "piece|step 1|step 2") < 2 || !strings.Contains(long, "page 3 of") {
		t.Errorf("120 bends are not all on the record, or a page lacks its heading: %s", long)
	}
	for _, want := range []string{"1|b1|90.0|1.0|60 of 60|+0.6|+0.6, +0.6", "2|b2|45.0|0.5|0 of 60|-0.6|-0.6, -0.6", "60|90.6|44.4 *"} {
		if !strings.Contains(long, want) {
			t.Errorf("the record of 60 pieces lacks %q: %s", want, long)
		}
	}
	all := words(record(1).Pages())
	for _, want := range []string{"Inspection record", "J-1041", "BR-210 rev C", "Rail foot", "Thickness|1.50 mm", "mild steel", "1 of 2", "90.0", "90.6", "+0.6", "44.4 *", "-0.6", "2026-05-04 14:00", "2026-05-04 13:00", "* piece 1, step 2: out of tolerance", "page 1 of 1"} {
		if !strings.Contains(all, want) {
			t.Errorf("the record lacks %q: %s", want, all)
		}
	}
	if all := words(record(0).Pages()); !strings.Contains(all, "Nothing was measured.") {
		t.Errorf("an empty record says %s", all)
	}
}

// A corrected reading is not on the record, rework and scrap are said.
func TestRecordOfWhatStands(t *testing.T) {
	r := record(2)
	r.Readings[1].State = progress.StateReworked
	r.Readings[1].Error = 20
	r.Readings[3].State = progress.StateScrapped
	fix := r.Readings[2]
	fix.ID, fix.Corrects, fix.Measured, fix.Error = "fix", "a2", 9000, 0
	r.Readings = append(r.Readings, fix)
	var out bytes.Buffer
	if err := r.WriteCSV(&out, table.Plain); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(rows) != 5 {
		t.Fatalf("%d rows, %v, want a heading and 4", len(rows), err)
	}
	var results []string
	for _, row := range rows[1:] {
		results = append(results, row[3]+"/"+row[4]+" "+row[13])
	}
	if got, want := strings.Join(results, "|"), "1/1 in tolerance|1/2 in tolerance, reworked|2/2 scrapped|2/1 in tolerance"; got != want {
		t.Errorf("the record says %s, want %s", got, want)
	}
}

func TestRecordCSV(t *testing.T) {
	var out bytes.Buffer
	if err := record(1).WriteCSV(&out, table.Plain); err != nil {
		t.Fatal(err)
	}
	want := "job,part,revision,piece,step,bend,nominal_deg,tolerance_deg,measured_deg,error_deg,where,when,by,result\r\n" +
		"J-1041,BR-210,C,1,1,b1,90.0,1.0,90.6,0.6,middle,2026-05-04 14:00,AB,in tolerance\r\n" +
		"J-1041,BR-210,C,1,2,b2,45.0,0.5,44.4,-0.6,,2026-05-04 13:00,'=CD,out of tolerance\r\n"
	if out.String() != want {
		t.Errorf("WriteCSV gives\n%s\nwant\n%s", out.String(), want)
	}
}

// A bend that is flagged counts, and is left out of the mean only; one that was put
// right counts as it was made. Up to a page of bends is listed one by one.
func TestRecordOfALargeRun(t *testing.T) {
	r := record(21) // 42 bends
	r.Readings[0].Flags, r.Readings[0].Error = []string{"bar-lifted"}, -300
	fixed := r.Readings[2]
	fixed.ID, fixed.State, fixed.Error = "fixed", progress.StateReworked, 0
	r.Readings = append(r.Readings, fixed)
	pages := r.Pages()
	sound(t, pages)
	for _, want := range []string{"Bends in tolerance|20 of 42", "1|b1|90.0|1.0|20 of 21|+0.6|-3.0, +0.6"} {
		if all := words(pages); !strings.Contains(all, want) {
			t.Errorf("the record lacks %q: %s", want, all)
		}
	}
	if small := words(record(20).Pages()); !strings.Contains(small, "nominal °|± °|measured °") {
		t.Errorf("40 bends are not listed one by one: %s", small)
	}
	wide := record(21)
	for n := 3; n <= 14; n++ {
		wide.Sheet.Steps = append(wide.Sheet.Steps, traveler.Step{Number: n, Bend: fmt.Sprint("b", n), Target: 9000, Tolerance: 100})
		last := wide.Readings[0]
		last.ID, last.Step, last.Piece = fmt.Sprint("w", n), n, 123456
		wide.Readings = append(wide.Readings, last)
	}
	sound(t, wide.Pages())
	if all := words(wide.Pages()); !strings.Contains(all, "piece|step 10|step 11") || !strings.Contains(all, "123456|") {
		t.Errorf("fourteen steps are not all on the record: %s", all)
	}
}
